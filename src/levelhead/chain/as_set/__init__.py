"""A wiring as the controls stand: ``graph`` (its gains), ``shaping`` (what stages do besides)."""
