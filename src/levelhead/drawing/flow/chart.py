"""A rig as a chart: items as boxes, links as leads, parallel cables as one trunk.

Two views. *Flow*: sockets with a plug only, parallel cables drawn as one. *Wiring*: every socket
in the order of the panel, every cable for itself. What feeds one item alone may be *folded* into
one box in front of it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Final, Literal, TypeAlias

from levelhead.drawing.flow.folding import feeders_of
from levelhead.drawing.flow.found import Found, Marks
from levelhead.drawing.flow.model import Box, Chart, Lead, LeadKind, Row, Side
from levelhead.drawing.flow.wires import (
    BEFORE,
    Wire,
    groups_of,
    is_inside,
    links_of,
    sockets_text,
    stretches_of,
    trunks_of,
    wires_of,
)
from levelhead.rig.model import Rig, RigPort
from levelhead.show.addresses import item_of
from levelhead.show.lengths import cable_text

__all__ = ["View", "chart_of", "foldable"]

View: TypeAlias = Literal["flow", "wiring"]

_FEW: Final = 2  # below, a box of folded items saves nothing
_DIGITAL: Final = frozenset({"aes", "spdif", "usb", "network", "hdmi"})


def chart_of(
    rig: Rig,
    findings: Iterable[Found] = (),
    view: View = "flow",
    fold: Collection[str] = (),
    *,
    is_brief: bool = False,
) -> Chart:
    """Boxes and leads of a rig, with the worst verdict where something is worse than fine.

    Parameters
    ----------
    fold
        Items before which all that feeds them alone is drawn as one box.
    is_brief
        Like strips without a plug are one row in the wiring view, as on paper.
    """
    marks = Marks(findings)
    wires = [wire for link in links_of(rig) for wire in wires_of(rig, *link)]
    groups = groups_of(rig, wires, fold)
    wires = [wire for wire in wires if not is_inside(wire, groups)]
    trunks = trunks_of(wires, groups) if view == "flow" else [[wire] for wire in wires]
    rows = _Rows(rig, marks, groups)
    ends = [rows.plugged(trunk) for trunk in trunks]
    if view == "wiring":
        rows.add_free(is_brief=is_brief)
    boxes: dict[str, Box] = {}
    for item in rig.items:
        name = groups.get(item, item)
        if name not in boxes:
            boxes[name] = _box(rig, item, rows, marks) if name == item else _group(rig, name, rows)
    leads = tuple(
        _lead(rig, name, trunk, rows, at, marks)
        for name, trunk, at in zip(_names(ends), trunks, ends, strict=True)
    )
    if view == "wiring":
        leads = tuple(
            replace(lead, tag=", ".join(str(link + 1) for link in lead.links)) for lead in leads
        )
    return Chart(boxes, leads)


def foldable(rig: Rig) -> dict[str, int]:
    """Items where ways come together, with how many items stand before each and nowhere else."""
    wires = [wire for link in links_of(rig) for wire in wires_of(rig, *link)]
    pairs = {(item_of(wire.start), item_of(wire.end)) for wire in wires}
    found = {}
    for item in {other for _, other in pairs}:
        before = feeders_of(item, rig.items, pairs)
        beside = {one for one, other in pairs if other == item and one in before}
        if len(beside) >= _FEW:
            found[item] = len(before)
    return {item: found[item] for item in rig.items if item in found}


# ---------------------------------------------------------------- rows


@dataclass(slots=True)
class _Rows:
    """Rows of every box as they come together, then in the order of the panel."""

    rig: Rig
    marks: Marks
    groups: Mapping[str, str]
    found: dict[tuple[str, Side], dict[tuple[str, ...], Row]] = field(default_factory=dict)

    def plugged(self, trunk: Sequence[Wire]) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """Rows for both ends of a trunk; their keys."""
        starts = tuple(dict.fromkeys(wire.start for wire in trunk))
        ends = tuple(dict.fromkeys(wire.end for wire in trunk))
        self._add(starts, "right")
        self._add(ends, "left")
        return starts, ends

    def _add(self, addresses: tuple[str, ...], side: Side, *, is_free: bool = False) -> None:
        item = item_of(addresses[0])
        box = self.groups.get(item, item)
        text = sockets_text(addresses) if box == item else ""
        text += " free" if is_free and len(addresses) > 1 else ""
        row = Row(addresses[0], text, self.marks.worst(addresses), is_free)
        self.found.setdefault((box, side), {})[addresses] = row

    def add_free(self, *, is_brief: bool) -> None:
        """Sockets without a plug, too."""
        free: dict[tuple[str, Side], list[str]] = {}
        for address, port in self.rig.ports.items():
            side: Side = "left" if port.plan.role in ("in", "insert") else "right"
            is_drawn = any(address in keys for keys in self.found.get((port.item.id, side), ()))
            if not is_drawn and port.item.id not in self.groups:
                free.setdefault((port.item.id, side), []).append(address)
        for (item, side), addresses in free.items():
            plugged = {each for keys in self.found.get((item, side), ()) for each in keys}
            used = {each.rpartition(".")[0] for each in plugged}
            alone = ((each,) for each in addresses)
            for each in stretches_of(addresses, used) if is_brief else alone:
                self._add(each, side, is_free=True)

    def box(self, address: str) -> str:
        """Box in which a socket is drawn."""
        return self.groups.get(item_of(address), item_of(address))

    def addresses(self, item: str) -> Iterator[str]:
        """Sockets of an item that have a row."""
        for side in ("left", "right"):
            for keys in self.found.get((item, side), ()):
                yield from keys

    def side(self, item: str, side: Side) -> dict[tuple[str, ...], Row]:
        """Rows of a side in panel order."""
        place = {address: number for number, address in enumerate(self.rig.ports)}
        rows = self.found.get((item, side), {})
        return dict(sorted(rows.items(), key=lambda each: min(place[at] for at in each[0])))


# ---------------------------------------------------------------- boxes and leads


def _box(rig: Rig, item: str, rows: _Rows, marks: Marks) -> Box:
    plan = rig.items[item].plan
    label = rig.items[item].label
    short = plan.label.partition(",")[0]
    heard = [source.label for source in rig.sources if item_of(source.at) == item]
    notes = [*heard, *([short] if short.casefold() != label.casefold() else [])]
    return Box(
        item,
        label,
        tuple(dict.fromkeys(notes)),
        tuple(rows.side(item, "left").values()),
        tuple(rows.side(item, "right").values()),
        marks.item(item, rows.addresses(item)),
        f"{label}: {plan.label}",
    )


def _group(rig: Rig, name: str, rows: _Rows) -> Box:
    """All that feeds one item alone, by the names of those that feed it directly or not."""
    items = [item for item, box in rows.groups.items() if box == name]
    giving = {item_of(each) for each in rows.addresses(name)}
    first = [item for item in items if item in giving]
    label = rig.items[name.removeprefix(BEFORE)].label
    return Box(
        name,
        f"{len(first)} into {label}",
        tuple(rig.items[item].label for item in rig.items if item in first),
        (),
        tuple(rows.side(name, "right").values()),
        rows.marks.worst(address for address in rig.ports if item_of(address) in items),
        "folded: " + ", ".join(rig.items[item].label for item in items),
        tuple(items),
    )


def _lead(
    rig: Rig,
    name: str,
    trunk: Sequence[Wire],
    rows: _Rows,
    at: tuple[tuple[str, ...], tuple[str, ...]],
    marks: Marks,
) -> Lead:
    start, end = at
    one, other = rows.box(start[0]), rows.box(end[0])
    links = tuple(dict.fromkeys(wire.number for wire in trunk))
    return Lead(
        name,
        (one, list(rows.side(one, "right")).index(start)),
        (other, list(rows.side(other, "left")).index(end)),
        _kind(rig.ports[start[0]]),
        len(links),
        links,
        marks.worst((*start, *end)),
        _hint(trunk),
    )


def _names(ends: Iterable[tuple[tuple[str, ...], tuple[str, ...]]]) -> Iterator[str]:
    """Names of leads that stay when others come and go: their first sockets."""
    seen: Counter[str] = Counter()
    for start, end in ends:
        name = f"{start[0]}>{end[0]}"
        seen[name] += 1
        yield name if seen[name] == 1 else f"{name}>{seen[name]}"


def _kind(port: RigPort) -> LeadKind:
    if port.plan.role == "loudspeaker" or port.plan.socket.startswith("speaker"):
        return "loudspeaker"
    return "digital" if port.plan.carries in _DIGITAL else "signal"


def _hint(trunk: Sequence[Wire]) -> str:
    """The cables in words, each kind once."""
    texts = []
    for wire in trunk:
        cables = [cable_text(each) for each in wire.link.via]
        texts.append(f"{wire.start} to {wire.end}: {', '.join(cables) or 'no cable named'}")
    return "; ".join(texts)
