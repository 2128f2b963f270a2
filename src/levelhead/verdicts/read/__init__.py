"""A solution as rules read it: strips, ways, what arrives, and what outlives an edit."""
