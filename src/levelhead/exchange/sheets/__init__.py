"""Every sheet that there is, one module each; ``pack`` has all of them by name."""
