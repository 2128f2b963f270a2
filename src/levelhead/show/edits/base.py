"""What every edit of a show is: a frozen value that makes a new show and knows the way back."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Collection, Mapping
from typing import NoReturn, TypeAlias, TypeVar

from levelhead.errors import EditError, ShowError
from levelhead.show.addresses import shortened
from levelhead.show.model import Item, Show
from levelhead.show.names import did_you_mean

__all__ = [
    "Applied",
    "Edit",
    "checked",
    "found",
    "free_id",
    "known",
    "place_in",
    "refuse",
    "renamed",
    "with_entry",
    "without",
]

_V = TypeVar("_V")
_T = TypeVar("_T")


class Edit(ABC):
    """A frozen value that changes a show; :func:`levelhead.show.edits.apply` uses it."""

    __slots__ = ()

    @abstractmethod
    def applied(self, show: Show) -> Applied:
        """The changed show, and the edits that bring the former one back, in their order.

        Raises
        ------
        EditError
            The edit does not fit this show.
        """


Applied: TypeAlias = tuple[Show, tuple[Edit, ...]]


def refuse(what: str, *, where: str, expected: str, remedy: str) -> NoReturn:
    """Say why an edit does not fit.

    Raises
    ------
    EditError
        Always.
    """
    raise EditError(what, where=where, expected=expected, remedy=remedy)


def checked(check: Callable[[object], _T], given: object, where: str) -> _T:
    """A value that passed the check that files have to pass as well.

    Raises
    ------
    EditError
        It did not.
    """
    try:
        return check(given)
    except ShowError as error:
        raise EditError(
            error.what, where=where, expected=error.expected, remedy=error.remedy
        ) from None


def known(name: str, names: Collection[str], kind: str) -> str:
    """An id that the show has.

    Raises
    ------
    EditError
        It has none of that name; the nearest one is named.
    """
    if name not in names:
        refuse(
            f"there is no {kind} {shortened(str(name))}",
            where=kind,
            expected="an id that this show has",
            remedy=did_you_mean(str(name), names, f"Add the {kind} first."),
        )
    return name


def found(show: Show, item: str) -> Item:
    """An item that the show has."""
    return show.items[known(item, show.items, "item")]


def free_id(name: object, names: Collection[str], kind: str, check: Callable[[object], str]) -> str:
    """An id that the show does not have yet.

    Raises
    ------
    EditError
        It is no id, or it is taken.
    """
    text = checked(check, name, f"{kind} id")
    if text in names:
        refuse(
            f"the id {text!r} is taken",
            where=kind,
            expected=f"an id that no other {kind} has",
            remedy="Choose another; the label may be the same.",
        )
    return text


def with_entry(
    entries: Mapping[str, _V], key: str, value: _V, index: int | None = None
) -> dict[str, _V]:
    """A mapping with one entry changed in place, or a new one put at ``index`` or at the end.

    Examples
    --------
    >>> with_entry({"a": 1, "b": 2}, "c", 3, index=1)
    {'a': 1, 'c': 3, 'b': 2}
    """
    if key in entries or index is None:
        return {**entries, key: value}
    pairs = list(entries.items())
    pairs.insert(place_in(index, len(pairs)), (key, value))
    return dict(pairs)


def place_in(index: int | None, length: int) -> int:
    """A place in a list of some length, whatever was asked for; ``None`` is the end.

    Examples
    --------
    >>> place_in(None, 3), place_in(1, 3), place_in(10**40, 3)
    (3, 1, 3)
    """
    return length if index is None else max(0, min(index, length))


def without(entries: Mapping[str, _V], *keys: str) -> dict[str, _V]:
    """A mapping without some of its entries."""
    return {key: value for key, value in entries.items() if key not in keys}


def renamed(entries: Mapping[str, _V], old: str, new: str) -> dict[str, _V]:
    """A mapping with one key changed in its place."""
    return {new if key == old else key: value for key, value in entries.items()}
