"""Bare ends on a distribution board: who joins them is all that is asked."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from levelhead.verdicts.explain import PRACTICE, Explained
from levelhead.verdicts.people.words import MAINS_CAUTION
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Finding, Severity
from levelhead.verdicts.told.words import place_words

__all__ = ["EXPLAINED", "TAILS", "check_tails"]

TAILS: Final = "people.tails"
_BY_CREW: Final = (
    "{supply} is to be joined to a distribution board by the crew. Behind its cover are live "
    "parts, and there is no second chance. Stop: the house's electrician does it, or gear goes "
    "into sockets that exist."
)


def check_tails(reading: Reading) -> Iterator[Finding]:
    """Supplies whose bare ends somebody else than an electrician joins."""
    for supply in reading.rig.show.supplies.values():
        if supply.tails == "crew":
            yield Finding(
                code=TAILS,
                severity=Severity.HARM,
                where=f"supplies.{supply.id}.tails",
                what=_BY_CREW.format(supply=place_words(supply.label or supply.id)),
                why=(),
                source="who joins it, as the show tells",
                basis=PRACTICE,
                caution=MAINS_CAUTION,
            )


EXPLAINED: Final = (
    Explained(
        TAILS,
        "Bare ends on a distribution board that the crew joins (`tails: crew`): always harm. "
        "Nothing is told of how it is done; that is for a licensed electrician under local rules.",
    ),
)
