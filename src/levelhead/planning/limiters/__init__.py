"""Limiter thresholds: what amplifiers and loudspeakers take, told at the output before them."""
