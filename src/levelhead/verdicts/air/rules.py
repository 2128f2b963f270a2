"""The air: the rules about what comes to ears, and back into microphones.

A show without a place is told none of it, so what reckons sound in rooms is loaded only for others.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from levelhead.verdicts.air.asked import may_ring
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Finding

__all__ = ["AIR_RULES", "check_air"]


def check_air(reading: Reading) -> Iterator[Finding]:
    """Seats, feedback, subwoofers and doses of a show that says where it takes place."""
    if not may_ring(reading.solution):
        return
    from levelhead.verdicts.air.doses import check_doses
    from levelhead.verdicts.air.rings import check_ringing
    from levelhead.verdicts.air.seats import check_seats
    from levelhead.verdicts.air.subs import check_subwoofers
    from levelhead.verdicts.air.twice import check_twice

    for rule in (check_seats, check_twice, check_ringing, check_subwoofers, check_doses):
        yield from rule(reading)


AIR_RULES: Final = (check_air,)
