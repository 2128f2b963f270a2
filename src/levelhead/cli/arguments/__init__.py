"""Every command with the options that it takes: all that ``--help`` tells."""
