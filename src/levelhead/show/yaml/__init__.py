"""YAML as show files have it: with places for errors, and every byte that nobody changed kept.

Reading order: ``text`` (what may stand in a file), ``events`` and ``tree`` (nodes with their lines
and columns), ``refusals`` (what is YAML and no show), ``scalars`` (a value, read and written).
"""
