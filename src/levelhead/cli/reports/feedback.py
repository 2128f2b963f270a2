"""``levelhead feedback``: how far the system is from ringing, and what buys most, in 80 columns."""

from __future__ import annotations

import math
from collections.abc import Sequence

from levelhead.acoustics.loop.feedback import STABLE_MARGIN_DB, FeedbackMargin
from levelhead.acoustics.rings.handbook import handbook_of
from levelhead.acoustics.rings.rings_of import Ringing
from levelhead.cli.reports.columns import cut, entry, paragraph
from levelhead.cli.reports.seats import remark_lines
from levelhead.planning.air.ring_moves import RingMove
from levelhead.quantity.bands import band_labels

__all__ = ["feedback_report"]


def feedback_report(ringing: Ringing, moves: Sequence[RingMove], title: str) -> str:
    """Margins, who rings first, what buys most, and what was assumed."""
    lines = [f"{title}: feedback, as everything stands"]
    if ringing.margin is not None:
        lines += ["", *_margins(ringing.margin), *_first(ringing), *_moves(moves)]
        lines += _handbook(ringing) + _terms(ringing)
    return "\n".join([*lines, *remark_lines(ringing.remarks)])


def _margins(margin: FeedbackMargin) -> list[str]:
    mean_db = -margin.mean_margin_db
    rows = (
        ("mean loop gain", mean_db, "in the highest band, phases left out"),
        (
            "spare of handbooks",
            margin.stable_margin_db,
            f"to {STABLE_MARGIN_DB:g} dB below a mean loop gain of one",
        ),
        ("even chance", margin.median_db, f"{_turned(margin.median_db)}, half of such places ring"),
        ("nineteen of twenty", margin.sure_db, f"{_turned(margin.sure_db)}, one in twenty rings"),
    )
    lines = [f"{name:<20}{value:>7.1f} dB  {cut(what, 49)}" for name, value, what in rows]
    if margin.median_db < 0:
        what = f"As it stands it rings, more likely than not. {_quiet(margin)}"
        lines += ["", *entry("FAILS", what)]
    elif margin.sure_db < 0:
        what = f"In one place of twenty or more it rings as it stands. {_quiet(margin)}"
        lines += ["", *entry("CARE", what)]
    return lines


def _quiet(margin: FeedbackMargin) -> str:
    """What to do before anything is moved."""
    less_db = math.ceil(-margin.sure_db)
    return (
        f"Turn the microphones or the master down by {less_db} dB: nineteen of twenty such places "
        "are quiet then."
    )


def _turned(by_db: float) -> str:
    """Which way the figure of a margin goes from here."""
    return "with so much more" if by_db >= 0 else "even with so much less"


def _first(ringing: Ringing) -> list[str]:
    if ringing.margin is None:
        return []
    microphones, loudspeakers = ringing.shares()
    band = band_labels()[ringing.margin.band]
    said = (
        f"around {band}, from {_named(loudspeakers)} into {_named(microphones)}; "
        f"microphones with a place: {len(ringing.ears)}, loudspeakers: {len(ringing.boxes)}."
    )
    return ["", *entry("First", said)]


def _named(shares: list[tuple[str, float]]) -> str:
    """Those with a fifth of the loop or more."""
    large = [f"{name} ({share:.0%})" for name, share in shares if share >= 0.2]  # noqa: PLR2004
    return " and ".join(large) if large else "many"


def _moves(moves: Sequence[RingMove]) -> list[str]:
    if not moves:
        return []
    lines = ["", "What buys most, each by itself:"]
    for each in moves:
        lines += paragraph(each.do, first=f"{each.buys_db:>7.1f} dB  ", rest=" " * 12)
    return lines


def _handbook(ringing: Ringing) -> list[str]:
    """Needed and potential gain beside it, with every assumption that does not hold."""
    told = handbook_of(ringing)
    if told is None:
        return []
    ways = told.distances
    said = (
        f"{told.microphone} with {told.loudspeaker}, {told.open_microphones} of "
        f"{len(ringing.ears)} open (closed is what brings less than 1 % of the loop): talker to "
        f"microphone {ways.ds:.2f} m and to the farthest seat {ways.d0:.1f} m, loudspeaker to "
        f"microphone {ways.d1:.1f} m and to that seat {ways.d2:.1f} m."
    )
    lines = ["", "Handbook's four distances:"]
    lines += paragraph(said, first=" " * 4, rest=" " * 4)
    lines += [
        f"{told.gain.needed_db:>7.1f} dB  gain needed, as near as 3 m",
        f"{told.gain.potential_db:>7.1f} dB  gain that can be had, 6 dB below feedback",
    ]
    for each in told.gain.doubts:
        lines += paragraph(each, first="       -    ", rest=" " * 12)
    return lines


def _terms(ringing: Ringing) -> list[str]:
    if not ringing.terms:
        return []
    lines = ["", "Counted besides, typical:"]
    for each in ringing.terms:
        said = f"{each.what} (give or take {each.spread_db:g} dB)"
        lines += paragraph(said, first=f"{each.gain_db:>+7.1f} dB  ", rest=" " * 12)
    return lines
