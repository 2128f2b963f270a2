"""What is given on the command line besides the show: settings and readings, on trial.

The show file stays as it is. A reading is a figure that was measured on this very unit.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from levelhead.cli.reports.columns import entry
from levelhead.errors import AskError, EditError
from levelhead.rig.build import Locator
from levelhead.rig.settings import UNKNOWN
from levelhead.show.addresses import item_of
from levelhead.show.edits import Edit, Set, SetFigure, apply
from levelhead.show.model import Link, Show

if TYPE_CHECKING:  # the show of a question comes from no file
    from levelhead.show.document import ShowDocument

__all__ = ["FIGURE", "SET", "TriedShow", "known_lines", "pair", "tried"]

SET: Final = "--set"
FIGURE: Final = "--figure"
_EXAMPLES: Final = {SET: "laptop.volume='-12 dB'", FIGURE: "amp.ch.power.gain='31.2 dB'"}
_MOST_NAMED: Final = 6


def pair(typed: str, option: str) -> tuple[str, str]:
    """Address and value of what stands behind an option.

    Raises
    ------
    AskError
        There is no ``=`` in it, or nothing on one side.
    """
    address, equals, value = typed.partition("=")
    if not equals or not address.strip() or not value.strip():
        raise AskError(
            f"'{typed}' sets nothing",
            where=option,
            expected="ADDRESS=VALUE" if option == FIGURE else "CONTROL=VALUE",
            remedy=f"Write for example {option} {_EXAMPLES[option]}.",
        )
    return address.strip(), value.strip()


@dataclass(frozen=True, slots=True)
class TriedShow:
    """A show with what was given, and where each thing stands: in the file or on the line."""

    document: ShowDocument
    show: Show
    settings: tuple[str, ...] = ()
    figures: tuple[str, ...] = ()

    @property
    def locator(self) -> Locator:
        """For messages about the show."""
        return _Given(self) if self.settings or self.figures else self.document

    def lines(self) -> list[str]:
        """What is known of single units, and what is only on trial."""
        said = [f"{each} at {self.show.settings[each]}" for each in self.settings]
        said += [f"{each} {_figure(self.show, each)}" for each in self.figures]
        trial = entry("Trial", f"with {', '.join(said)}; the file is not changed.") if said else []
        return [*known_lines(self.show), *trial]


def tried(document: ShowDocument, settings: Sequence[str], figures: Sequence[str]) -> TriedShow:
    """The show of a document with ``CONTROL=VALUE`` and ``ITEM.FIGURE=VALUE`` applied.

    Raises
    ------
    AskError, EditError
        What was typed is no pair, or names no item of the show.
    """
    set_ = [pair(each, SET) for each in settings]
    read = [pair(each, FIGURE) for each in figures]
    show = document.show
    for address, value in set_:
        show = _applied(show, Set(address, value), SET)
    for address, value in read:
        item, _, figure = address.partition(".")
        show = _applied(show, SetFigure(item, figure, value), FIGURE)
    return TriedShow(document, show, tuple(a for a, _ in set_), tuple(a for a, _ in read))


def _applied(show: Show, edit: Edit, option: str) -> Show:
    try:
        return apply(show, [edit])[0]
    except EditError as error:
        raise error.at(option) from error


def known_lines(show: Show, only: Callable[[str], bool] = lambda _: True) -> list[str]:
    """Figures that were measured on units of this show; ``only`` some of its items."""
    known = [
        f"{item.id}.{name} {value}"
        for item in show.items.values()
        for name, value in item.figures.items()
        if value != UNKNOWN and only(item.id)
    ]
    if not known:
        return []
    more = len(known) - _MOST_NAMED
    named = [*known[:_MOST_NAMED], *([f"{more} more"] if more > 0 else [])]
    return entry("Known", f"{', '.join(named)}: measured on the unit itself.")


def _figure(show: Show, address: str) -> str:
    item, _, figure = address.partition(".")
    return show.items[item].figures[figure]


@dataclass(frozen=True, slots=True)
class _Given:
    """Locator: what was given stands on the command line, the rest in the file."""

    tried: TriedShow

    def where_item(self, item_id: str) -> str:
        """The item; if a figure of it was given, that is what may be wrong."""
        given = [each for each in self.tried.figures if item_of(each) == item_id]
        return f"{FIGURE} {given[0]}" if given else self.tried.document.where_item(item_id)

    def where_setting(self, address: str) -> str:
        """The setting."""
        if address in self.tried.settings:
            return f"{SET} {address}"
        return self.tried.document.where_setting(address)

    def where_link(self, link: Link) -> str:
        """The link."""
        return self.tried.document.where_link(link)

    def where(self, *path: str | int) -> str:
        """Any leaf."""
        return self.tried.document.where(*path)
