"""The program as the page knows it: what may be meant, the answer, what may be chosen otherwise."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from levelhead.gear.book import GearBook
    from levelhead.planning.asked.answer import Answer
    from levelhead.planning.asked.choices import Choices
    from levelhead.planning.typed.half_typed import Offered
    from levelhead.show.edits import Edit
    from levelhead.show.model import Show

__all__ = ["Library"]


@dataclass(frozen=True, slots=True)
class Library:
    """An asker around a gear book, which is loaded when somebody asks."""

    load: Callable[[], GearBook]

    @property
    def book(self) -> GearBook:
        """All gear that it knows."""
        return self.load()

    def find_candidates(self, text: str, side: str, /) -> Sequence[Offered]:
        """Gear and sockets that the words may mean, the last of them perhaps only begun."""
        from levelhead.planning.typed.half_typed import offered

        return offered(self.book, text, "to" if side == "to" else "from")

    def answer(self, request: dict[str, Any], /) -> dict[str, Any]:
        """The answer to a question that came as JSON, as JSON; ``said`` are remedies in words."""
        from levelhead.exchange.paperwork.crew_words import crew_words
        from levelhead.exchange.paperwork.work import Paperwork
        from levelhead.planning.check import Check
        from levelhead.verdicts.told.severity import Severity

        given = self._answered(request)
        content = given.to_json()
        work = Paperwork(Check(Severity.FINE, (), (), given.trial))
        for finding in content["findings"]:
            for remedy in finding["remedies"]:
                remedy["said"] = crew_words(work, remedy["do"])
        return content

    def choices(self, given: dict[str, Any], /) -> Choices:
        """Cables and switches that an answer leaves to choose."""
        from levelhead.planning.asked.choices import choices_of

        return choices_of(self.book, given)

    def show_text(self, request: dict[str, Any], title: str, /) -> str:
        """The little rig of a question, as answered, as the text of a show file."""
        from levelhead.show.written.writing import show_text

        return show_text(replace(self._answered(request).trial.show, name=title))

    def edits_into(self, request: dict[str, Any], show: Show, /) -> tuple[Edit, ...]:
        """Edits that put the rig of a question, as answered, into a show."""
        from levelhead.planning.asked.adding import edits_that_add

        given = self._answered(request)
        return edits_that_add(given.trial.show, show, into=given.to_address, book=self.book)

    def _answered(self, request: dict[str, Any]) -> Answer:
        from levelhead.planning.asked.answer import Question, answer
        from levelhead.planning.typed.half_typed import completed

        book = self.book
        question = Question(
            from_text=completed(book, request["from"], "from"),
            to_text=completed(book, request["to"], "to"),
            cable=request.get("cable"),
            length_m=request.get("length_m"),
            at=request.get("at"),
            settings=request.get("settings") or {},
        )
        return answer(question, book)
