"""What is told of settings that were found and tried.

``positions`` (each control, and what holds it), ``results`` (each goal) with ``mends`` (what would
help where one gave way), ``ends`` (what meters read and loudspeakers get), ``turns`` (what nobody
knows exactly), ``lineups`` (console and amplifier).
"""
