"""What is typed into the input list, as edits: gear by what people call it, cables, gain, phantom.

Nothing is judged here. What goes together is chosen as an engineer does who is told no more: the
usual cable into the first free socket of the strip that it fits.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from itertools import pairwise
from typing import Final

from levelhead.errors import EditError
from levelhead.exchange.paperwork.input_rows import InputRow
from levelhead.exchange.rows.chains import Standing, standing
from levelhead.exchange.rows.needs_gear import NeedsGearError
from levelhead.exchange.rows.settings import strip_settings
from levelhead.exchange.rows.spoken import edits_of_line
from levelhead.exchange.things.cable_words import cables_meant
from levelhead.rig.model import Rig
from levelhead.show.edits import (
    AddSource,
    Annotate,
    ChangeSource,
    Edit,
    Recable,
    Relabel,
    Remove,
    Retype,
    Unplug,
)
from levelhead.show.model import Link

__all__ = ["COLUMNS", "filled", "removed"]

COLUMNS: Final = ("source", "gear", "cable", "phantom", "gain", "note")
_HOPS: Final = re.compile(r"\s*>\s*")


def filled(rig: Rig, row: InputRow, cells: Mapping[str, str]) -> list[Edit]:
    """Edits that make a row read as it was typed.

    Parameters
    ----------
    rig : Rig
        The show before.
    row : InputRow
        The row as it is.
    cells : mapping of str
        Texts by the names of ``COLUMNS``; gear may be the id of a type. Empty gear empties the row.

    Raises
    ------
    EditError
        A text means nothing here; a ``NeedsGearError`` where gear has to come first.
    """
    unknown = sorted(cells.keys() - set(COLUMNS))
    if unknown:
        raise EditError(
            f"no column '{unknown[0]}'",
            where=row.id,
            expected=", ".join(COLUMNS),
            remedy="Name one of them.",
        )
    wanted = {name: cells[name].strip() for name in COLUMNS if name in cells}
    if row.is_free:
        return list(_begun(rig, row, wanted))
    if wanted.get("gear") == "":
        return removed(rig, row)
    return list(_changed(rig, row, wanted))


def removed(rig: Rig, row: InputRow) -> list[Edit]:
    """Edits that take away what stands before a row; what feeds other inputs too is only unplugged.

    Where nothing but the plug can go, the link goes.
    """
    own = {*row.chain, row.item}
    kept = {
        item
        for link in rig.show.links
        for item in link.items
        if not link.items <= own or (row.item in link.items and not _is_of(link, row))
    }
    gone = [Remove(item) for item in row.chain if item not in kept]
    return [*gone] or [_unplugged(rig, row, address) for address in row.at]


def _is_of(link: Link, row: InputRow) -> bool:
    """Whether a link to the desk is one of this row, or comes from elsewhere on the desk."""
    return bool(set(link.ends.values()) & set(row.at))


def _unplugged(rig: Rig, row: InputRow, address: str) -> Edit:
    link = rig.show.link_at(address)
    if link is None:
        raise EditError(
            f"nothing is plugged into {address}",
            where=row.id,
            expected="a plug",
            remedy="Look at the row again.",
        )
    return Unplug(link)


# --- a free row ---


def _begun(rig: Rig, row: InputRow, wanted: Mapping[str, str]) -> Iterator[Edit]:
    gear, source = wanted.get("gear", ""), wanted.get("source", "")
    if not gear and not source:
        if wanted.get("cable") or wanted.get("note"):
            raise NeedsGearError.of(row.id)
    elif not gear and (said := _told(rig, row, source, wanted)):
        yield from said
        return
    else:
        yield from _stood(
            rig,
            row,
            _named(_standing(rig, row, gear or source, is_gear=bool(gear)), source),
            wanted,
        )
    yield from strip_settings(rig, row, wanted)


def _told(rig: Rig, row: InputRow, source: str, wanted: Mapping[str, str]) -> tuple[Edit, ...]:
    """A source alone may say everything, as in a band's list."""
    others = [name for name, text in wanted.items() if text and name != "source"]
    return () if others else edits_of_line(rig, row, source)


def _standing(rig: Rig, row: InputRow, text: str, *, is_gear: bool) -> Standing:
    strip = [rig.ports[address] for address, _ in row.ports]
    return standing(rig.show, rig.book, strip, text, is_gear=is_gear, where=row.id)


def _named(new: Standing, source: str) -> Standing:
    return new.called(source) if source else new


def _stood(rig: Rig, row: InputRow, new: Standing, wanted: Mapping[str, str]) -> Iterator[Edit]:
    """The edits of what comes to stand here, with its cable and its note as they were typed."""
    if wanted.get("note"):
        new = new.with_head(replace(new.head, note=wanted["note"]))
    yield from new.edits
    yield from new.plugs
    for plug in new.plugs if wanted.get("cable") else ():
        *_, last = _HOPS.split(wanted["cable"])
        end = next(address for address in plug.link.ends.values() if address in rig.ports)
        via = cables_meant(rig.book, last, plug.link.via, (), where=row.id)
        yield Recable(end, via)


# --- a row that is full ---


def _changed(rig: Rig, row: InputRow, wanted: Mapping[str, str]) -> Iterator[Edit]:
    if "gear" in wanted and wanted["gear"] not in (row.gear, row.gear_type, _full_gear(row)):
        yield from _other_gear(rig, row, wanted)
    else:
        for name, change in _CHANGES.items():
            if name in wanted:
                yield from change(rig, row, wanted[name])
    yield from strip_settings(rig, row, wanted)


def _full_gear(row: InputRow) -> str:
    return " > ".join(part for part in (row.gear, row.through) if part)


def _other_gear(rig: Rig, row: InputRow, wanted: Mapping[str, str]) -> Iterator[Edit]:
    """Another type in its place where its plugs fit as they are, else all of it anew."""
    item = rig.show.items[row.chain[0]]
    new = _standing(rig, row, wanted["gear"], is_gear=True)
    said = wanted.get("source") or (row.source if row.source_id or item.label else "")
    if len(row.chain) == 1 and _takes_its_place(rig, row, new):
        yield Retype(item.id, new.head.type)
        for name, change in _CHANGES.items():
            if name in wanted:
                yield from change(rig, row, wanted[name])
        return
    gone = removed(rig, row)
    left = [link for link in _links(rig, row) if not _goes_with(link, gone)]
    yield from (*gone, *(Unplug(link) for link in left))
    head = replace(new.head, need=item.need, at=item.at, note=item.note)
    yield from _stood(rig, row, _named(new.with_head(head), said), wanted)


def _goes_with(link: Link, gone: list[Edit]) -> bool:
    """Whether a link is taken away by edits already: what feeds other inputs too stays in place."""
    return any(
        (isinstance(edit, Remove) and edit.item in link.items)
        or (isinstance(edit, Unplug) and edit.link == link)
        for edit in gone
    )


def _takes_its_place(rig: Rig, row: InputRow, new: Standing) -> bool:
    """Whether the new type has the same socket under the same name, and hears alike."""
    ends = [rig.ports[end] for link in _links(rig, row) for end in link.ends.values()]
    own = {
        (block.address(name), port.socket)
        for block in rig.book.plan(new.head.type, {}, {}).blocks
        for name, port in block.plan.ports.items()
    }
    hears = any(isinstance(edit, AddSource) for edit in new.edits)
    return hears == bool(row.source_id) and all(
        (port.address.partition(".")[2], port.plan.socket) in own
        for port in ends
        if port.item.id == row.chain[0]
    )


def _links(rig: Rig, row: InputRow) -> list[Link]:
    found = (rig.show.link_at(address) for address in row.at)
    return [link for link in dict.fromkeys(found) if link is not None]


def _source(rig: Rig, row: InputRow, text: str) -> Iterator[Edit]:
    if text == row.source:
        return
    if row.source_id:
        yield ChangeSource(replace(rig.show.sources[row.source_id], label=text))
    else:
        yield Relabel(row.chain[0], text)


def _cable(rig: Rig, row: InputRow, text: str) -> Iterator[Edit]:
    """One text a link, the last one at the desk; a single text is that of the last."""
    texts = _HOPS.split(text)
    if texts in (list(row.cables), list(row.cable_labels)):
        return
    ends = _cable_ends(rig, row)
    if len(texts) > len(ends):
        raise EditError(
            f"{len(texts)} cables for {len(ends)} plugs",
            where=row.id,
            expected="one text for each link, with > between",
            remedy="A cable and its adaptors go together with a plus sign.",
        )
    for end, each in zip(ends[::-1], texts[::-1], strict=False):
        link = rig.show.link_at(end)
        if link is not None:
            ports = [rig.ports[address] for address in link.ends.values()]
            yield Recable(end, cables_meant(rig.book, each, link.via, ports, where=row.id))


def _cable_ends(rig: Rig, row: InputRow) -> list[str]:
    """A socket of each link before the strip, in the order of the signal."""
    chain = [*row.chain, row.item]
    ends = []
    for item, into in pairwise(chain):
        links = (link for link in rig.show.links if {item, into} <= link.items)
        at_row = [link for link in links if into != row.item or _is_of(link, row)]
        ends += [next(iter(link.ends.values())) for link in at_row[:1]]
    return ends


def _note(rig: Rig, row: InputRow, text: str) -> Iterator[Edit]:
    del rig
    if text != row.note:
        yield Annotate(row.chain[0], text)


_CHANGES: Final[Mapping[str, Callable[[Rig, InputRow, str], Iterator[Edit]]]] = {
    "source": _source,
    "cable": _cable,
    "note": _note,
}
