"""Subwoofers: do they add to the loudspeakers that they stand under, or take from them?"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from levelhead.acoustics.twice.subs import Meeting, meetings
from levelhead.quantity.formatting import format_level, format_si
from levelhead.verdicts.air.limits import SUB_CARE_DEG
from levelhead.verdicts.air.numbers import Seen, seen_by
from levelhead.verdicts.air.words import SENTENCES, SUB
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import LimitState

__all__ = ["check_subwoofers", "cure_words", "met_at"]


def check_subwoofers(reading: Reading) -> Iterator[Finding]:
    """Every subwoofer against what plays the same above it, in the middle of the first area."""
    seen = seen_by(reading.solution)
    if seen is not None and seen.show.areas:
        for met in _meetings(reading, seen):
            yield _finding(reading, met, seen.played.located.areas[0].name)


def met_at(reading: Reading, address: str) -> Meeting | None:
    """How the subwoofer whose driver has an address meets what plays the same above it."""
    seen = seen_by(reading.solution)
    if seen is None or not seen.show.areas:
        return None
    points = reading.solution.graph.points
    found = _meetings(reading, seen)
    return next((each for each in found if points[each.sub.number].address == address), None)


def _meetings(reading: Reading, seen: Seen) -> Iterator[Meeting]:
    air = seen.played.located.venue.air
    return meetings(reading.solution, seen.played.boxes, _middle(seen), air)


def _middle(seen: Seen) -> NDArray[np.float64]:
    """The middle of the first area, at its ears. [m]"""
    area = seen.played.located.areas[0]
    return np.append(np.mean(area.corners_m, axis=0), area.ear_m)


def _finding(reading: Reading, met: Meeting, place: str) -> Finding:
    """A subwoofer and what stands above it, by the phase between them."""
    severity = Severity.CARE if met.phase_deg > SUB_CARE_DEG else Severity.FINE
    less_db = met.alignment.sum_db - met.now_db
    return Finding(
        code=SUB,
        severity=severity,
        where=reading.solution.graph.points[met.sub.number].address,
        what=SENTENCES[SUB, severity].format(
            crossover=format_si(met.crossover_hz, "Hz"),
            sub=met.sub.name,
            main=met.main.name,
            place=f"the middle of {place}",
            phase=f"{met.phase_deg:.0f} degrees",
            less=format_level(less_db, "dB"),
            cure=cure_words(met),
        ),
        why=(
            Compared("phase where they meet", met.phase_deg, SUB_CARE_DEG, "degrees"),
            Compared("both together against one", met.now_db, 6.0, "dB"),
        ),
        state=LimitState(SUB_CARE_DEG - met.phase_deg, "degrees"),
        assumed=("what the drivers themselves turn is not known: listen to both ways",),
        source="phase of filters and polarity, delays and distances of both",
        basis="geometry",
        ports=reading.plugs(met.sub.item.id, met.main.item.id),
    )


def cure_words(met: Meeting) -> str:
    """What to set: delay of one of both, polarity of the subwoofer."""
    set_up = met.alignment
    delayed, late_s = (
        (met.sub.name, set_up.delay_sub_s)
        if set_up.delay_sub_s > 0
        else (met.main.name, set_up.delay_main_s)
    )
    said = [f"{1000 * late_s:.1f} ms on {delayed}"] if late_s > 0 else []
    if set_up.inverted:
        said.append(f"the polarity of {met.sub.name} turned")
    return " and ".join(said) or "what stands"
