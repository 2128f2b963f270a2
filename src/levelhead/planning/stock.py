"""What is in the van: which cable or box a move may take from there, and what it lacks.

Stock counts what is there besides the gear of the show. A show that lists none says nothing about
it, so that nothing is called missing there; nor is a cable where no cable is listed.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import Final

from levelhead.show.edits import AddItem, Edit, Plug, Recable, Retype, Unplug
from levelhead.show.lengths import cable_text, checked_cable
from levelhead.show.model import Cable, Show

__all__ = ["drawn", "has_type", "in_stock", "is_bought", "lacking", "stock_words", "taken"]

_NEAR_ENOUGH: Final = 1e-9  # [m]


def has_type(show: Show, type_id: str) -> bool:
    """Whether there is one of a type left, of whatever length."""
    return any(
        count > 0 and checked_cable(thing).type == type_id for thing, count in show.stock.items()
    )


def in_stock(show: Show, type_id: str, length_m: float | None) -> Cable | None:
    """The shortest cable of a type in stock that reaches; ``None`` when there is none.

    Parameters
    ----------
    show : Show
        Its stock is looked through.
    type_id : str
        Type of the cable.
    length_m : float or None
        How far it has to reach; ``None`` where nobody said. [m]
    """
    least_m = (length_m or 0.0) - _NEAR_ENOUGH
    found = [
        cable
        for cable in (checked_cable(thing) for thing, count in show.stock.items() if count > 0)
        if cable.type == type_id and (cable.length_m is None or cable.length_m >= least_m)
    ]
    return min(found, key=lambda each: each.length_m or 0.0, default=None)


def taken(show: Show, type_id: str, length_m: float | None) -> Cable:
    """A cable of a type: out of the stock if one reaches, else one of just this length."""
    return in_stock(show, type_id, length_m) or Cable(type_id, length_m)


def drawn(show: Show, edits: Sequence[Edit]) -> tuple[Edit, ...]:
    """The same edits with cables out of the stock where it has what reaches.

    A cable that they unplug themselves goes on as it is.
    """
    free = frozenset(_set_free(show, edits))
    return tuple(_drawn(show, edit, free) if isinstance(edit, Plug) else edit for edit in edits)


def _drawn(show: Show, edit: Plug, free: frozenset[str]) -> Plug:
    via = tuple(
        cable if cable_text(cable) in free else taken(show, cable.type, cable.length_m)
        for cable in edit.link.via
    )
    return edit if via == edit.link.via else Plug(replace(edit.link, via=via))


def lacking(show: Show, edits: Sequence[Edit]) -> tuple[str, ...]:
    """What edits need that is neither in stock nor set free by them, as the stock writes it."""
    if not show.stock:
        return ()
    left = Counter(dict(show.stock))
    left.update(_set_free(show, edits))
    lists_cables = any(checked_cable(thing).length_m is not None for thing in show.stock)
    missing = []
    for thing in _needed(edits, with_cables=lists_cables):
        found = _match(left, thing)
        if found is None:
            missing.append(thing)
        else:
            left[found] -= 1
    return tuple(missing)


def is_bought(show: Show, edits: Sequence[Edit]) -> bool:
    """Whether something has to be bought or borrowed."""
    return bool(lacking(show, edits))


def stock_words(show: Show, edits: Sequence[Edit]) -> str:
    """``in stock``, or what is not; empty where no gear is needed or no stock is listed."""
    if not show.stock:
        return ""
    missing = lacking(show, edits)
    if missing:
        counted = Counter(missing)
        things = (f"{n} x {thing}" if n > 1 else thing for thing, n in counted.items())
        return f"not in stock: {', '.join(things)}"
    free = Counter(_set_free(show, edits))
    return "in stock" if Counter(_needed(edits)) - free else ""


def _match(left: Counter[str], thing: str) -> str | None:
    """The entry that serves: the thing itself, else the shortest longer one of its type."""
    if left[thing] > 0:
        return thing
    wanted = checked_cable(thing)
    serving = [
        (cable.length_m or 0.0, name)
        for name, count in left.items()
        if count > 0 and (cable := checked_cable(name)).type == wanted.type
        if wanted.length_m is None or (cable.length_m or 0.0) >= wanted.length_m - _NEAR_ENOUGH
    ]
    return min(serving, default=(0.0, None))[1]


def _needed(edits: Iterable[Edit], *, with_cables: bool = True) -> Iterator[str]:
    for edit in edits:
        if isinstance(edit, AddItem):
            yield edit.item.type
        elif isinstance(edit, Retype):
            yield edit.type
        elif isinstance(edit, Plug | Recable) and with_cables:
            via = edit.link.via if isinstance(edit, Plug) else edit.via
            yield from (cable_text(each) for each in via)


def _set_free(show: Show, edits: Iterable[Edit]) -> Iterator[str]:
    for edit in edits:
        if isinstance(edit, Unplug):
            yield from (cable_text(each) for each in edit.link.via)
        elif isinstance(edit, Recable):
            link = show.link_at(edit.end)
            yield from (cable_text(each) for each in (link.via if link is not None else ()))
