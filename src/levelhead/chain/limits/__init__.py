"""Ceilings: the largest clean sine at each point, and what cores of transformers let pass."""
