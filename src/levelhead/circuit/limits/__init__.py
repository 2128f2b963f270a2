"""Where an output or a transformer ends: current of its legs, swing, volt-seconds of a core."""
