"""The gain plan: where every gain, pad, fader and amplifier control goes, and what decides it."""
