"""What a remedy asks of a person, in one sentence: a box between two plugs is one act, not four."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from levelhead.gear.book import GearBook
from levelhead.planning.moves.along import Brought, brought_along, own_edits
from levelhead.show.addresses import in_number_order, item_of
from levelhead.show.edits import AddItem, Edit, Lock, Plug, Retype, Set, Unplug
from levelhead.show.lengths import length_text
from levelhead.show.model import Cable, Item, Link, Show
from levelhead.show.wording import sentence

__all__ = ["remedy_words"]

_SIDES: Final = ("left", "right")
_PAIR: Final = 2


def remedy_words(edits: Sequence[Edit], show: Show, book: GearBook) -> str:
    """The edits as the crew would say them; those that only take a plug out go without saying.

    Parameters
    ----------
    edits : sequence of Edit
        In the order in which they happen.
    show : Show
        The show before them.
    book : GearBook
        Names its gear and its leads.
    """
    along = brought_along(edits, show)
    if along:
        own = remedy_words(own_edits(edits, show), show, book)
        return "; ".join((own, *_along_words(along)))
    inserted = _insertion(edits)
    if inserted is not None:
        return _inserted_words(inserted, show, book)
    exchanged = _exchanged(edits)
    if exchanged is not None:
        start, *others = (_place(each, show) for each in exchanged.ends.values())
        lead = _leads(exchanged, book)
        return f"Take another lead from {start} to {' and '.join(others)} ({lead}): this one is bad"
    swapped = _swapped(edits)
    if swapped:
        ends = " and ".join(_place(each, show) for each in swapped)
        return "; ".join((f"Swap the plugs in {ends}", *_said(edits[2:], show, book)))
    spoken = [edit for edit in edits if not isinstance(edit, Unplug)]
    fan = _fan(spoken)
    if fan is not None:
        panned = [each for each in spoken if isinstance(each, Set) and each.value in _SIDES]
        rest = [each for each in spoken if each not in panned and not isinstance(each, Plug)]
        pans = ["pan them to their sides"] if panned else []
        return "; ".join((_fan_words(fan, show, book), *pans, *_said(rest, show, book)))
    return "; ".join(_said(spoken or edits, show, book))


def _along_words(brought: Brought) -> Iterator[str]:
    """What the crew copies from strip to strip; the old one shows how it stands."""
    told: dict[tuple[str, str], list[str]] = {}
    for (new, old), edits in brought.items():
        names = sorted({edit.address.rpartition(".")[2] for edit in edits}, key=in_number_order)
        locked = ", locked as there" if any(isinstance(edit, Lock) for edit in edits) else ""
        told.setdefault((_listed(names), f"{old}{locked}"), []).append(new)
    for (controls, old), strips in told.items():
        yield f"set {controls} of {_listed(strips)} as at {old}"


def _listed(names: Sequence[str]) -> str:
    *first, last = names
    return f"{', '.join(first)} and {last}" if first else last


def _exchanged(edits: Sequence[Edit]) -> Link | None:
    """The new lead where one with a fault is taken out for another of its type."""
    match edits:
        case [Unplug(old), Plug(new)] if old.pins and old.ends == new.ends and old.via == new.via:
            return new
    return None


def _swapped(edits: Sequence[Edit]) -> tuple[str, ...]:
    """Two sockets whose plugs change places, of a lead that has more than these two."""
    match edits:
        case [Unplug(old), Plug(new), *_] if old.ends.keys() == new.ends.keys() and (
            old.via == new.via and {*old.ends.values()} == {*new.ends.values()}
        ):
            moved = tuple(old.ends[each] for each in old.ends if old.ends[each] != new.ends[each])
            return moved if len(moved) == _PAIR < len(old.ends) else ()
    return ()


def _said(edits: Sequence[Edit], show: Show, book: GearBook) -> list[str]:
    return [_one_said(edit, show, book) for edit in edits]


def _one_said(edit: Edit, show: Show, book: GearBook) -> str:
    if isinstance(edit, Retype):
        return _retype_words(edit, show, book)
    if isinstance(edit, AddItem):
        return f"Take {book.entry(edit.item.type).label} as {edit.item.id}"
    return sentence(edit, show)


def _retype_words(edit: Retype, show: Show, book: GearBook) -> str:
    """Another box in the place of one, by what it is called."""
    return f"Take {book.entry(edit.type).label} ({edit.type}) in place of {_place(edit.item, show)}"


def _fan(edits: Sequence[Edit]) -> Link | None:
    """The one Y lead from an output to a left and a right input, if nothing else is plugged."""
    links = [edit.link for edit in edits if isinstance(edit, Plug)]
    is_known = all(isinstance(edit, Plug | Set) for edit in edits)
    is_fan = len(links) == 1 and set(links[0].ends) == {"a", *_SIDES} and links[0].via
    return links[0] if is_fan and is_known else None


def _fan_words(link: Link, show: Show, book: GearBook) -> str:
    start, left, right = (_place(link.ends[each], show) for each in ("a", *_SIDES))
    return f"Plug {_leads(link, book)}, from {start}: left into {left}, right into {right}"


@dataclass(frozen=True, slots=True)
class _Insertion:
    """One box that goes between an output and an input, its leads, and what is set besides."""

    box: Item
    entry: Link
    leaving: Link
    settings: tuple[Set, ...]


def _insertion(edits: Sequence[Edit]) -> _Insertion | None:
    """The box that the edits put into a connection; ``None`` if they do anything else."""
    boxes = [edit.item for edit in edits if isinstance(edit, AddItem)]
    links = [edit.link for edit in edits if isinstance(edit, Plug)]
    settings = tuple(edit for edit in edits if isinstance(edit, Set))
    others = sum(isinstance(edit, Unplug) for edit in edits)
    if len(boxes) + len(links) + len(settings) + others != len(edits):
        return None
    match boxes, links:
        case [box], [entry, leaving]:
            pass
        case _:
            return None
    if item_of(entry.ends.get("b", "")) != box.id or item_of(leaving.ends.get("a", "")) != box.id:
        return None
    return _Insertion(box, entry, leaving, settings)


def _inserted_words(found: _Insertion, show: Show, book: GearBook) -> str:
    starts = _others(found.entry.ends, "b", show)
    ends = _others(found.leaving.ends, "a", show)
    words = (
        f"Put {found.box.id} ({book.entry(found.box.type).label}) between {starts} "
        f"and {ends}; into it {_leads(found.entry, book)}; out of it "
        f"{_leads(found.leaving, book)}"
    )
    own = f"{found.box.id}."
    set_on_it = [f"{each.address.removeprefix(own)} {each.value}" for each in found.settings
                 if each.address.startswith(own)]  # fmt: skip
    elsewhere = [sentence(each, show) for each in found.settings
                 if not each.address.startswith(own)]  # fmt: skip
    return "; ".join((words, *set_on_it, *elsewhere))


def _others(ends: Mapping[str, str], own: str, show: Show) -> str:
    """Where a lead goes from a box; the sides of a Y lead by their names."""
    there = {name: _place(address, show) for name, address in ends.items() if name != own}
    if len(there) == 1:
        return next(iter(there.values()))
    return " and ".join(f"{place} ({name})" for name, place in there.items())


def _place(address: str, show: Show) -> str:
    item = show.items.get(item_of(address))
    return f"{item.label} ({address})" if item is not None and item.label else address


def _leads(link: Link, book: GearBook) -> str:
    return ", then ".join(_lead(cable, book) for cable in link.via) or "a lead"


def _lead(cable: Cable, book: GearBook) -> str:
    """Label of a lead with its length, as people ask for it."""
    label = book.entry(cable.type).label
    named = label[0].lower() + label[1:] if label[1:2].islower() else label
    return named if cable.length_m is None else f"{named}, {length_text(cable.length_m)}"
