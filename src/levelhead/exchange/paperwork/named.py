"""Names that people know in place of addresses and ids, for screens and lines of changes.

The words are those of the paper (``crew_words``), from the rig alone: a table on a screen is there
before anything is solved.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from levelhead.errors import LevelheadError
from levelhead.exchange.paperwork.socket_names import strip_name
from levelhead.rig.model import Rig
from levelhead.rig.naming import control_label
from levelhead.show.lengths import checked_length_m, length_text
from levelhead.show.model import Cable, Show
from levelhead.show.opened.cells import cell_words

__all__ = ["Named", "retold"]

_ID: Final = r"[a-z0-9][a-z0-9-]*"
_ADDRESS: Final = re.compile(rf"\b{_ID}(?:\.{_ID})+\b")
_BEHIND_LABEL: Final = re.compile(rf" \(({_ID}(?:\.{_ID})*)\)")
_LABELLED: Final = frozenset({"sources", "supplies", "areas"})
_CABLE: Final = re.compile(rf"\b({_ID})(?: (\d+(?:\.\d+)? (?:m|cm)))?\b")


def retold(
    text: str,
    *,
    behind: Callable[[str], str | None],
    place: Callable[[str], str],
    cable: Callable[[str, str | None], str | None],
) -> str:
    """A sentence whose addresses and ids give way to words.

    ``behind`` says what an address adds to the label that it stands behind in brackets, ``place``
    names one that stands alone, ``cable`` a type with its length; ``None`` leaves it as it is.
    """

    def put(words: str | None, found: re.Match[str]) -> str:
        return found[0] if words is None else words

    text = _BEHIND_LABEL.sub(lambda found: put(behind(found[1]), found), text)
    text = _ADDRESS.sub(lambda found: place(found[0]), text)
    return _CABLE.sub(lambda found: put(cable(found[1], found[2]), found), text)


@dataclass(frozen=True, slots=True)
class Named:
    """Names within a show; without a rig (a file with errors) sockets keep those of the file."""

    show: Show
    rig: Rig | None = None

    def item(self, name: str) -> str:
        """What the crew calls an item; what is none stays as it is."""
        if self.rig is not None and name in self.rig.items:
            return self.rig.items[name].label
        item = self.show.items.get(name)
        return name if item is None else item.called

    def source(self, name: str) -> str:
        """What sounds, by its label; else by its kind and what hears it, which tells two apart."""
        source = self.show.sources[name]
        return source.label or f"{self.gear(source.type)}, at {self.place(source.at)}"

    def place(self, address: str) -> str:
        """A socket, a control or a strip with its item: ``Desk, ch2, phantom``.

        Examples
        --------
        >>> from levelhead.show.model import Item
        >>> Named(Show("Hall", items={"desk": Item("desk", "mixer", "Desk")})).place("desk.ch1.mic")
        'Desk, ch1, mic'
        """
        item, _, local = address.partition(".")
        if item not in self.show.items:
            return address
        within = self._within(address, local)
        return f"{self.item(item)}, {within}" if within else self.item(item)

    def ends(self, addresses: list[str]) -> str:
        """What a lead joins, in its order: ``Anna's microphone to Desk, ch1``."""
        return " to ".join(self._end(each) for each in addresses)

    def cable(self, cable: Cable) -> str:
        """A cable as it is packed: ``XLR cable, 10 m``."""
        length = "" if cable.length_m is None else f", {length_text(cable.length_m)}"
        return f"{self.gear(cable.type)}{length}"

    def thing(self, text: str) -> str:
        """A thing of the stock, ``cable-xlr 10 m``, by the label of its type."""
        found = _CABLE.fullmatch(text)
        if found is None or self._label(found[1]) is None:
            return text
        return f"{self._label(found[1])}, {found[2]}" if found[2] else self.gear(found[1])

    def gear(self, type_id: str) -> str:
        """A gear type by its label."""
        return self._label(type_id) or type_id

    def sentence(self, text: str) -> str:
        """A sentence without addresses and without ids of cables.

        ``Set Desk (desk.ch2.phantom) to on`` becomes ``Set Desk, ch2, phantom to on``.
        """
        return retold(text, behind=self._behind, place=self.place, cable=self._cable)

    def refused(self, error: LevelheadError) -> LevelheadError:
        """A refusal of a step in the crew's words: no addresses, no ids of what has a name."""
        what = error.what
        for cell in getattr(error, "cells", ()):
            what = what.replace(cell_words(cell), cell_words(cell, self._of_section))
        what, where, remedy = map(self.sentence, (what, error.where, error.remedy))
        singles = [self.refused(each) for each in error.errors if each is not error]
        return LevelheadError(
            what, where=where, expected=error.expected, remedy=remedy, errors=singles
        )

    def _of_section(self, section: str, name: str) -> str:
        """What people call a name that stands in a section of the file."""
        if section == "items":
            return self.item(name)
        thing = getattr(self.show, section).get(name) if section in _LABELLED else None
        if section == "sources" and thing is not None:
            return self.source(name)
        return getattr(thing, "label", "") or name

    def _end(self, address: str) -> str:
        """A socket; an item that has but one way out needs no more than its name."""
        port = None if self.rig is None else self.rig.ports.get(address)
        if port is None or port.block.name or len(port.item.plan.blocks[0].plan.ports) > 1:
            return self.place(address)
        return self.item(address.partition(".")[0])

    def _within(self, address: str, local: str) -> str:
        rig = self.rig
        if rig is not None and address in rig.ports:
            return strip_name(rig.ports[address])
        if rig is not None and address in rig.controls:
            strip, _, last = local.rpartition(".")
            label = control_label(rig, address) or last
            return ", ".join(part for part in (strip, label) if part)
        return local.replace(".", ", ")

    def _behind(self, address: str) -> str | None:
        item, _, local = address.partition(".")
        if item not in self.show.items:
            return None
        words = self._within(address, local) if local else ""
        return f", {words}" if words else ""

    def _cable(self, type_id: str, length: str | None) -> str | None:
        label = self._label(type_id) if "-" in type_id else None
        if label is None or not length:
            return label
        return f"{label}, {length_text(checked_length_m(length))}"

    def _label(self, type_id: str) -> str | None:
        book = None if self.rig is None else self.rig.book
        return book.entry(type_id).label if book is not None and type_id in book else None
