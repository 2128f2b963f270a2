"""What is told of settings that were found and tried.

``positions`` (each control, and what holds it), ``results`` (each goal), ``turns`` (what nobody
knows exactly), ``lineups`` (console and amplifier).
"""
