"""Harm to gear: levels, loads, strange lines, direct current."""
