"""Shows as text: one with every kind of entry, for tests of single lines, and a small one."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Final

HALL: Final = """\
# Winter concert
levelhead: 1
show: {name: Village hall, date: 2026-12-05, version: 3}

items:
  vox-1:  {type: mic-vocal-dynamic, label: "Anna", need: must}   # her own
  keys:   {type: keyboard-stereo, supply: stage-left}
  # at the back
  desk:   {type: mixer-analogue-16, at: [0, 18, 1.0], supply: desk}
  comp:   {type: compressor}
  box:
    type: stage-box-4
    note: |
      left of the drums
      mind the step
sources: {anna: {type: voice-singer, at: vox-1, distance: 5 cm}}
links:
  - {from: vox-1.out, to: desk.ch1.mic, via: [cable-xlr 10 m]}
  - {ends: {a: desk.ch1.insert, send: comp.in, return: comp.out}, via: [lead-insert 2 m]}
  - {from: "box.out[1-4]", to: "desk.ch[5-8].mic", via: [cable-xlr 2 m]}   # loom
  - from: keys.left
    to: desk.ch9.line
    via:
      - lead-jack 6 m
settings:
  desk:
    ch1: {gain: 35 dB, fader: 0 dB, send1: -6 dB, lock: [gain]}
    ch9: {gain: unknown}
supplies: {stage-left: {outlet: A1}, desk: {outlet: B3, circuit: B}}
stock: {cable-xlr 10 m: 6, di-active: 1}
"""

SMALL_HALL: Final = """\
# The hall.
levelhead: 1
show: {name: Hall}
items:
  vox: {type: mic-vocal-dynamic, label: "Anna"}  # her own
  desk: {type: mixer-compact}
links:
  - {from: vox.out, to: desk.ch1.mic, via: [cable-xlr 10 m]}
settings:
  desk: {ch1: {gain: 36 dB}}
"""

NOON: Final = datetime(2026, 12, 5, 12, 0, tzinfo=UTC)
