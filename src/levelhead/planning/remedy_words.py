"""What a remedy asks of a person, in one sentence: a box between two plugs is one act, not four."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from levelhead.gear.book import GearBook
from levelhead.show.addresses import item_of
from levelhead.show.edits import AddItem, Edit, Plug, Set, Unplug
from levelhead.show.lengths import length_text
from levelhead.show.model import Cable, Item, Link, Show
from levelhead.show.wording import sentence

__all__ = ["remedy_words"]


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
    inserted = _insertion(edits)
    if inserted is not None:
        return _inserted_words(inserted, show, book)
    spoken = [edit for edit in edits if not isinstance(edit, Unplug)]
    return "; ".join(sentence(edit, show) for edit in spoken or edits)


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
    start, end = found.entry.ends["a"], found.leaving.ends["b"]
    words = (
        f"Put {found.box.id} ({book.entry(found.box.type).label}) between {_place(start, show)} "
        f"and {_place(end, show)}; into it {_leads(found.entry, book)}; out of it "
        f"{_leads(found.leaving, book)}"
    )
    own = f"{found.box.id}."
    set_on_it = [f"{each.address.removeprefix(own)} {each.value}" for each in found.settings
                 if each.address.startswith(own)]  # fmt: skip
    elsewhere = [sentence(each, show) for each in found.settings
                 if not each.address.startswith(own)]  # fmt: skip
    return "; ".join((words, *set_on_it, *elsewhere))


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
