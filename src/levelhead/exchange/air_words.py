"""What the air makes of a layout, a line each: seats of an area, feedback; with the next step."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from levelhead.acoustics.heard.heard import AreaHeard
from levelhead.acoustics.listening.seats import evenness_db
from levelhead.acoustics.listening.speech import rating
from levelhead.acoustics.loop.feedback import STABLE_MARGIN_DB
from levelhead.acoustics.rings.rings_of import Ringing
from levelhead.quantity.bands import band_labels
from levelhead.verdicts.air.limits import APART_DB, LARGE_SHARE, NOISE_COUNTS_DB, STI_FINE

__all__ = ["Said", "area_words", "feedback_words", "place_words"]


@dataclass(frozen=True, slots=True)
class Said:
    """One line: what it is like, and what to do next, empty where nothing need be done."""

    what: str
    next: str = ""


def area_words(area: AreaHeard) -> Said:
    """Level, evenness and speech of an area."""
    levels = area.seats.a_weighted_db
    within_db, _ = evenness_db(levels)
    what = f"{area.area.name}: {area.level_db:.0f} dB(A)"
    if len(levels) > 1:
        what += f", from {levels.min():.0f} to {levels.max():.0f}"
        what += f"; eight of ten seats lie within {within_db:.1f} dB"
    if area.sti is not None:
        what += f". Speech transmission index {area.sti:.2f}, {rating(area.sti)}"
    return Said(f"{what}.", _next_for_seats(area, within_db))


def _next_for_seats(area: AreaHeard, within_db: float) -> str:
    if within_db > APART_DB:
        right, into, _ = area.seats.places_m[int(np.argmin(area.seats.a_weighted_db))]
        return (
            f"The quietest seats are {place_words(float(right), float(into))}: turn a loudspeaker "
            "to them, hang it higher, or put a delayed one near them."
        )
    if area.sti is None or area.sti >= STI_FINE:
        return ""
    ratio, noise = area.direct_to_reverberant_db, area.signal_to_noise_db
    if ratio is not None and ratio < 0:
        return (
            f"Straight sound is {-ratio:.0f} dB below what the room gives back: loudspeakers "
            "nearer to the seats, turned down to them and away from walls."
        )
    if noise is not None and noise < NOISE_COUNTS_DB:
        return f"Voices are {noise:.0f} dB over the noise: more of them, or less noise."
    return "Sound comes late from somewhere: delay what is farther down the hall."


def place_words(right_m: float, into_m: float) -> str:
    """A place as people point at it.

    Examples
    --------
    >>> place_words(-3.0, 9.5), place_words(0.0, -1.0)
    ('9.5 m into the hall, 3.0 m to the left', '1.0 m onto the stage, in the middle')
    """
    along = f"{into_m:.1f} m into the hall" if into_m >= 0 else f"{-into_m:.1f} m onto the stage"
    if abs(right_m) < 0.05:  # noqa: PLR2004 - half of what is printed
        return f"{along}, in the middle"
    return f"{along}, {abs(right_m):.1f} m to the {'right' if right_m > 0 else 'left'}"


def feedback_words(ringing: Ringing) -> Said | None:
    """How far it is from ringing, and who rings first; nothing where nothing can ring."""
    margin = ringing.margin
    if margin is None:
        return None
    microphones, loudspeakers = (_largest(each) for each in ringing.shares())
    who = f"first around {band_labels()[margin.band]}, from {loudspeakers} into {microphones}"
    if margin.median_db < 0:
        what = f"Feedback: it rings, more likely than not, by {-margin.median_db:.0f} dB; {who}."
    elif margin.sure_db < 0:
        more = f"even chance with {margin.median_db:.0f} dB more"
        what = f"Feedback: may ring as it stands, {more}; {who}."
    else:
        what = f"Feedback: {margin.sure_db:.0f} dB left until one room in twenty rings; {who}."
    if margin.sure_db >= STABLE_MARGIN_DB:
        return Said(what)
    return Said(
        what,
        f"Take {microphones} out of the way of {loudspeakers}, closer to the voice, or shut while "
        "nobody uses it.",
    )


def _largest(shares: list[tuple[str, float]]) -> str:
    large = [name for name, share in shares if share >= LARGE_SHARE]
    return " and ".join(large) if large else "many"
