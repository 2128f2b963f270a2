"""Questions asked of the shipped gear book."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Final

from levelhead.chain.levels import PointLevels
from levelhead.gear.book import GearBook, load_book
from levelhead.planning.asked.answer import Answer, Question, answer
from levelhead.verdicts.told.finding import Finding, Remedy
from levelhead.verdicts.told.severity import Severity

BOOK: Final[GearBook] = load_book()
PLUS_4: Final = "+4 dBu"
BAD: Final = {Severity.FAILS, Severity.HARM}


@cache
def asked(from_text: str, to_text: str, at: str | None = None) -> Answer:
    """The answer to a question without more words."""
    return answer(Question(from_text, to_text, at=at), BOOK)


def asked_with(from_text: str, to_text: str, settings: Mapping[str, str]) -> Answer:
    """The answer with some controls set."""
    return answer(Question(from_text, to_text, settings=settings), BOOK)


def remedies(told: Answer) -> list[Remedy]:
    """Remedies of all that fails or harms."""
    return [remedy for each in told.findings if each.severity in BAD for remedy in each.remedies]


def sockets(remedy: Remedy) -> set[str]:
    """Sockets that a remedy plugs."""
    links = (getattr(edit, "link", None) for edit in remedy.edits if type(edit).__name__ == "Plug")
    return {address for link in links if link is not None for address in link.ends.values()}


def point(told: Answer, ending: str) -> PointLevels:
    """The first point of the answer's way whose address ends so."""
    return next(each for each in told.levels if each.at.endswith(ending))


def the(told: Answer, code: str) -> Finding:
    """The finding of a code that somebody would act on."""
    worse = (each for each in told.findings if each.severity is not Severity.FINE)
    (finding,) = (each for each in worse if each.code == code)
    return finding
