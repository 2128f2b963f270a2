"""Plans: remedies that were tried, answers to one question, proposals."""
