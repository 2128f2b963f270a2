"""One signal twice at seats: colours of two loudspeakers, and delayed ones that drown the front."""

from __future__ import annotations

from collections.abc import Iterator

from levelhead.acoustics.sound.delay import HEARD_COMB_DB, LEAST_SHARE, LOUDER_DB
from levelhead.acoustics.twice.combs import Combed
from levelhead.acoustics.twice.delayed import Delayed
from levelhead.quantity.formatting import format_level, format_si
from levelhead.verdicts.air.limits import COLOUR_DB
from levelhead.verdicts.air.numbers import AreaNumbers, Seen, seen_by
from levelhead.verdicts.air.seats import told_of
from levelhead.verdicts.air.words import COMB, DELAYED, SENTENCES
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import ROUNDING, LimitState

__all__ = ["check_twice"]


def check_twice(reading: Reading) -> Iterator[Finding]:
    """Of each area the pair that colours most, and every loudspeaker that repeats the front."""
    seen = seen_by(reading.solution)
    if seen is None:
        return
    for area in told_of(seen):
        pairs = seen.combs[area.id]
        if pairs:
            yield _comb(reading, seen, area, max(pairs, key=lambda each: each.ripple_db))
        for each in seen.delayed[area.id]:
            yield _delayed(reading, seen, area, each)


def _ports(reading: Reading, seen: Seen, *names: str) -> tuple[str, ...]:
    """Sockets of the loudspeakers of some names."""
    items = (each.item.id for each in seen.played.boxes if each.name in names)
    return reading.plugs(*dict.fromkeys(items))


def _comb(reading: Reading, seen: Seen, area: AreaNumbers, pair: Combed) -> Finding:
    """Two loudspeakers that colour each other, by the swing that is heard."""
    margin_db = COLOUR_DB - pair.ripple_db
    severity = Severity.CARE if margin_db <= ROUNDING else Severity.FINE
    null_hz = pair.null_hz
    return Finding(
        code=COMB,
        severity=severity,
        where=f"areas.{area.id}.colour",
        what=SENTENCES[COMB, severity].format(
            area=area.name,
            one=pair.one,
            other=pair.other,
            share=f"{pair.share:.0%}",
            ripple=format_level(pair.ripple_db, "dB"),
            null="" if null_hz is None else format_si(null_hz[0], "Hz"),
            down=format_level(HEARD_COMB_DB, "dB"),
        ),
        why=(
            Compared("swing at a quarter of the seats", pair.ripple_db, COLOUR_DB, "dB"),
            Compared("share of the seats that hear it", pair.share, LEAST_SHARE, "1"),
        ),
        state=LimitState(margin_db, "dB"),
        source="both ways of the signal in critical bands, against all else of it at the seats",
        basis="Rec. ITU-R BS.1116; Everest; Glasberg and Moore 1990",
        ports=_ports(reading, seen, pair.one, pair.other),
    )


def _delayed(reading: Reading, seen: Seen, area: AreaNumbers, late: Delayed) -> Finding:
    """A loudspeaker down the hall, by how much it is louder than the front."""
    severity = Severity.CARE if late.excess_db > ROUNDING else Severity.FINE
    severity = severity if late.share >= LEAST_SHARE else Severity.FINE
    return Finding(
        code=DELAYED,
        severity=severity,
        where=f"areas.{area.id}.front",
        what=SENTENCES[DELAYED, severity].format(
            area=area.name,
            name=late.name,
            front=late.front,
            share=f"{late.share:.0%}",
            louder=_louder(late.louder_db),
            behind=_behind(late.behind_s),
            may_be=_louder(late.may_be_db),
            cure=_cure(late),
        ),
        why=(
            Compared("louder than the front", late.louder_db, late.may_be_db, "dB"),
            Compared("behind the front", 1000 * late.behind_s, None, "ms"),
            Compared("share of the seats that hear it by itself", late.share, LEAST_SHARE, "1"),
        ),
        state=LimitState(-late.excess_db, "dB"),
        source="levels and times of straight sound at the seats before it",
        basis="Haas 1949",
        ports=_ports(reading, seen, late.name),
    )


def _cure(late: Delayed) -> str:
    """By how much lower, or in time and by how much lower then."""
    lower = f"{format_level(late.excess_db, 'dB')} lower"
    if late.may_be_db >= LOUDER_DB:
        return lower
    then_db = late.louder_db - LOUDER_DB
    also = f" and {format_level(then_db, 'dB')} lower" if then_db > 0 else ""
    return f"{lower}, or 10 to 20 ms behind the front{also}"


def _louder(by_db: float) -> str:
    return f"{format_level(abs(by_db), 'dB')} {'louder' if by_db >= 0 else 'softer'}"


def _behind(by_s: float) -> str:
    return f"{1000 * abs(by_s):.0f} ms {'behind' if by_s >= 0 else 'before'} it"
