"""One hand that changes an open show: messages in, steps and patches out, one after another."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any, Final

from levelhead.errors import LevelheadError, ShowError
from levelhead.exchange.paperwork.input_rows import InputRow, Rows
from levelhead.exchange.paperwork.named import Named
from levelhead.gear.book import GearBook
from levelhead.rig.build import build_rig
from levelhead.rig.model import Rig
from levelhead.show.edits import Edit, apply
from levelhead.show.history.steps import Step
from levelhead.show.model import Show
from levelhead.show.opened.open_show import Author, OpenShow, SaveJob
from levelhead.show.opened.undoing import SHARED
from levelhead.web.live.day import Day
from levelhead.web.live.messages import (
    MOST_CELLS,
    Message,
    cells_of,
    edits_of,
    number_of,
    refusal,
    table_edits,
)
from levelhead.web.live.view import (
    Shown,
    Tables,
    buttons_of,
    difference,
    error_json,
    head_of,
    shown_of,
    told_of,
)

__all__ = ["Hand", "Message"]

Json = dict[str, Any]
_WHOLE: Final = frozenset({"undo", "redo", "text", "settle"})  # steps that are no list of edits


@dataclass(slots=True)
class Hand:
    """The open show, its rig and what pages have been told of it. Only one thread may use it."""

    opened: OpenShow
    book: GearBook
    rig: Rig | None = None
    problem: LevelheadError | None = None
    shown: Shown | None = None
    day: Day = field(init=False)
    _built: Rig | None = None  # for the check of a step, and then for its tables

    def __post_init__(self) -> None:
        self.day = Day.of(self.opened.history)
        self._look_at(self.opened.show)

    def _look_at(self, show: Show) -> None:
        """Build the rig of a show; what is wrong with it is told with its place in the text."""
        self.problem = None
        built, self._built = self._built, None
        try:
            is_built = built is not None and built.show is show
            self.rig = built if is_built else build_rig(show, self.book, previous=self.rig)
        except LevelheadError:
            self.rig = None
            try:
                build_rig(show, self.book, self.opened.document)
            except LevelheadError as error:
                self.problem = error
        self.shown = shown_of(show, self.rig, self.shown)

    @property
    def rows(self) -> dict[str, InputRow]:
        """The rows of the input list."""
        return {} if self.shown is None else self.shown.rows

    @property
    def tables(self) -> Tables:
        """Every table as pages were told it last."""
        return {} if self.shown is None else self.shown.tables

    # --- what pages are told ---

    def snapshot(self) -> Json:
        """Everything, for a page that has just come."""
        return {
            "kind": "snapshot",
            "revision": self.opened.revision,
            "tables": self.tables,
            "orders": {name: list(rows) for name, rows in self.tables.items()},
            "head": self.head(),
        }

    def head(self) -> Json:
        """What stands above the tables."""
        problem = None if self.problem is None else error_json(self.problem)
        head = head_of(self.opened, self.rig, self.rows)
        notes = [*self.day.notes(), *head["notes"]]
        return {**head, "problem": problem, "lock": self.day.head(), "notes": notes}

    def text(self) -> Json:
        """The text of the file as it would be saved now."""
        return {"text": self.opened.document.text(), "revision": self.opened.revision}

    # --- steps ---

    def take(self, message: Message, page: str, name: str) -> Json:
        """Take what a page asks for, and tell what changed.

        Raises
        ------
        LevelheadError
            It does not fit; nothing was changed.
        """
        seen = message.get("base")
        seen = seen if isinstance(seen, int) and not isinstance(seen, bool) else -1
        ask = f"{page} {message.get('ask')}" if isinstance(message.get("ask"), str) else ""
        author = Author(page, name, seen, datetime.now(UTC), ask)
        after = self.opened.revision
        step = None if self.opened.has_taken(ask) else self._step(message, author)
        is_renamed = step is not None and self.day.follow(step)
        patch = self.patch(step, after)
        return {**patch, "marks": self.day.log.to_json()} if is_renamed else patch

    def patch(self, step: Step | None, after: int) -> Json:
        """What changed since pages were told last, at the revision ``after``."""
        before = self.tables
        what = "" if step is None else told_of(step, Named(self.opened.show, self.rig))
        self._look_at(self.opened.show)
        return {
            "kind": "patch",
            "after": after,
            "revision": self.opened.revision,
            "tables": difference(before, self.tables),
            "head": self.head(),
            "by": "" if step is None else step.person,
            "what": what,
        }

    def buttons(self, people: Iterable[str]) -> dict[str, Json]:
        """What undo and redo of each person would speak of."""
        return {person: buttons_of(self.opened, person, self.rig) for person in people}

    def _step(self, message: Message, author: Author) -> Step | None:
        what = message.get("do")
        edits: list[Edit] = []
        if not isinstance(what, str) or what not in _WHOLE:
            edits = list(self._edits(message))
        self.day.refuse_plan(message, edits)
        if what == "undo":
            return self.opened.undo(number_of(message, "step"), author, self._check_it_builds)
        if what == "redo":
            return self.opened.redo(number_of(message, "step"), author, self._check_it_builds)
        if what == "text":
            return self._retyped(message, author)
        if what == "settle":
            take_file = message.get("take") == "file"
            self.opened.settle(take_file=take_file, at=author.at, person=author.name)
            return None
        if not edits:  # it stands there already: nothing to take back
            return None
        return self.opened.edit(edits, author, self._check_it_builds)

    def _check_it_builds(self, show: Show) -> None:
        """What could be drawn and solved must stay so."""
        if self.rig is not None:
            self._built = build_rig(show, self.book, previous=self.rig)

    def _retyped(self, message: Message, author: Author) -> Step:
        text = message.get("text")
        if not isinstance(text, str):
            raise refusal("no text", "a text")
        document = self.opened.document.with_text(text)
        if self.rig is not None:
            build_rig(document.show, self.book, document)
        return self.opened.retype(text, author)

    # --- messages into edits ---

    def _edits(self, message: Message) -> Iterator[Edit]:
        from levelhead.exchange.rows.filling import removed
        from levelhead.exchange.rows.moved import moved_row, opened_up, rearranged
        from levelhead.exchange.things.edits import Typing

        match message.get("do"):
            case "edits":
                yield from edits_of(message)
            case "cells":
                yield from self._typed(cells_of(message))
            case "field" | "add" | "drop":
                yield from table_edits(message, Typing(self.opened.show, self.book, self.rig))
            case "clear":
                for row in self._rows_of(message):
                    yield from removed(self._rig(), row) if not row.is_free else ()
            case "insert":
                row = self._row(message, "row")
                yield from rearranged(self._rig(), opened_up(self.rows, row.id))
            case "delete":
                yield from self._deleted(self._row(message, "row"))
            case "move":
                row, to = self._row(message, "row"), self._row(message, "to")
                yield from rearranged(self._rig(), moved_row(self.rows, row.id, to.id))
            case other:
                raise refusal(
                    f"nothing is called {str(other)[:40]!r}", "something that can be done"
                )

    def _typed(self, cells: Sequence[tuple[str, str, str]]) -> Iterator[Edit]:
        """Cells row by row; each row sees what the rows before it brought."""
        from levelhead.exchange.rows.filling import filled

        by_row: dict[str, dict[str, str]] = {}
        for row_id, column, text in cells:
            by_row.setdefault(row_id, {})[column] = text
        show, rig, rows = self.opened.show, self._rig(), self.rows
        for number, (row_id, typed) in enumerate(by_row.items()):
            if row_id not in rows:
                raise refusal(f"no row {row_id[:60]!r}", "a row of the input list")
            edits = filled(rig, rows[row_id], typed)
            yield from edits
            if number + 1 < len(by_row):
                show = apply(show, edits)[0]
                rig = build_rig(show, self.book, previous=rig)
                rows = Rows(rig).all()

    def _deleted(self, row: InputRow) -> Iterator[Edit]:
        """A row emptied, and those behind it closed up."""
        from levelhead.exchange.rows.filling import removed
        from levelhead.exchange.rows.moved import closed_up, rearranged

        show = self.opened.show
        edits = [] if row.is_free else removed(self._rig(), row)
        yield from edits
        rig = build_rig(apply(show, edits)[0], self.book, previous=self.rig)
        rows = Rows(rig).all()
        yield from rearranged(rig, closed_up(rows, row.id))

    def _rig(self) -> Rig:
        if self.rig is None:
            raise ShowError(
                "the show has errors",
                where="show",
                expected="a show that hangs together",
                remedy="Mend them in the text first.",
            )
        return self.rig

    def _row(self, message: Message, name: str) -> InputRow:
        found = self.rows.get(str(message.get(name)))
        if found is None:
            raise refusal(f"no row {str(message.get(name))[:60]!r}", "a row of the input list")
        return found

    def _rows_of(self, message: Message) -> list[InputRow]:
        named = message.get("rows")
        if not isinstance(named, list) or len(named) > MOST_CELLS:
            raise refusal("no list of rows", "rows of the input list")
        return [self._row({"row": each}, "row") for each in named]

    # --- the file ---

    def look(self) -> Json | None:
        """What others changed in the file, if they did."""
        after = self.opened.revision
        with suppress(OSError):
            if self.opened.look(at=datetime.now(UTC)):
                is_taken = self.opened.revision > after
                return self.patch(self.opened.steps.to_undo(SHARED) if is_taken else None, after)
        return None

    def to_save(self) -> SaveJob | None:
        """What has to be written."""
        return self.opened.to_save()
