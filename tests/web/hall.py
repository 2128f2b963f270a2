"""A small hall: a singer, a desk, a loudspeaker."""

from __future__ import annotations

TEXT = """\
# The hall.
levelhead: 1
show: {name: Hall}
items:
  vox: {type: mic-vocal-dynamic, label: "Anna"}
  desk: {type: mixer-compact}
  left: {type: loudspeaker-powered-12}
sources:
  anna: {type: voice-singer, at: vox, distance: 5 cm}
links:
  - {from: vox.out, to: desk.ch1.mic, via: [cable-xlr 10 m]}
  - {from: desk.main-left.out, to: left.in, via: [cable-xlr 20 m]}
settings:
  desk: {ch1: {gain: 36 dB}}
  left: {level: -20 dB}
"""
