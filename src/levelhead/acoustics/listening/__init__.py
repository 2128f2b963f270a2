"""Where people listen: what a room gives back, levels at seats, speech, exposure."""
