"""Sentences that name sockets by their addresses, told with the words that stand on the gear.

What a person types has addresses in it (``desk.ch2.phantom``); on paper nobody types.
"""

from __future__ import annotations

import re
from typing import Final

from levelhead.exchange.paperwork import Paperwork, figure_text
from levelhead.rig.model import RigItem
from levelhead.show.lengths import checked_length_m
from levelhead.verdicts.words import control_label

__all__ = ["crew_words", "place_words"]

_ID: Final = r"[a-z0-9][a-z0-9-]*"
_ADDRESS: Final = re.compile(rf"\b{_ID}(?:\.{_ID})+\b")
_BEHIND_LABEL: Final = re.compile(rf" \(({_ID}(?:\.{_ID})*)\)")
_CABLE: Final = re.compile(rf"\b({_ID})(?: (\d+(?:\.\d+)? (?:m|cm)))?\b")


def place_words(work: Paperwork, address: str) -> str:
    """An address in words: ``Desk, ch2``; what is no place of the show stays as it is."""
    item = work.rig.items.get(address.partition(".")[0])
    if item is None:
        return address
    return ", ".join(part for part in (work.called(item), _within(work, item, address)) if part)


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
    text = _BEHIND_LABEL.sub(lambda found: _behind(work, found), text)
    text = _ADDRESS.sub(lambda found: place_words(work, found[0]), text)
    return _CABLE.sub(lambda found: _cable(work, found), text)


def _behind(work: Paperwork, found: re.Match[str]) -> str:
    """What an address adds to the label before it."""
    item = work.rig.items.get(found[1].partition(".")[0])
    if item is None:
        return found[0]
    words = _within(work, item, found[1])
    return f", {words}" if words else ""


def _cable(work: Paperwork, found: re.Match[str]) -> str:
    """A cable by its label, in place of the id of its type."""
    type_id, length = found[1], found[2]
    if "-" not in type_id or type_id not in work.rig.book:
        return found[0]
    label = work.rig.book.entry(type_id).label
    return f"{label}, {figure_text(checked_length_m(length))} m" if length else label
