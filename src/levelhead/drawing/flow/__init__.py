"""The rig as a drawing of its signal flow: boxes in columns, leads between their sockets."""
