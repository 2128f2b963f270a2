"""The input list as it is worked on: a row for each strip of mixers and stage boxes, full or free.

Rows are plain values for screens; nothing is judged here.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any, Final

from levelhead.exchange.paperwork.knobs import gain_control
from levelhead.gear.feeding import PhantomSwitch, phantom_switches
from levelhead.planning.proposal.free_inputs import Inputs
from levelhead.rig.model import Rig, RigLink, RigPort
from levelhead.rig.settings import setting_text
from levelhead.show.lengths import cable_text
from levelhead.show.model import Link

__all__ = ["InputRow", "Rows", "strip_id"]


_FEWEST: Final = 4  # inputs of a box that is one of a stage, not one in a line


@dataclass(frozen=True, slots=True)
class InputRow:
    """One strip: what is plugged in, what stands before it, how it is set.

    ``id`` is the address of the strip, ``ports`` its sockets, ``at`` those with a plug, ``giver``
    the output at the other end. ``chain`` are the items before it, the first that makes a sound
    first; ``cables`` are the links between them in the same order. A phantom switch that feeds
    other inputs as well is ``shared``.
    """

    id: str
    item: str
    name: str
    ports: tuple[tuple[str, str], ...]
    at: tuple[str, ...] = ()
    giver: str = ""
    chain: tuple[str, ...] = ()
    source: str = ""
    source_id: str = ""
    source_type: str = ""
    gear: str = ""
    gear_type: str = ""
    through: str = ""
    cables: tuple[str, ...] = ()
    cable_labels: tuple[str, ...] = ()
    phantom: str = ""
    phantom_control: str = ""
    phantom_shared: bool = False
    phantom_needed: bool = False
    gain: str = ""
    gain_control: str = ""
    gain_set: bool = False
    need: str = ""
    note: str = ""

    @property
    def is_free(self) -> bool:
        """Whether nothing is plugged in."""
        return not self.at

    def to_json(self) -> dict[str, Any]:
        """What says something, by name."""
        given = ((name, getattr(self, name)) for name in self.__slots__)
        return {name: value for name, value in given if value not in ("", (), False)}


def strip_id(port: RigPort) -> str:
    """Address of the strip that a port belongs to; a port of the item itself is its own strip."""
    return port.strip if port.block.name else port.address


class Rows:
    """All rows of a rig, with what was looked up for them."""

    def __init__(self, rig: Rig) -> None:
        self.rig = rig
        self._links = {link.number: link for link in rig.links}
        self._inputs: dict[str, list[RigPort]] = defaultdict(list)
        for port in rig.ports.values():
            if port.link is not None and port.plan.role == "in":
                self._inputs[port.item.id].append(port)
        self._sources: dict[str, list[str]] = defaultdict(list)
        for source in rig.show.sources.values():
            self._sources[source.at.partition(".")[0]].append(source.id)
        self._phantom: dict[str, Mapping[tuple[str, str], PhantomSwitch]] = {}

    def all(self) -> dict[str, InputRow]:
        """Every row by its id, in the order of the panels."""
        return {row.id: row for row in self._rows()}

    def _rows(self) -> Iterator[InputRow]:
        for strip in _listed_strips(self.rig):
            for ports in [strip] if strip[0].block.name else [(port,) for port in strip]:
                yield self._row(ports)

    def _row(self, strip: Inputs) -> InputRow:
        port = next((each for each in strip if each.link is not None), strip[0])
        plugged = tuple(each.address for each in strip if each.link is not None)
        items, links = self.upstream(port) if plugged else ([], [])
        return InputRow(
            id=strip_id(port),
            item=port.item.id,
            name=port.block.name or port.plan.label,
            ports=tuple((each.address, each.plan.label) for each in strip),
            at=plugged,
            giver=self._giver(port),
            **self._phantom_of(port, items),
            **self._gain_of(port),
            **(self._head(items, links) if items else {}),
        )

    # --- before the strip ---

    def upstream(self, port: RigPort) -> tuple[list[str], list[RigLink]]:
        """Items before an input and the links between, the first that makes a sound first."""
        items: list[str] = []
        links: list[RigLink] = []
        at: RigPort | None = port
        while at is not None and at.link is not None and at.link in self._links:
            link = self._links[at.link]
            ends = (self.rig.ports[each] for each in link.ports if each != at.address)
            giving = next((each for each in ends if each.plan.role != "in"), None)
            if giving is None or giving.item.id in items or giving.item.id == port.item.id:
                break
            items.append(giving.item.id)
            links.append(link)
            at = self._input_behind(giving)
        return items[::-1], links[::-1]

    def _giver(self, port: RigPort) -> str:
        """The output that is plugged into an input."""
        link = None if port.link is None else self._links.get(port.link)
        ends = (self.rig.ports[each] for each in (link.ports if link else ()))
        return next((each.address for each in ends if each.plan.role != "in"), "")

    def _input_behind(self, giving: RigPort) -> RigPort | None:
        """The input that feeds an output, as far as sockets tell: of its block, or the only one."""
        plugged = self._inputs.get(giving.item.id, [])
        own = [each for each in plugged if each.block.name == giving.block.name]
        feeding = own or plugged
        if own or len({each.link for each in feeding}) == 1:
            return feeding[0]
        return None

    def _head(self, items: Sequence[str], links: Sequence[RigLink]) -> dict[str, Any]:
        rig, book = self.rig, self.rig.book
        head = rig.show.items[items[0]]
        heard = [rig.show.sources[each] for each in self._sources.get(head.id, ())]
        source = heard[0] if heard else None
        return {
            "chain": tuple(items),
            "source": ", ".join(each.called for each in heard) or head.called,
            "source_id": source.id if source is not None else "",
            "source_type": book.entry(source.type).label if source is not None else "",
            "gear": book.entry(head.type).label,
            "gear_type": head.type,
            "through": " > ".join(
                book.entry(rig.show.items[each].type).label for each in items[1:]
            ),
            "cables": tuple(_via_text(link.link) for link in links),
            "cable_labels": tuple(_cable_label(link) for link in links),
            "need": head.need or "",
            "note": head.note,
        }

    # --- the strip ---

    def _phantom_of(self, port: RigPort, items: Sequence[str]) -> dict[str, Any]:
        type_id = self.rig.show.items[port.item.id].type
        if type_id not in self._phantom:
            self._phantom[type_id] = phantom_switches(self.rig.book.entry(type_id))
        switch = self._phantom[type_id].get((port.block.block, port.plan.name))
        if switch is None:
            return {}
        local = port.block.address(switch.control) if switch.of_block else switch.control
        head = self.rig.items[items[0]].plan.powered_by if items else ()
        return {
            "phantom": "on" if port.switched.figure("phantom") is not None else "off",
            "phantom_control": f"{port.item.id}.{local}",
            "phantom_shared": not switch.of_block,
            "phantom_needed": any(way.kind == "phantom" for way in head),
        }

    def _gain_of(self, port: RigPort) -> dict[str, Any]:
        control = gain_control(self.rig, port)
        if control is None:
            return {}
        text = self.rig.show.settings.get(control)
        plan = self.rig.controls[control]
        return {
            "gain": text or setting_text(self.rig.setting(control), plan),
            "gain_control": control,
            "gain_set": text is not None,
        }


def _listed_strips(rig: Rig) -> Iterator[Inputs]:
    """Strips of what a list of inputs is written for: mixers, and boxes with several inputs."""
    ins: dict[str, list[RigPort]] = defaultdict(list)
    for port in rig.ports.values():
        if port.plan.role == "in":
            ins[port.item.id].append(port)
    for name, ports in ins.items():
        kind = rig.items[name].plan.kind
        is_box = kind == "box" and len(ports) >= _FEWEST and _has_paths(rig, name)
        if kind == "mixer" or is_box:
            for _, strip in groupby(ports, key=lambda port: port.block.name):
                yield tuple(strip)


def _has_paths(rig: Rig, name: str) -> bool:
    """Whether anything in an item is more than copper: a multicore or a patch bay is no list."""
    return any(block.plan.paths for block in rig.items[name].plan.blocks)


def _via_text(link: Link) -> str:
    return " + ".join(cable_text(each) for each in link.via)


def _cable_label(link: RigLink) -> str:
    return " + ".join(
        f"{segment.cable.label}, {segment.length_m:g} m"
        if segment.length_m
        else segment.cable.label
        for segment in link.segments
    )
