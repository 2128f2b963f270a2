"""What each command does, one module each: one call into the library, and what came of it.

``run`` has all of them by name, and loads none before it runs.
"""
