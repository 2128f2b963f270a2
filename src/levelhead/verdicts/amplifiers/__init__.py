"""Amplifiers and loudspeakers: loads, lines, ratings, and how they play together."""
