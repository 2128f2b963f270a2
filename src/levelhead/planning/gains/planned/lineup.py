"""A console and its amplifier lined up, as values; ``lineups`` works them out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from levelhead.planning.gains.planned.tenths import tenths
from levelhead.show.edits import Set

__all__ = ["Lineup", "LineupWay"]


@dataclass(frozen=True, slots=True)
class LineupWay:
    """One way to set an attenuator: what the edits are, and what they give.

    ``reserve_db`` is the least headroom from the console's output on; ``console_over_db`` how much
    louder the console's output can get after the amplifier has reached its ceiling.
    """

    edits: tuple[Set, ...]
    attenuator_db: float
    reserve_db: float
    console_over_db: float
    noise_a: float | None


@dataclass(frozen=True, slots=True)
class Lineup:
    """A console output and the amplifier (or powered loudspeaker) that it drives, lined up.

    ``planned`` sets the attenuator so that both reach their ceilings together, or the amplifier (or
    its limiter) first; ``full_up`` leaves it fully up and turns the console down instead, for the
    same loudness. The noise that the first saves is ``saved_db``.
    """

    console: str
    amplifier: str
    control: str
    end: str
    planned: LineupWay
    full_up: LineupWay

    @property
    def saved_db(self) -> float:
        """A-weighted noise at the loudspeaker that lining up saves."""
        if self.planned.noise_a is None or self.full_up.noise_a is None:
            return 0.0
        return self.full_up.noise_a - self.planned.noise_a

    def to_json(self) -> dict[str, Any]:
        """As docs/formats.md prints it."""
        return {
            "console": self.console,
            "amplifier": self.amplifier,
            "control": self.control,
            "end": self.end,
            "saved_db": tenths(self.saved_db),
            "planned": _way_json(self.planned),
            "full_up": _way_json(self.full_up),
        }


def _way_json(way: LineupWay) -> dict[str, Any]:
    return {
        "attenuator_db": tenths(way.attenuator_db),
        "reserve_db": tenths(way.reserve_db),
        "console_over_db": tenths(way.console_over_db),
        "noise_a": tenths(way.noise_a),
        "settings": {each.address: each.value for each in way.edits},
    }
