"""What is wanted, as functions of the settings: the numbers that goals are about.

``values`` (the model, and where goals led), ``from_rig`` (read off a solved rig, corrected by a
later one).
"""
