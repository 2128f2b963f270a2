"""People's words for the figures that a verdict hangs on.

Circuits tag their parts with addresses; nobody looks those up. A comma would cut the sentence that
a figure is put into, so places are told without.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

from levelhead.rig.model import Rig
from levelhead.rig.naming import control_label

__all__ = [
    "control_label",
    "control_words",
    "figure_words",
    "gain_words",
    "other_ends",
    "output_words",
    "place_words",
    "watts_words",
]

_OF_PORTS: Final[Mapping[str, str]] = {
    "damage": "damage level",
    "clip": "clip level",
    "ceiling": "ceiling",
    "phantom": "phantom voltage",
    "dc-tolerance": "direct volts stood by",
    "back-fed": "direct current stood by",
    "surge": "peak current stood by",
    "coupling": "coupling capacitor",
    "common-mode": "leg-to-ground impedance",
    "cmrr": "common-mode rejection",
    "ground": "ground resistance",
    "winding-capacitance": "winding capacitance",
    "magnetising": "magnetising inductance",
    "tone-pot": "tone control",
    "tone-capacitor": "tone capacitor",
    "volume-pot": "volume control",
}
_OF_PARTS: Final[Mapping[str, str]] = {
    "ratio": "turns ratio",
    "magnetising": "magnetising inductance",
    "leakage": "leakage inductance",
    "primary": "resistance of the primary winding",
    "secondary": "resistance of the secondary winding",
}
_OF_GAINS: Final[Mapping[str, str]] = {"dB": "gain", "V": "full-scale level"}
_LINK: Final = re.compile(r"link (\d+), [^,]+, (.+)")


def place_words(label: str) -> str:
    """A label within a sentence.

    >>> place_words("Desk, ch3, mic input")
    'Desk ch3 mic input'
    """
    return label.replace(", ", " ")


def watts_words(power_w: float) -> str:
    """Power in whole watts, as ratings that people add up are printed: ``1250 W``, ``89 W``."""
    return f"{power_w:.0f} W"


def control_words(rig: Rig, address: str) -> str:
    """A control within a sentence: ``the gain of Desk ch3``."""
    item, _, local = address.partition(".")
    block = local.rpartition(".")[0]
    where = place_words(", ".join(part for part in (rig.items[item].label, block) if part))
    return f"the {control_label(rig, address)} of {where}"


def output_words(rig: Rig, output: tuple[str, str | None]) -> str:
    """An output, with its side if it is stereo: ``Laptop, headphone output, left``."""
    port, signal = output
    label = rig.ports[port].label
    return label if signal is None else f"{label}, {signal}"


def other_ends(rig: Rig, port: str) -> tuple[str, ...]:
    """Sockets that the link in a socket leads to."""
    links = rig.links_at.get(port, ())
    return tuple(each for link in links for each in link.ports if each != port)


def gain_words(label: str, unit: str) -> str:
    """A figure of a stage: its gain, or the sensitivity where the unit changes."""
    return f"{_OF_GAINS.get(unit, 'sensitivity')} of {place_words(label)}"


def figure_words(rig: Rig, tag: str) -> str:
    """Words for a tagged figure: of a port, of a part of a box, or of a cable.

    Tags read ``desk.ch1.mic.impedance``, ``di.transformer, ratio`` and ``link 3, cable-xlr, core
    resistance``.
    """
    link = _LINK.fullmatch(tag)
    if link is not None:
        return _of_link(rig, int(link[1]), link[2])
    place, _, name = tag.rpartition(".")
    if place in rig.ports:
        figure = _OF_PORTS.get(name, name.replace("-", " "))
        of = "" if figure.endswith(" by") else " of"
        return f"{figure}{of} {place_words(rig.ports[place].label)}"
    item, _, rest = tag.partition(".")
    part, _, name = rest.partition(", ")
    label = rig.items[item].label if item in rig.items else item
    return f"{_OF_PARTS.get(name, part)} of {place_words(label)}"


def _of_link(rig: Rig, number: int, figure: str) -> str:
    """A cable is known by what it is plugged into last."""
    link = next((each for each in rig.links if each.number == number), None)
    if link is None:
        return figure
    end = rig.ports[link.ports[-1]]
    return f"{figure} of the cable into {place_words(end.label)}"
