"""The chain: stages over solved islands; nominal, peak, ceiling and floor at every point."""
