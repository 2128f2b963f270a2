"""Sentences that name sockets by their addresses, told with the words that stand on the gear.

What a person types has addresses in it (``desk.ch2.phantom``); on paper nobody types.
"""

from __future__ import annotations

from levelhead.exchange.paperwork.named import retold
from levelhead.exchange.paperwork.work import Paperwork, figure_text
from levelhead.rig.model import RigItem
from levelhead.rig.naming import control_label
from levelhead.show.lengths import checked_length_m
from levelhead.show.model import Show

__all__ = ["crew_words", "place_words"]


def place_words(work: Paperwork, address: str) -> str:
    """An address in words: ``Desk, ch2``; what is no place of the show stays as it is."""
    item = work.rig.items.get(address.partition(".")[0])
    if item is None:
        return _besides(work.rig.show, address)
    return ", ".join(part for part in (work.called(item), _within(work, item, address)) if part)


def _besides(show: Show, address: str) -> str:
    """An area or a supply by its label; anything else stays as it is."""
    section, _, rest = address.partition(".")
    name = rest.partition(".")[0]
    if section == "areas" and name in show.areas:
        return show.areas[name].label or name
    if section == "supplies" and name in show.supplies:
        return f"supply {show.supplies[name].label or name}"
    return address


def _within(work: Paperwork, item: RigItem, address: str) -> str:
    """What stands behind the item: a socket, a control, or the strip of a stage."""
    port = work.rig.ports.get(address)
    if port is not None:
        return work.socket(port)
    strip, _, last = address.partition(".")[2].rpartition(".")
    control = work.rig.controls.get(address)
    if control is not None:
        return ", ".join(part for part in (strip, control_label(work.rig, address) or last) if part)
    blocks = {block.name for block in item.plan.blocks}
    return strip if strip in blocks else last if last in blocks else ""


def crew_words(work: Paperwork, text: str) -> str:
    """A sentence without addresses and without ids of cables.

    ``Set Desk (desk.ch2.phantom) to on`` becomes ``Set Desk, ch2, phantom to on``.
    """
    return retold(
        text,
        behind=lambda address: _behind(work, address),
        place=lambda address: place_words(work, address),
        cable=lambda type_id, length: _cable(work, type_id, length),
    )


def _behind(work: Paperwork, address: str) -> str | None:
    """What an address adds to the label before it."""
    item = work.rig.items.get(address.partition(".")[0])
    if item is None:
        return None
    words = _within(work, item, address)
    return f", {words}" if words else ""


def _cable(work: Paperwork, type_id: str, length: str | None) -> str | None:
    """A cable by its label, in place of the id of its type."""
    if "-" not in type_id or type_id not in work.rig.book:
        return None
    label = work.rig.book.entry(type_id).label
    return f"{label}, {figure_text(checked_length_m(length))} m" if length else label
