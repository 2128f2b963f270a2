"""Who may come in: addresses that are answered, passes of the crew, the door for both."""
