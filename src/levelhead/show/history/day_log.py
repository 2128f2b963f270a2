"""What a crew notes while a show runs: ticks, notes and readings by item, and the locked plan.

All of it is added to the history beside the show and never changes the show itself. What holds now
is read off the entries in their order; an item that is renamed takes its entries along.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any, Final, Literal, TypeAlias

from levelhead.show.edits import Edit, Rename
from levelhead.show.history.journal import History

__all__ = ["DayLog", "Entry", "EntryKind", "Lock", "Marks"]

EntryKind: TypeAlias = Literal["tick", "untick", "note", "reading", "rename", "lock", "unlock"]
_READ: Final = "SELECT at, person, list, item, kind, text, content, ask FROM marks ORDER BY number"
_WRITE: Final = (
    "INSERT INTO marks (at, person, list, item, kind, text, content, ask) "
    "VALUES (?, ?, ?, ?, ?, ?, ?, ?)"
)
_MOST_READINGS: Final = 3  # of one item that are told


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry.

    Attributes
    ----------
    list, item
        Which list it stands on, and the item that it is about; both empty for the lock.
    text
        The note, the reading, or the new name of a renamed item.
    content
        What a ticked row said, as its hash: a row that says something else by now wants a new look.
    ask
        The name that whoever asked for it gave it: asked again, it is not taken again.
    """

    at: datetime
    person: str
    kind: EntryKind
    list: str = ""
    item: str = ""
    text: str = ""
    content: str = ""
    ask: str = ""


@dataclass(frozen=True, slots=True)
class Lock:
    """Who locked the plan for the show, and when."""

    person: str
    at: datetime

    def to_json(self) -> dict[str, str]:
        """For pages."""
        return {"by": self.person, "at": self.at.isoformat()}


@dataclass(slots=True)
class Marks:
    """What holds for one item on one list."""

    tick: Entry | None = None
    note: Entry | None = None
    readings: tuple[Entry, ...] = ()

    def to_json(self) -> dict[str, Any]:
        """For pages."""
        return {
            "tick": None
            if self.tick is None
            else {**_told(self.tick), "content": self.tick.content},
            "note": None if self.note is None or not self.note.text else _told(self.note),
            "readings": [_told(each) for each in self.readings[-_MOST_READINGS:]],
        }


def _told(entry: Entry) -> dict[str, str]:
    return {"text": entry.text, "by": entry.person, "at": entry.at.isoformat()}


_Key: TypeAlias = tuple[str, str]


@dataclass(slots=True)
class DayLog:
    """Entries of one show, and what holds by them. Only one thread may use it."""

    history: History
    lock: Lock | None = None
    marks: dict[_Key, Marks] = field(default_factory=dict)
    _asked: set[str] = field(default_factory=set)

    @classmethod
    def of(cls, history: History) -> DayLog:
        """What stands in a history."""
        log = cls(history)
        for row in history.rows(_READ):
            at, person, of_list, item, kind, text, content, ask = row
            log._take(
                Entry(datetime.fromisoformat(at), person, kind, of_list, item, text, content, ask)
            )
        return log

    def has_taken(self, ask: str) -> bool:
        """Whether an entry of this name was taken: whoever asks again missed the answer."""
        return bool(ask) and ask in self._asked

    def add(self, entry: Entry) -> None:
        """Put an entry on the disk, then let it hold.

        Raises
        ------
        ShowError
            The history cannot be written.
        """
        values = (
            entry.at.isoformat(),
            entry.person,
            entry.list,
            entry.item,
            entry.kind,
            entry.text,
            entry.content,
            entry.ask,
        )
        self.history.write(_WRITE, values)
        self._take(entry)

    def follow(self, edits: Iterable[Edit], *, at: datetime, person: str) -> bool:
        """Let entries go along with items that a step renames; whether there were any."""
        renames = [each for each in edits if isinstance(each, Rename)]
        found = [each for each in renames if any(item == each.item for _, item in self.marks)]
        for each in found:
            self.add(Entry(at, person, "rename", item=each.item, text=each.new_id))
        return bool(found)

    def _take(self, entry: Entry) -> None:
        self._asked.add(entry.ask)
        if entry.kind in {"lock", "unlock"}:
            self.lock = Lock(entry.person, entry.at) if entry.kind == "lock" else None
        elif entry.kind == "rename":
            self._renamed(entry)
        else:
            self.marks[entry.list, entry.item] = _with(self.marks_of(entry), entry)

    def marks_of(self, entry: Entry) -> Marks:
        """What holds so far where an entry goes."""
        return self.marks.get((entry.list, entry.item), Marks())

    def _renamed(self, entry: Entry) -> None:
        for of_list, item in [key for key in self.marks if key[1] == entry.item]:
            self.marks[of_list, entry.text] = self.marks.pop((of_list, item))

    def to_json(self) -> dict[str, dict[str, Any]]:
        """By list and item, for pages."""
        found: dict[str, dict[str, Any]] = {}
        for (of_list, item), marks in self.marks.items():
            found.setdefault(of_list, {})[item] = marks.to_json()
        return found


def _with(marks: Marks, entry: Entry) -> Marks:
    """What holds after one more entry."""
    if entry.kind == "tick":
        return replace(marks, tick=entry)
    if entry.kind == "untick":
        return replace(marks, tick=None)
    if entry.kind == "note":
        return replace(marks, note=entry)
    return replace(marks, readings=(*marks.readings, entry))
