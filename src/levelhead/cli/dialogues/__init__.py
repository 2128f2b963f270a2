"""Questions at a terminal: which gear is meant, what a list leaves open."""
