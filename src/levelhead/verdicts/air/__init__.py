"""The air: loud enough, clear and even where people listen, quiet of feedback, safe for ears."""
