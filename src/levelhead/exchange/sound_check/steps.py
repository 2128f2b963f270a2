"""One step of a sound check, as a value."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from levelhead.gear.positions import hand_words
from levelhead.rig.model import Rig
from levelhead.rig.settings import setting_text

__all__ = ["PARTS", "Set", "Step", "few_of", "set_of"]

_NAMED: Final = 6

PARTS: Final = {
    "power-up": "Power up",
    "at-rest": "Everything at rest",
    "phantom": "Phantom power",
    "loudspeakers": "Loudspeakers, with music that you know",
    "sources": "One source at a time",
    "sends": "Monitors and other sends",
    "ringing": "Ringing",
    "loudest": "The loudest moment",
    "power-down": "Power down, after the show",
}
"""Headings, in their order."""


def few_of(labels: Sequence[str]) -> list[str]:
    """Labels; of many the first ones, and how many more there are.

    >>> few_of(["a", "b"]), few_of([*"abcdefgh"])
    (['a', 'b'], ['a', 'b', 'c', 'd', 'e', '3 more'])
    """
    if len(labels) <= _NAMED:
        return list(labels)
    return [*labels[: _NAMED - 1], f"{len(labels) - _NAMED + 1} more"]


@dataclass(frozen=True, slots=True)
class Set:
    """A control that is set in a step: its address, its label, the setting, and where a hand is."""

    control: str
    label: str
    setting: str
    hand: str

    @property
    def words(self) -> str:
        """``gain 34 dB (just past 1 o'clock)``; a fader on its mark needs no more words."""
        return f"{self.label} {self.setting}{f' ({self.told})' if self.told else ''}"

    @property
    def told(self) -> str:
        """Where a hand is, if that says more than the setting."""
        number = self.setting.removesuffix(" dB")
        on_mark = f"on {number}" if number.startswith("-") or number == "0" else f"on +{number}"
        same = {self.setting, on_mark, "down" if self.setting == "off" else on_mark}
        return "" if self.hand in same else self.hand

    def to_json(self) -> dict[str, str]:
        """As docs/formats.md prints it."""
        return {
            "control": self.control,
            "label": self.label,
            "setting": self.setting,
            "hand": self.hand,
        }


def set_of(rig: Rig, control: str) -> Set:
    """A control as it stands in a rig, in words."""
    plan, setting = rig.controls[control], rig.setting(control)
    return Set(control, plan.label, setting_text(setting, plan), hand_words(plan, setting))


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to do, with a box to tick.

    Attributes
    ----------
    part
        A key of ``PARTS``.
    do
        What a person does.
    at
        Address that it is about: of an item, a strip's input, an output; empty for the whole rig.
    meter
        What the meter reads then, with its detector; empty where none is looked at.
    between
        Readings between which it is right.
    sets
        Controls that are set.
    caution
        What can hurt there.
    """

    part: str
    do: str
    at: str = ""
    meter: str = ""
    between: str = ""
    sets: tuple[Set, ...] = ()
    caution: str | None = None

    def to_json(self, number: int) -> dict[str, Any]:
        """As docs/formats.md prints it."""
        return {
            "number": number,
            "part": self.part,
            "do": self.do,
            "at": self.at,
            "meter": self.meter,
            "between": self.between,
            "sets": [each.to_json() for each in self.sets],
            "caution": self.caution,
        }
