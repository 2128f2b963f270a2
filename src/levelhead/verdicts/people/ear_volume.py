"""The volume before an ear: what comes past it when all before it is at its ceiling.

Where it stands is taken from the show. Nobody's hand is counted on, and no knob is a safeguard:
a slip before it is what it lets through.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from levelhead.chain.graph.points import Edge, EdgeGain
from levelhead.chain.most import Most
from levelhead.gear.scales import SCALES, position_words
from levelhead.quantity.decibels import P_REFERENCE_PA
from levelhead.quantity.exposure import PLAYER_LIMIT_DB
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.severity import Severity
from levelhead.verdicts.told.words import control_words

__all__ = [
    "EAR_CARE_DB",
    "EAR_HARM_DB",
    "EAR_SENTENCES",
    "WITHOUT_VOLUME",
    "Volume",
    "edges_to",
    "largest",
    "level_spl",
    "limit_words",
    "volume_before",
    "volume_words",
]

EAR_CARE_DB: Final = 110.0  # NIOSH 98-126, Table 1-1: a day's dose in 1 min 29 s
EAR_HARM_DB: Final = 120.0  # NIOSH 98-126, Table 1-1: a day's dose in 9 s, faster than a hand
_OFF_DB: Final = -80.0  # further down a volume is as good as off
_SHUT: Final = 1e-9

EAR_SENTENCES: Final = {
    "harm": "{worn} can give {level} at the ear with {control} as it stands, if something drops or "
    "feeds back: more than the {limit} at which a day's dose takes seconds. A limiter before them "
    "and one on their send hold it lower; a volume knob does not.",
    "harm-fixed": "{worn} can give {level} at the ear if something drops or feeds back: more than "
    "the {limit} at which a day's dose takes seconds. A limiter before them and one on their send "
    "hold it lower.",
    "near": "{worn} can give {level} at the ear with {control} as it stands, if something drops or "
    "a solo is pressed. It works with {control} down to {place}, where {care} are the most.",
    "near-fixed": "{worn} can give {level} at the ear if something drops or a solo is pressed. It "
    "works while what feeds them is turned down before they are put on.",
    "loud": "{worn} gives {loud} at the ear in the loud passage, more than the {player} that a "
    "player may give. It works with the volume down, or for minutes.",
    "not-stated": "{worn} can give {most} at the ear with everything up, and the show does not say "
    "where {control} stands. It works below {place}: that far, no slip brings more than {care}.",
    "fine": "{worn} can give {level} at the ear with {control} as it stands; past {place} a slip "
    "can bring more than {care}.",
    "fine-fixed": "{worn} can give {level} at the ear.",
    "never": "{worn} cannot give more than {most} at the ear.",
}
WITHOUT_VOLUME: Final = {
    (Severity.HARM, "harm"): "harm-fixed",
    (Severity.CARE, "near"): "near-fixed",
    (Severity.FINE, "fine"): "fine-fixed",
}


@dataclass(frozen=True, slots=True)
class Volume:
    """The last control before an ear, with what lies on both sides of it.

    Attributes
    ----------
    control
        Its address.
    before
        Most that can come to it, in the unit of its point.
    behind
        From behind it to the ear, without its own gain: Pa per that unit.
    is_stated
        Whether the show says where it stands.
    """

    control: str
    before: float
    behind: float
    is_stated: bool

    def slip_db(self, reading: Reading, setting_db: float | None = None) -> float:
        """Level at the ear with all before it at its ceiling; fully up if nobody knows. [dB SPL]"""
        rig = reading.rig
        if setting_db is None:
            is_open = self.control in rig.unknowns
            setting_db = (
                rig.controls[self.control].high if is_open else rig.setting_db(self.control)
            )
        return level_spl(max(self.before * self.behind, _SHUT)) + setting_db

    def is_harmless(self, reading: Reading) -> bool:
        """Whether a slip stays under the limit wherever it stands."""
        high_db = reading.rig.controls[self.control].high
        return self.slip_db(reading, high_db) <= EAR_CARE_DB

    def limit_db(self, reading: Reading, level_db: float) -> float:
        """Setting at which a slip brings this level. [dB]"""
        return level_db - self.slip_db(reading, 0.0)


def volume_before(reading: Reading, address: str, output: int) -> Volume | None:
    """The last free range that a signal passes on its way out of an output to an ear."""
    stands, most = (reading.most(trusts_limiters=True, turns_up=each) for each in (False, True))
    rig, row = reading.rig, output
    item = reading.solution.graph.points[output].item
    behind = _from(reading, output, reading.solution.number(address))
    seen = {row}
    while reading.solution.graph.points[row].item == item:
        arriving = [each for each in edges_to(reading, row) if each.source not in seen]
        edge = max(arriving, key=lambda each: _brings(most, each), default=None)
        if edge is None:
            return None
        control = reading.solution.graph.points[row].control or edge.control
        if control is not None and rig.controls[control].kind == "range":
            now = 10 ** (rig.setting_db(control) / 20)
            own = largest(edge.gain) / now if now > _SHUT else 0.0
            # one slip turns up nothing; what is shut as yet will be opened for the show
            before = float(stands.by_band(edge.source).max() or most.by_band(edge.source).max())
            if reading.solution.graph.points[edge.source].unit == "FS":
                before = min(before, 1.0)  # no number is larger
            is_usable = math.isfinite(before) and own > 0
            stated = control in rig.settings or control in rig.show.locks
            return Volume(control, before, own * behind, stated) if is_usable else None
        behind *= largest(edge.gain)
        row = edge.source
        seen.add(row)
    return None


def _from(reading: Reading, output: int, driver: int) -> float:
    """Largest gain from an output to a driver. [Pa/V]"""
    return max(
        (
            largest(last.gain) * largest(first.gain)
            for last in edges_to(reading, driver)
            for first in edges_to(reading, last.source)
            if first.source == output
        ),
        default=0.0,
    )


def _brings(most: Most, edge: Edge) -> float:
    return float(most.by_band(edge.source).max()) * largest(edge.gain)


def edges_to(reading: Reading, row: int) -> list[Edge]:
    """Ways that lead to a point."""
    graph = reading.solution.graph
    return [graph.edges[each] for each in graph.arriving_at(row).tolist()]


def largest(gain: EdgeGain) -> float:
    """Largest gain over the bands."""
    return float(np.abs(np.asarray(gain)).max())


def level_spl(pressure_pa: float) -> float:
    """Level of a sound pressure. [dB SPL]"""
    return 20 * math.log10(pressure_pa / P_REFERENCE_PA)


def limit_words() -> dict[str, str]:
    """The limits, for a sentence."""
    return {
        "limit": f"{EAR_HARM_DB:.0f} dB SPL",
        "care": f"{EAR_CARE_DB:.0f} dB SPL",
        "player": f"{PLAYER_LIMIT_DB:.0f} dB(A)",
    }


def volume_words(reading: Reading, volume: Volume, limit_db: float) -> dict[str, str]:
    """The volume, and the place at which a slip reaches a limit."""
    plan = reading.rig.controls[volume.control]
    setting = min(max(volume.limit_db(reading, limit_db), plan.low, _OFF_DB), plan.high)
    travel = SCALES[plan.scale].travel(setting, low_db=plan.low, high_db=plan.high)
    return {
        "control": control_words(reading.rig, volume.control),
        "place": position_words(SCALES[plan.scale], travel),
    }
