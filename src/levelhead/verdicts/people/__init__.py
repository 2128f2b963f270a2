"""People: what can be touched, what can be heard, what is switched when."""
