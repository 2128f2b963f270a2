"""Rigs for hum, as people write shows: gear with one property each, and nothing else in the way."""

from __future__ import annotations

from typing import Any, Final

from ruamel.yaml import YAML

from levelhead.gear.book import GearBook, load_book
from levelhead.rig.build import build_rig
from levelhead.rig.model import Rig
from levelhead.show.document import parse_show
from levelhead.show.model import Show

ENTRIES: Final = """
player:                 # a two-pin supply, an unbalanced output
  label: Player
  kind: player
  source: standard
  earth: class-2
  ports: &unbalanced
    out: &out-100-ohm
      socket: phono
      role: out
      circuit: single-ended-output
      impedance: 100 ohm
      ground: 0.001 mohm
    more: *out-100-ohm
  controls: {volume: {range: [off, 0 dB], default: 0 dB}}
  path:
    from:
      - generator: {level: -10 dBV, peak-to-rms: 12 dB, spectrum: pink, shared: "1"}
    stages: [{stage: output, control: volume}]
    to: out
player-earthed:
  like: player
  label: Player with an earth
  kind: player
  source: standard
  earth: mains
player-on-battery:
  like: player
  label: Player on a battery
  kind: player
  source: standard
  earth: none
symmetrical:
  label: Line output, both legs driven
  kind: feed
  source: standard
  earth: mains
  ports:
    out: {socket: xlr-m, role: out, circuit: symmetrical-output, impedance: 200 ohm}
  path: &line
    from:
      - generator: {level: +4 dBu, peak-to-rms: 12 dB, spectrum: pink, shared: "1"}
    stages: [{stage: output}]
    to: out
impedance-balanced:
  label: Line output, one leg driven
  kind: feed
  source: standard
  earth: mains
  ports:
    out: {socket: xlr-m, role: out, circuit: impedance-balanced-output, impedance: 200 ohm}
  path: *line
ten-ohm:                # unlike legs: 10 ohm more in that of pin 2
  label: Plug with a resistor
  kind: box
  source: standard
  ports:
    in: {socket: xlr-f, role: in}
    out: {socket: xlr-m, role: out}
  parts:
    - {wire: [in.1, out.1]}
    - {wire: [in.3, out.3]}
    - {resistor: [in.2, out.2], value: 10 ohm}
amp-unbalanced:
  label: Amplifier, unbalanced
  kind: amplifier
  source: standard
  earth: mains
  ports:
    in: &in-1-mohm
      socket: phono
      role: in
      circuit: unbalanced-input
      impedance: 1 Mohm
      capacitance: 0.001 pF
      ground: 0.001 mohm
    second: *in-1-mohm
  blocks: &monitors
    left:
      path:
        from: in
        stages: &driver [{stage: driver, sensitivity: {level: 100 dB SPL, at: 0 dBu}}]
        to: air
    right: {path: {from: second, stages: *driver, to: air}}
recorder:
  label: Recorder, unbalanced
  kind: processor
  source: standard
  earth: mains
  ports: {in: *in-1-mohm}
  path: {from: in, stages: [{stage: converter, full-scale: 2 V, ceiling: 0 dBFS}]}
amp-balanced:
  label: Amplifier, balanced
  kind: amplifier
  source: standard
  earth: mains
  ports:
    in:
      socket: xlr-f
      role: in
      circuit: balanced-input
      impedance: 20 kohm
      common-mode: 10 kohm
      cmrr: {value: 60 dB, range: [50 dB, 70 dB]}
  path: {from: in, stages: *driver, to: air}
isolator:
  label: Line transformer
  kind: box
  source: standard
  ports:
    in: {socket: phono, role: in}
    out: {socket: phono, role: out}
  parts:
    - transformer: [in.tip, in.sleeve, out.tip, out.sleeve]
      ratio: "1"
      magnetising: 20 H
      leakage: 1 mH
      primary: 50 ohm
      secondary: 50 ohm
    - {name: between-windings, capacitor: [in.sleeve, out.sleeve], value: 100 pF}
joint:                  # screens of three leads meet, and go nowhere
  label: Box in which screens meet
  kind: box
  source: standard
  ports:
    in-1: {socket: phono, role: in}
    in-2: {socket: phono, role: in}
    in-3: {socket: phono, role: in}
  parts:
    - {wire: [in-1.sleeve, in-2.sleeve]}
    - {wire: [in-2.sleeve, in-3.sleeve]}
lead-1-ohm:             # whole screen, its contacts of 5 mohm included
  label: Lead with a screen of 1 ohm
  kind: cable
  source: standard
  ends: {a: phono, b: phono}
  wire: {core: 85 mohm/m, screen: 995 mohm/m, contact: 5 mohm}
  map: {a.tip: b.tip, a.sleeve: b.sleeve}
  usual-length: 1 m
lead-65-mohm:
  like: lead-1-ohm
  label: Lead with a heavy screen
  kind: cable
  source: standard
  wire: {core: 85 mohm/m, screen: 60 mohm/m, contact: 5 mohm}
cable-open:             # the screen joined at the sending end only
  label: XLR cable, pin 1 open at the receiving end
  kind: cable
  source: standard
  ends: {a: xlr-f, b: xlr-m}
  wire: {core: 85 mohm/m, screen: 30 mohm/m, contact: 5 mohm}
  map: {a.2: b.2, a.3: b.3}
  usual-length: 10 m
cable-bare:             # no capacitance
  like: cable-open
  label: XLR cable, all pins
  kind: cable
  source: standard
  map: {a.1: b.1, a.2: b.2, a.3: b.3}
"""


def entries() -> dict[str, Any]:
    """The gear of these rigs, as the gear book reads it."""
    found: dict[str, Any] = YAML(typ="safe", pure=True).load(ENTRIES)
    return found


BOOK: Final[GearBook] = load_book().extended(entries())

TWO_CIRCUITS: Final = """
supplies:
  stage: {outlet: stage left, circuit: "1"}
  wings: {outlet: stage right, circuit: "1"}
  hall: {outlet: back of the hall, circuit: "2"}
"""


def show_of(text: str, *, supplies: str = TWO_CIRCUITS) -> Show:
    """A show of a few lines: items and links, as they stand in a file."""
    return parse_show(f"levelhead: 1\nshow: {{name: Hum}}\n{text}\n{supplies}", "hum.yaml").show


def rig_of(text: str, *, supplies: str = TWO_CIRCUITS) -> Rig:
    """The rig of such a show."""
    return build_rig(show_of(text, supplies=supplies), BOOK)


def line_of_two(
    sender: str, cable: str, receiver: str, *, at: tuple[str | None, str | None] = (None, None)
) -> str:
    """An output into an input, each on a supply (or on none that is known)."""
    ends = []
    for name, type_id, supply in (("one", sender, at[0]), ("two", receiver, at[1])):
        ends.append(f"  {name}: {{type: {type_id}{f', supply: {supply}' if supply else ''}}}")
    items = "\n".join(ends)
    return f"items:\n{items}\nlinks: [{{from: one.out, to: two.in, via: [{cable}]}}]"
