"""Show day in an open show: messages that note something, and the lock that refuses all else."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any, Final, Self

from levelhead.errors import EditError
from levelhead.show.edits import Annotate, Edit
from levelhead.show.history.day_log import DayLog, Entry, EntryKind
from levelhead.show.history.journal import History
from levelhead.show.history.steps import Step
from levelhead.web.live.messages import Message, refusal, text_of

__all__ = ["BY_READING", "Day", "is_of_day", "short_text"]

Json = dict[str, Any]
BY_READING: Final = object()
"""Stands in a message whose edits come from a meter's reading; no page can send it."""

_KINDS: Final = frozenset({"tick", "untick", "note", "reading", "lock", "unlock"})
_LONGEST: Final = 300
_MAY_BE_DONE: Final = "settle"  # what somebody wrote into the file has to be heard


def is_of_day(message: Message) -> bool:
    """Whether a message notes something and leaves the show as it is."""
    what = message.get("do")
    return isinstance(what, str) and what in _KINDS


@dataclass(slots=True)
class Day:
    """Ticks, notes, readings and the lock of one open show. Only one thread may use it."""

    log: DayLog

    @classmethod
    def of(cls, history: History) -> Self:
        """What stands in a history."""
        return cls(DayLog.of(history))

    def head(self) -> Json | None:
        """Who locked the plan; ``None`` while it is open."""
        return None if self.log.lock is None else self.log.lock.to_json()

    def notes(self) -> tuple[str, ...]:
        """What stands above the plan."""
        if self.log.lock is None:
            return ()
        by = self.log.lock.person
        told = f"The plan is locked for the show, by {by}: ticks, notes and readings go on."
        return (f"{told} Unlock it under Show day.",)

    def marks(self) -> Json:
        """Everything that is noted, for a page that has just come."""
        return {"kind": "marks", "marks": self.log.to_json(), "lock": self.head()}

    def take(self, message: Message, page: str, name: str) -> Json:
        """Note something; what every page is told.

        Raises
        ------
        LevelheadError
            The message has no such text, or the history cannot be written.
        """
        ask = f"{page} {message.get('ask')}" if isinstance(message.get("ask"), str) else ""
        if not self.log.has_taken(ask):
            self.log.add(_entry(message, name, ask))
        return self.marks()

    def refuse_plan(self, message: Message, edits: Sequence[Edit] = ()) -> None:
        """Refuse what changes a locked plan.

        Raises
        ------
        EditError
            The plan is locked, and this is no note and comes from no reading.
        """
        lock = self.log.lock
        is_note = bool(edits) and all(isinstance(each, Annotate) for each in edits)
        if lock is None or is_note or message.get("by") is BY_READING:
            return
        if message.get("do") == _MAY_BE_DONE:
            return
        raise EditError(
            f"the plan is locked for the show, by {lock.person}",
            where="show day",
            expected="ticks, notes and readings of meters while it is locked",
            remedy="Unlock it on the page Show day, change it, lock it again.",
        )

    def follow(self, step: Step) -> bool:
        """Let what is noted go along with items that a step renames; whether it did."""
        if isinstance(step.change, str):
            return False
        return self.log.follow(step.change, at=step.at, person=step.person)


def _entry(message: Message, name: str, ask: str) -> Entry:
    kind: EntryKind = message["do"]
    at = datetime.now(UTC)
    if kind in {"lock", "unlock"}:
        return Entry(at, name, kind, ask=ask)
    return Entry(
        at=at,
        person=name,
        kind=kind,
        list=short_text(message, "list"),
        item=short_text(message, "item"),
        text=short_text(message, "text") if kind in {"note", "reading"} else "",
        content=short_text(message, "content") if kind == "tick" else "",
        ask=ask,
    )


def short_text(message: Message, name: str) -> str:
    """A text by its name, as long as somebody types with a thumb.

    Raises
    ------
    EditError
        It is none, or longer.
    """
    text = text_of(message, name).strip()
    if len(text) > _LONGEST:
        raise refusal(f"a text of {len(text)} characters", f"up to {_LONGEST}")
    return text
