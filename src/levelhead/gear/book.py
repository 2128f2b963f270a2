"""The gear book: all types known, shipped and the user's own."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any, Final

from pydantic import ValidationError

from levelhead.errors import GearError
from levelhead.gear.compile import Planned, compile_cable, compile_item, controls_of
from levelhead.gear.figures import RawFigure
from levelhead.gear.inherit import RawEntry, resolved, unknown_type
from levelhead.gear.model import TypeEntry, field_names
from levelhead.gear.names import did_you_mean
from levelhead.gear.plan import CablePlan, ControlPlan, ItemPlan
from levelhead.gear.references import dangling
from levelhead.gear.sketch import Sketch, sketch_of, sketched
from levelhead.gear.store import read_entries, shipped_entries

__all__ = ["GearBook", "load_book"]

_SAID: Final = frozenset({"label", "words"})
_MOST_ERRORS: Final = 50  # of one entry: more fit no screen


class GearBook:
    """Gear types by id. Entries are checked when first asked for, the whole book by the tests.

    Parameters
    ----------
    raw
        Entries as the YAML has them, by id. They are read and never changed.
    known_good
        Ids of entries that tests have checked: they may be searched unchecked, and their names
        lead somewhere.
    """

    def __init__(
        self, raw: Mapping[str, RawEntry], *, known_good: frozenset[str] = frozenset()
    ) -> None:
        self._raw = dict(raw)
        self._known_good = known_good
        self._sketches: dict[str, Sketch] = {}
        self._entries: dict[str, TypeEntry] = {}
        self._cables: dict[str, CablePlan] = {}
        self._plans: dict[tuple[str, str], ItemPlan] = {}
        self._planned: Planned = {}
        self._controls: dict[str, Mapping[str, ControlPlan]] = {}

    def controls(self, type_id: str) -> Mapping[str, ControlPlan]:
        """All controls of a type by their address below the item; ``GearError`` for no type."""
        if type_id not in self._controls:
            self._controls[type_id] = controls_of(self.entry(type_id))
        return self._controls[type_id]

    @property
    def ids(self) -> tuple[str, ...]:
        """Ids of all types, in the order of the book."""
        return tuple(self._raw)

    def texts(self) -> list[str]:
        """All labels and words of types, sockets and switches, as they are written."""
        found: list[str] = []
        for raw in self._raw.values():
            _gather(raw, "", found)
        return found

    def __contains__(self, type_id: str) -> bool:
        return type_id in self._raw

    def entry(self, type_id: str) -> TypeEntry:
        """The checked entry of a type, with what it is ``like`` filled in.

        Raises
        ------
        GearError
            No such type (the nearest ids are named), or the entry is not well formed.
        """
        if type_id not in self._entries:
            if type_id not in self._raw:
                raise unknown_type(type_id, self._raw, where="gear book")
            is_good = type_id in self._known_good
            raw = resolved(type_id, self._raw)
            self._entries[type_id] = _checked(type_id, raw, names_are_good=is_good)
        return self._entries[type_id]

    def sketch(self, type_id: str) -> Sketch:
        """What a type is called; ``GearError`` as for its entry."""
        if type_id not in self._sketches:
            good = type_id in self._known_good
            self._sketches[type_id] = (
                sketched(type_id, self._raw) if good else sketch_of(self.entry(type_id))
            )
        return self._sketches[type_id]

    def of_kind(self, *kinds: str) -> tuple[str, ...]:
        """Ids of all types of these kinds, in the order of the book."""
        return tuple(each for each in self._raw if self.sketch(each).kind in kinds)

    def cable(self, type_id: str) -> CablePlan:
        """Plan of a cable or adaptor; ``GearError`` when the type is none."""
        if type_id not in self._cables:
            if type_id not in self:
                raise unknown_type(type_id, self.of_kind("cable", "adaptor"), where="gear book")
            entry = self.entry(type_id)
            if entry.ends is None:
                raise GearError(
                    f"'{type_id}' is no cable",
                    where="gear book",
                    expected="a cable or an adaptor",
                    remedy="List them with: levelhead gear --kind cable",
                )
            self._cables[type_id] = compile_cable(type_id, entry)
        return self._cables[type_id]

    def plan(
        self, type_id: str, chosen: Mapping[str, str], figures: Mapping[str, RawFigure]
    ) -> ItemPlan:
        """Plan of an item with these switches and figures; equal ones are planned once.

        Raises
        ------
        GearError
            No such type, a figure that it does not have or that cannot be read.
        """
        key = (type_id, repr((sorted(chosen.items()), sorted(figures.items(), key=str))))
        if key not in self._plans:
            entry = self.entry(type_id)
            self._plans[key] = compile_item(type_id, entry, chosen, figures, self._planned)
        return self._plans[key]

    def extended(self, raw: Mapping[str, RawEntry]) -> GearBook:
        """A book in which a user's own entries extend or replace these."""
        mine = frozenset(raw)
        good = (each for each in self._known_good - mine if self._raw[each].get("like") not in mine)
        return GearBook({**self._raw, **raw}, known_good=frozenset(good))


def _checked(type_id: str, raw: RawEntry, *, names_are_good: bool) -> TypeEntry:
    """The entry, or every error in it at once."""
    where = f"gear type '{type_id}'"
    try:
        entry = TypeEntry.model_validate(raw)
    except ValidationError as error:
        raise GearError.collected(_errors_of(error, where), where=where) from error
    errors = [
        GearError(
            each.what, where=f"{where}, {each.where}", expected=each.expected, remedy=each.remedy
        )
        for each in (() if names_are_good else dangling(entry))
    ]
    if errors:
        raise GearError.collected(errors, where=where)
    return entry


def _errors_of(error: ValidationError, where: str) -> list[GearError]:
    found = []
    for each in error.errors()[:_MOST_ERRORS]:
        field = ".".join(str(part) for part in each["loc"])
        hint = ""
        if each["type"] == "extra_forbidden":
            hint = did_you_mean(str(each["loc"][-1]), field_names() - {each["loc"][-1]})
        what = each["msg"].removeprefix("Value error, ").rstrip(". ")
        found.append(
            GearError(
                what,
                where=f"{where}, {field}",
                expected="an entry as docs/formats.md describes it",
                remedy=hint or "Mend this field of the entry.",
            )
        )
    return found


def _gather(part: Any, key: str, found: list[str]) -> None:
    """Add the texts under ``label`` and ``words``, however deep."""
    is_mapping = isinstance(part, dict)
    for name in part:
        each, own = (part[name], name if key != "words" else key) if is_mapping else (name, key)
        if isinstance(each, str):
            if own in _SAID:
                found.append(each)
        elif isinstance(each, dict | list | tuple):
            _gather(each, own, found)


@lru_cache(maxsize=8)
def load_book(own: Path | None = None) -> GearBook:
    """The shipped gear book, extended by a folder of a user's own entries."""
    shipped = shipped_entries()
    book = GearBook(shipped, known_good=frozenset(shipped))
    return book if own is None else book.extended(read_entries(own))
