"""Enough or too much: gain at hand, clipping, noise."""
