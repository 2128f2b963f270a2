"""What hangs over heads: told with the usual caution, for fixings cannot be seen from here.

One fixing alone is never enough, whatever it is; more than that is for a rigger to judge.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from levelhead.verdicts.people.words import FIXINGS, OVERHEAD, RIGGING_CAUTION, SENTENCES
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.words import place_words

__all__ = ["OVERHEAD_M", "check_fixings", "check_overhead"]

OVERHEAD_M: Final = 2.5  # over raised hands; a stand of the usual kind ends below, common practice
LEAST_FIXINGS: Final = 2  # the second holds what hangs when the first gives way


def check_overhead(reading: Reading) -> Iterator[Finding]:
    """Loudspeakers whose place is above people."""
    points = (reading.solution.point(address) for address in reading.hum.loudspeakers)
    for item_id in dict.fromkeys(point.item for point in points):
        item, at = reading.rig.items[item_id], reading.rig.show.items[item_id].at
        if at is not None and at[2] > OVERHEAD_M and not item.plan.is_worn:
            words = {"item": place_words(item.label), "height": f"{at[2]:.1f} m"}
            yield Finding(
                code=OVERHEAD,
                severity=Severity.FINE,
                where=item_id,
                what=SENTENCES[OVERHEAD, Severity.FINE].format(**words),
                why=(Compared("height over the stage's edge", at[2], OVERHEAD_M, "m"),),
                source="its place in the show",
                basis="common practice",
                caution=RIGGING_CAUTION,
            )


def check_fixings(reading: Reading) -> Iterator[Finding]:
    """Whatever hangs over people and is held by one fixing alone."""
    for item_id, item in reading.rig.items.items():
        fixings = reading.rig.show.items[item_id].fixings
        if fixings is not None and fixings < LEAST_FIXINGS:
            yield Finding(
                code=FIXINGS,
                severity=Severity.HARM,
                where=item_id,
                what=SENTENCES[FIXINGS, Severity.HARM].format(item=place_words(item.label)),
                why=(Compared("fixings, each by itself", fixings, LEAST_FIXINGS, ""),),
                source="how many fixings the show tells",
                basis="common practice",
                caution=RIGGING_CAUTION,
            )
