"""A gear book of a few types with every kind of entry, and plans out of it."""

from __future__ import annotations

from levelhead.gear.book import GearBook
from levelhead.gear.figures import Figure, RawFigure
from levelhead.gear.plan import ItemPlan, PathPlan, StagePlan
from tests.bench import types_of

TYPES = types_of("""
mixer:
  label: Mixer
  kind: mixer
  source: typical
  earth: mains
  controls:
    phantom: {options: {"off": {}, "on": {ch.mic.phantom: 48 V}}, default: "off"}
    mode: {options: [wide, mono], default: wide}
  ports:
    talkback: {socket: xlr-f, role: in, circuit: balanced-input, impedance: 2 kohm}
    bridge: {socket: xlr-m, role: out, when: {mode: mono}}
  blocks:
    ch:
      repeat: 3
      ports:
        mic: {socket: xlr-f, role: in, hole: front, circuit: balanced-input, impedance: 2 kohm}
        line: {socket: jack-trs, role: in, hole: front, circuit: balanced-input, impedance: 20 kohm}
      controls:
        gain: {range: [0 dB, 60 dB], default: 20 dB, scale: rotary-gain}
        pad: {options: {"off": {}, "on": {preamp.gain: -20 dB, mic.damage: 40 V}}, default: "off"}
        filter: {options: [flat, cut], default: flat}
        send: {repeat: 2, range: [off, 10 dB], default: off}
        assign: {repeat: 2, options: ["off", "on"], default: "off"}
        pan: {range: [left, right], default: centre, law: -3 dB}
      path:
        from: [{port: mic}, {port: line, gain: -20 dB, wins: plugged}]
        stages:
          - {stage: preamp, control: gain, gain: 0 dB, ein: -128 dBu, noise: -95 dBu,
             ceiling: +21 dBu, meter: {kind: peak, zero: +4 dBu}}
          - {stage: filter, gain: -1 dB, when: {filter: cut}}
          - {stage: fader}
    main:
      repeat: [left, right]
      ports: {out: {socket: xlr-m, role: out, circuit: symmetrical-output, impedance: 150 ohm}}
      path: {from: mix, stages: [{stage: sum}], to: out}
    talk:
      path: {from: talkback, stages: [{stage: amp}], when: {mode: mono}}
  mix:
    - {from: ch.fader, to: main, control: pan, law: pan, gain: -2 dB}
    - {from: ch.preamp, to: main-left, when: {assign2: "on"}}
player:
  label: Player
  kind: player
  source: typical
  ports:
    phones: {socket: mini-trs, role: out, signals: [left, right], circuit: single-ended-output,
             impedance: 10 ohm}
  path:
    sides: [left, right]
    from: [{generator: {level: -9 dBFS, peak-to-rms: 12 dB, shared: "0.5"}}]
    stages:
      - {stage: volume, ceiling: 0 dBFS}
      - {stage: converter, full-scale: 2 V, ceiling: 2 V, noise: -90 dBV}
    to: phones
keys:
  label: Keyboard with a socket for each side
  kind: instrument
  source: typical
  ports:
    out-left: {socket: jack-ts, role: out, circuit: single-ended-output, impedance: 1 kohm}
    out-right: {socket: jack-ts, role: out, circuit: single-ended-output, impedance: 1 kohm}
  path:
    sides: [left, right]
    from: [{generator: {level: -6 dBu, peak-to-rms: 12 dB}}]
    stages: [{stage: output, noise: -90 dBu}]
    to: out
mic:
  label: Microphone
  kind: microphone
  source: handbook
  powered-by: [{phantom: out, current: 4 mA, minimum: 12 V}]
  ports: {out: {socket: xlr-m, role: out, circuit: symmetrical-output, impedance: 150 ohm}}
  path:
    from: air
    stages: [{stage: capsule, sensitivity: 2 mV/Pa, self-noise: 20 dB SPL}]
    to: out
speaker:
  label: Loudspeaker
  kind: loudspeaker
  source: typical
  ports: {in: {socket: xlr-f, role: in, circuit: balanced-input, impedance: 20 kohm}}
  path:
    from: in
    stages:
      - {stage: converter, full-scale: +20 dBu, ceiling: 0 dBFS}
      - {stage: back, full-scale: 10 V}
      - {stage: driver, sensitivity: {level: 94 dB SPL, at: 2 V}, ceiling: 120 dB SPL}
    to: air
voice:
  label: Voice
  kind: voice
  source: typical
  air: {level: 80 dB SPL, peak-to-rms: 12 dB}
transformer:
  label: Transformer box
  kind: box
  source: handbook
  ports: {in: {socket: jack-ts, role: in}, out: {socket: xlr-m, role: out}}
  parts:
    - {name: core, transformer: [in.tip, in.sleeve, out.2, out.3], ratio: "12", magnetising: 80 H}
    - {resistor: [in.tip, in.sleeve], value: 1 Mohm}
""")
BOOK = GearBook(TYPES)


def plan(type_id: str, chosen: dict[str, str] | None = None, **figures: RawFigure) -> ItemPlan:
    """A plan; a figure's dots are written as double underscores."""
    own = {name.replace("__", ".").replace("_", "-"): raw for name, raw in figures.items()}
    return BOOK.plan(type_id, chosen or {}, own)


def path_of(item: ItemPlan, block: str = "", side: str | None = None) -> PathPlan:
    """The path of a strip, or of one of its sides."""
    return next(each for each in item.block(block).plan.paths if each.side == side)


def stage_of(item: ItemPlan, stage: str, block: str = "") -> StagePlan:
    """A stage by its name."""
    paths = item.block(block).plan.paths
    return next(each for path in paths for each in path.stages if each.name == stage)


def value(figure: Figure | None) -> float:
    """Value of a figure that must be there."""
    assert figure is not None
    return figure.value
