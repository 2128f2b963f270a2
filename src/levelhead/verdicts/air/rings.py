"""Feedback: does it ring as everything stands, and from where to where?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from levelhead.acoustics.loop.feedback import NORMAL_95
from levelhead.acoustics.remarks import INSIDE_LOUDSPEAKER, NO_AREAS
from levelhead.acoustics.rings.rings_of import Ringing
from levelhead.gear.figures import Figure
from levelhead.quantity.bands import band_labels
from levelhead.quantity.formatting import format_level
from levelhead.verdicts.air.limits import LARGE_SHARE
from levelhead.verdicts.air.numbers import ringing_in
from levelhead.verdicts.air.seats import impossible
from levelhead.verdicts.air.words import INSIDE, NO_WALLS, RINGS, SENTENCES
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import ROUNDING, Doubt, LimitState

__all__ = ["check_ringing"]

_ASK: Final = (
    "Open every microphone as for the loudest moment and raise the main until the first ring; "
    "note how far that was."
)
_PEAKS: Final = "the loop's highest peak against its usual one"


def check_ringing(reading: Reading) -> Iterator[Finding]:
    """How likely it is that nothing rings, with every microphone as open as it is set."""
    ringing = ringing_in(reading.solution)
    if ringing is None:
        return
    for remark in ringing.remarks:
        if remark.code == INSIDE_LOUDSPEAKER:
            yield impossible(INSIDE, remark.where, remark.what)
    yield _finding(reading, ringing)


def _finding(reading: Reading, ringing: Ringing) -> Finding:
    """How near the system is to ringing, where, and what is most to blame."""
    margin = ringing.margin
    assert margin is not None  # noqa: S101 - ringing_in gives no other
    median_db, sure_db = margin.median_db, margin.sure_db
    severity = _severity(median_db, sure_db)
    microphones, loudspeakers = ringing.shares()
    words = {
        "band": band_labels()[margin.band],
        "mics": _named(microphones),
        "boxes": _named(loudspeakers),
        "by": format_level(abs(median_db), "dB"),
        "sure": format_level(abs(sure_db), "dB"),
    }
    first = max(zip(ringing.ears, margin.microphones[:, margin.band], strict=True), key=_share)[0]
    items = {first.item.id, *(each.item.id for each in ringing.boxes)}
    spread_db = max(median_db - sure_db, 0.1) / NORMAL_95
    return Finding(
        code=RINGS,
        severity=severity,
        where=next(iter(reading.plugs(first.item.id)), first.item.id),
        what=SENTENCES[RINGS, severity].format(**words) + _walls(reading, ringing),
        why=(
            Compared("gain until half of such places ring", median_db, 0.0, "dB"),
            Compared("gain until one in twenty rings", sure_db, 0.0, "dB"),
            Compared("mean loop gain", -margin.mean_margin_db, -6.0, "dB"),
        ),
        state=LimitState(median_db, "dB", lambda: [_peaks(spread_db)]),
        assumed=tuple(_assumed(ringing)),
        source="mean-square loop of all microphones, desk and air; crossings of the real axis",
        basis="Schroeder 1954; Rice 1944",
        ports=reading.plugs(*items),
    )


def _severity(median_db: float, sure_db: float) -> Severity:
    if median_db < -ROUNDING:
        return Severity.FAILS
    return Severity.CARE if sure_db < -ROUNDING else Severity.FINE


def _peaks(spread_db: float) -> Doubt:
    """Nobody knows phases, heads and hands: how the highest peak lies about the usual one."""
    figure = Figure(0.0, -2 * spread_db, 2 * spread_db, "dB", "typical")
    return Doubt(_PEAKS, "chance", figure, -1.0, of="", ask=_ASK)


def _assumed(ringing: Ringing) -> Iterator[str]:
    """What was taken for granted; where people listen is nothing to the loop."""
    for each in ringing.remarks:
        if each.severity == "care" and each.code != NO_AREAS:
            yield each.what


def _walls(reading: Reading, ringing: Ringing) -> str:
    """What is missing where nobody told the room."""
    told = reading.rig.show.room
    is_outdoors = told is not None and told.where == "outdoors"
    return "" if is_outdoors or ringing.located.venue.room is not None else NO_WALLS


def _share(named: tuple[object, float]) -> float:
    return named[1]


def _named(shares: list[tuple[str, float]]) -> str:
    """Those with a fifth of the loop or more; of many the first."""
    large = [name for name, share in shares if share >= LARGE_SHARE] or [
        name for name, _ in shares[:1]
    ]
    return " and ".join(large)
