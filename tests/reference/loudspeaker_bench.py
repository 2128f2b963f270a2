"""An amplifier, loudspeakers as resistances and a cable, for the printed examples of copper."""

from __future__ import annotations

from typing import Final

__all__ = ["FOOT_M", "gear"]

FOOT_M: Final = 0.3048  # international foot, exact


def gear(load: str, core: str, *, amp: str = "0.01 mohm") -> str:
    """An amplifier, a loudspeaker as a resistance, and a cable; plugs cost nothing."""
    return f"""
    amp:
      label: Amplifier
      kind: box
      source: measured
      earth: mains
      ports:
        out: {{socket: speaker-4, role: loudspeaker, circuit: power-output, impedance: {amp}}}
    box:
      label: Loudspeaker
      kind: box
      source: measured
      ports:
        in: {{socket: speaker-4, role: in}}
        link: {{socket: speaker-4, role: through, joined: in}}
      parts: [{{resistor: [in.1+, in.1-], value: {load}}}]
    wire:
      label: Loudspeaker cable
      kind: cable
      source: measured
      ends: {{a: speaker-4, b: speaker-4}}
      wire: {{core: {core}, contact: 0.0001 mohm}}
      map: {{a.1+: b.1+, a.1-: b.1-}}
    """
