"""Passive networks between active stages: wiring, solve, noise, phantom power, ground."""
