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

PLACED = """\
levelhead: 1
show: {name: Hall}
items:
  vox: {type: mic-vocal-dynamic, label: "Anna", at: [0, -1, 1.5]}
  desk: {type: mixer-compact, at: [0, 14, 1]}
  left: {type: loudspeaker-powered-12, at: [-4, 0, 2.2], aim: [-1, 8, 1.2]}
  right: {type: loudspeaker-powered-12, at: [4, 0, 2.2], aim: [1, 8, 1.2]}
sources:
  anna: {type: voice-singer, at: vox, distance: 5 cm}
links:
  - {from: vox.out, to: desk.ch1.mic, via: [cable-xlr 10 m]}
  - {from: desk.main-left.out, to: left.in, via: [cable-xlr 20 m]}
  - {from: desk.main-right.out, to: right.in, via: [cable-xlr 20 m]}
settings:
  desk: {ch1: {gain: 36 dB, fader: 0 dB}}
  left: {level: -20 dB}
  right: {level: -20 dB}
room: {corners: [[-6, -4], [6, -4], [6, 16], [-6, 16]], height: 5 m, reverberation: 1.4 s}
areas: {stalls: {corners: [[-5, 3], [5, 3], [5, 13], [-5, 13]], spacing: 2 m}}
"""
"""The same, with a second loudspeaker, its places, its room and its seats."""
