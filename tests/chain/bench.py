"""A bench of gear made for tests of the chain: every figure round, nothing else in the way.

Inputs are so high and outputs so low in impedance that nothing is lost between them, unless a test
sets a figure; stages have no noise and no ceiling unless a test sets one.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import Any, Final

from ruamel.yaml import YAML

from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.gear.book import GearBook
from levelhead.rig.build import build_rig
from levelhead.show.model import Cable, Item, Link, Show, Source

ENTRIES: Final = """
tone:
  label: Tone
  kind: feed
  source: standard
  earth: mains
  ports: {out: {socket: xlr-m, role: out, circuit: symmetrical-output, impedance: 1 mohm}}
  path:
    from:
      - generator: {level: +4 dBu, peak-to-rms: 12 dB, spectrum: pink, shared: "1"}
    stages: [{stage: output, ceiling: +24 dBu}]
    to: out
pair:
  label: Pair
  kind: instrument
  source: standard
  earth: mains
  ports:
    out-left: {socket: xlr-m, role: out, circuit: symmetrical-output, impedance: 1 mohm}
    out-right: {socket: xlr-m, role: out, circuit: symmetrical-output, impedance: 1 mohm}
  path:
    sides: [left, right]
    from:
      - generator: {level: 0 dBu, peak-to-rms: 12 dB, spectrum: pink, shared: "0.5"}
    stages: [{stage: output}]
    to: out
player:
  label: Player
  kind: player
  source: standard
  earth: mains
  controls: {volume: {range: [off, 0 dB], default: 0 dB}}
  ports: {out: {socket: xlr-m, role: out, circuit: symmetrical-output, impedance: 1 mohm}}
  path:
    from:
      - generator: {level: -18 dBFS, peak-to-rms: 12 dB, spectrum: pink, shared: "1"}
    stages:
      - {stage: volume, control: volume, ceiling: 0 dBFS}
      - {stage: converter, full-scale: 1 V, ceiling: 1 V, noise: -110 dBV}
    to: out
microphone:
  label: Microphone
  kind: microphone
  source: standard
  ports: {out: {socket: xlr-m, role: out, circuit: symmetrical-output, impedance: 1 mohm}}
  path:
    from: air
    stages: [{stage: capsule, sensitivity: 2 mV/Pa}]
    to: out
voice:
  label: Voice
  kind: voice
  source: standard
  air: {level: 94 dB SPL, at: 1 m, peak-to-rms: 14 dB, spectrum: pink, distance: 1 m}
box:
  label: Box with an input, three stages in a row and an output
  kind: processor
  source: standard
  earth: mains
  ports:
    in: &high
      socket: xlr-f
      role: in
      circuit: balanced-input
      impedance: 1 Gohm
      common-mode: 1 Gohm
      current-noise: 0 A/rtHz
    out: {socket: xlr-m, role: out, circuit: symmetrical-output, impedance: 1 mohm}
  path:
    from: in
    stages:
      - {stage: one, gain: 0 dB}
      - {stage: two, gain: 0 dB}
      - {stage: three, gain: 0 dB}
    to: out
recorder:
  label: Recorder
  kind: processor
  source: standard
  earth: mains
  ports: {in: *high}
  path:
    from: in
    stages: [{stage: converter, full-scale: 1 V, ceiling: 0 dBFS}]
monitor:
  label: Monitor
  kind: loudspeaker
  source: standard
  earth: mains
  ports: {in: *high}
  path:
    from: in
    stages: [{stage: driver, sensitivity: {level: 100 dB SPL, at: 0 dBu}}]
    to: air
desk:
  label: Desk
  kind: mixer
  source: standard
  earth: mains
  controls: {main: {range: [off, 10 dB], default: 0 dB}}
  blocks:
    ch:
      repeat: 6
      ports: {line: *high}
      controls:
        gain: {range: [-20 dB, 60 dB], default: 0 dB}
        fader: {range: [off, 10 dB], default: 0 dB, scale: fader-100mm}
        pan: {range: [left, right], default: left, law: -3 dB}
        send: {range: [off, 10 dB], default: off}
      path:
        from: line
        stages:
          - {stage: preamp, control: gain, ceiling: +21 dBu, meter: {kind: peak, zero: +4 dBu}}
          - {stage: fader, control: fader, ceiling: +21 dBu}
    aux:
      ports: {out: {socket: xlr-m, role: out, circuit: symmetrical-output, impedance: 1 mohm}}
      path: {from: mix, stages: [{stage: sum}], to: out}
    main:
      repeat: [left, right]
      ports: {out: {socket: xlr-m, role: out, circuit: symmetrical-output, impedance: 1 mohm}}
      path:
        from: mix
        stages: [{stage: sum}, {stage: level, control: main, ceiling: +22 dBu}]
        to: out
  mix:
    - {from: ch.fader, to: main, law: pan, control: pan}
    - {from: ch.preamp, to: aux, control: send}
wire:
  label: Wire
  kind: cable
  source: standard
  ends: {a: xlr-f, b: xlr-m}
  wire: {core: 0.001 mohm/m, screen: 0.001 mohm/m, contact: 0.001 mohm}
  map: {a.1: b.1, a.2: b.2, a.3: b.3}
  usual-length: 1 m
"""

POWERED: Final[dict[str, Any]] = {
    "label": "Box on phantom power",
    "kind": "box",
    "source": "standard",
    "powered-by": [
        {"phantom": "out", "current": "4 mA", "minimum": "20 V"},
        {"battery": "9 V", "when": {"battery": "fitted"}},
    ],
    "controls": {"battery": {"options": ["none", "fitted"], "default": "none"}},
    "ports": {
        "in": {
            "socket": "xlr-f",
            "role": "in",
            "circuit": "balanced-input",
            "impedance": "1 Gohm",
            "common-mode": "1 Gohm",
        },
        "out": {
            "socket": "xlr-m",
            "role": "out",
            "circuit": "symmetrical-output",
            "impedance": "1 mohm",
            "coupling": "47 uF",
        },
    },
    "path": {"from": "in", "stages": [{"stage": "buffer", "noise": "-90 dBu"}], "to": "out"},
}
"""A box that works on phantom power, or on a battery."""


def entries() -> dict[str, Any]:
    """The bench's gear, as the gear book reads it."""
    found: dict[str, Any] = YAML(typ="safe", pure=True).load(ENTRIES)
    return found


BOOK: Final = GearBook(entries())

Items = Mapping[str, str | tuple[str, Mapping[str, str]]]


def bench_show(
    items: Items,
    links: Sequence[tuple[str, str]] = (),
    *,
    settings: Mapping[str, str] | None = None,
    sources: Sequence[Source] = (),
    locks: Collection[str] = (),
) -> Show:
    """A show of bench gear: types by item (with figures of its own), and who feeds whom."""
    placed = {
        name: Item(name, given)
        if isinstance(given, str)
        else Item(name, given[0], figures=given[1])
        for name, given in items.items()
    }
    return Show(
        "bench",
        items=placed,
        links=tuple(Link({"a": one, "b": other}, (Cable("wire", 1.0),)) for one, other in links),
        settings=dict(settings or {}),
        sources={source.id: source for source in sources},
        locks=frozenset(locks),
    )


def solved_show(show: Show, previous: Solution | None = None) -> Solution:
    """A show of bench gear, solved."""
    rig = build_rig(show, BOOK, previous=None if previous is None else previous.rig)
    return solve(rig, previous)


def bench(
    items: Items,
    links: Sequence[tuple[str, str]] = (),
    *,
    settings: Mapping[str, str] | None = None,
    sources: Sequence[Source] = (),
) -> Solution:
    """``solved_show(bench_show(...))``."""
    return solved_show(bench_show(items, links, settings=settings, sources=sources))


def nominal(solution: Solution, address: str) -> float:
    """Nominal level of a point that carries a signal, in its unit."""
    level = solution.levels(address).nominal
    assert level is not None, f"{address} is silent"
    return level


def floor(solution: Solution, address: str) -> float:
    """Noise of a point that has any, in its unit."""
    level = solution.levels(address).floor
    assert level is not None, f"{address} has no noise"
    return level
