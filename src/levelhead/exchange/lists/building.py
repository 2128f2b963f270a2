"""Channels of a list as edits: sources, microphones and boxes, plugged with the usual cables."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Final

from levelhead.exchange.lists.desks import Desk
from levelhead.exchange.lists.model import Channel
from levelhead.exchange.lists.phrases import words_of
from levelhead.exchange.lists.remarks import PAD
from levelhead.exchange.lists.types_on_way import lives_on_phantom
from levelhead.gear.book import GearBook
from levelhead.gear.plan import PortPlan
from levelhead.planning.moves.boxes import fans
from levelhead.planning.stock import taken
from levelhead.quantity.parsing import parse_si
from levelhead.rig.settings import setting_text
from levelhead.rig.usual import BESIDE_M, usual_cable
from levelhead.show.addresses import LONGEST_ID
from levelhead.show.checks import LONGEST_LABEL
from levelhead.show.edits import AddItem, AddSource, Edit, Plug, Set
from levelhead.show.model import Cable, Item, Link, Show, Source

__all__ = ["Builder", "id_of"]

_SIDES: Final = ("left", "right")
_MIC_SLUG: Final = "mic"
_BOX_SLUG: Final = "di"


@dataclass(frozen=True, slots=True)
class Output:
    """An output of what is added."""

    address: str
    plan: PortPlan


@dataclass(slots=True)
class Builder:
    """Makes edits of channels, one after another; ids that are taken get the next number."""

    show: Show
    book: GearBook
    edits: list[Edit] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    _ids: set[str] = field(default_factory=set)

    def __post_init__(self) -> None:
        self._ids |= {*self.show.items, *self.show.sources}

    def free_id(self, stem: str) -> str:
        """The name itself, else with the next number that is free."""
        stem = stem[: LONGEST_ID - 4].strip("-") or "input"
        name, number = stem, 1
        while name in self._ids:
            number += 1
            name = f"{stem}-{number}"
        self._ids.add(name)
        return name

    def add(self, channel: Channel, desk: Desk, numbers: Sequence[int]) -> None:
        """Everything of one channel, into these inputs of the desk."""
        if channel.way == "mic":
            outputs = list(self._microphones(channel))
        else:
            outputs = self._instruments(channel)
        self._plug(channel, outputs, desk, numbers)
        if channel.pad:
            self._pad(channel, outputs, desk, numbers)
        self.switches(channel, desk, numbers)

    # --- items and sources ---

    def _microphones(self, channel: Channel) -> Iterator[Output]:
        for ending in _endings(channel):
            stem = id_of(f"{channel.name} {ending}")
            item = self.free_id(f"{_MIC_SLUG}-{stem}")
            label = f"{channel.name} {ending}".strip()[:LONGEST_LABEL]
            called = label if channel.source is None else _of(label, "microphone", _MIC_SLUG)
            entry = Item(item, str(channel.item), called, note=channel.note)
            self.edits.append(AddItem(entry))
            if channel.source is not None:
                distance_m = self._distance_m(str(channel.item), channel.source)
                source = Source(self.free_id(stem), channel.source, item, distance_m, label)
                self.edits.append(AddSource(source))
            yield self.outputs(item, str(channel.item))[0]

    def _instruments(self, channel: Channel) -> list[Output]:
        """Outputs of an instrument or player, of its box where it has one."""
        found: list[Output] = []
        is_stereo = channel.is_pair and self._is_stereo(str(channel.item))
        for ending in ("",) if is_stereo else _endings(channel):
            name = f"{channel.name} {ending}".strip()
            item = self.free_id(id_of(name))
            entry = Item(item, str(channel.item), name[:LONGEST_LABEL], note=channel.note)
            self.edits.append(AddItem(entry))
            outs = self.outputs(item, str(channel.item))
            outs = outs[: 2 if is_stereo else 1]
            found += self._boxed(channel, outs, item) if channel.box else outs
        return found

    def _is_stereo(self, type_id: str) -> bool:
        """Whether one item of a type gives left and right."""
        outs = self.outputs("item", type_id)
        return len(outs) > 1 or any(len(each.plan.signals) > 1 for each in outs)

    def _boxed(self, channel: Channel, outs: list[Output], item: str) -> list[Output]:
        """Outputs behind boxes: one box with the sides, or a box for each of them."""
        box = str(channel.box)
        leaving: list[Output] = []
        waiting = list(outs)
        while waiting:
            name = self.free_id(f"{_BOX_SLUG}-{item}")
            kind = self.book.entry(box).label.partition(",")[0]
            called = _of(channel.name, kind, _BOX_SLUG)
            self.edits.append(AddItem(Item(name, box, called)))
            ins = self._ports(name, box, "in")
            joined = _entries(waiting, ins)
            for out, entry in joined:
                self._link(out, entry, BESIDE_M)
            sides = sum(max(len(out.plan.signals), 1) for out, _ in joined)
            waiting = waiting[len(joined) :] if joined else []
            leaving += self.outputs(name, box)[: max(sides, 1)]
        return leaving[: 2 if channel.is_pair else 1]

    def outputs(self, item: str, type_id: str) -> list[Output]:
        """Outputs of an item that carry sound."""
        return [
            each
            for each in self._ports(item, type_id, "out")
            if each.plan.carries == "audio" and each.plan.socket != "hdmi"
        ]

    def _ports(self, item: str, type_id: str, role: str) -> list[Output]:
        return [
            Output(f"{item}.{block.address(name)}", port)
            for block in self.book.plan(type_id, {}, {}).blocks
            for name, port in block.plan.ports.items()
            if port.role == role
        ]

    def _distance_m(self, mic: str, source: str) -> float | None:
        """The usual distance of the microphone where it usually hears such a thing. [m]"""
        usual = self.book.entry(mic).usual
        if usual.source is None or not isinstance(usual.distance, str):
            return None
        kinds = {self.book.entry(each).kind for each in (usual.source, source)}
        is_usual = usual.source == source or kinds == {"voice"}
        return parse_si(usual.distance, "m") if is_usual else None

    # --- plugs ---

    def _plug(
        self, channel: Channel, outputs: list[Output], desk: Desk, numbers: Sequence[int]
    ) -> None:
        is_line = channel.way == "line"
        entries = [desk.socket(number, is_line=is_line) for number in numbers]
        sockets = [Output(*entry) for entry in entries if entry is not None]
        if len(outputs) == 1 and len(sockets) == len(_SIDES) == len(outputs[0].plan.signals):
            self._fan(outputs[0], sockets, channel.cable_m)
            return
        for output, socket in zip(outputs, sockets, strict=False):
            self._link(output, socket, channel.cable_m)
        for output in outputs[len(sockets) :]:
            self.notes.append(f"{output.address} found no input")

    def _fan(self, output: Output, sockets: list[Output], length_m: float | None) -> None:
        left, right = sockets
        lead = next(fans(self.book, output.plan, left.plan, right.plan), None)
        if lead is None:
            self._link(output, left, length_m)
            return
        ends = {"a": output.address, "left": left.address, "right": right.address}
        cable = taken(self.show, lead.type_id, length_m or lead.usual_length_m)
        self.edits.append(Plug(Link(ends, (cable,))))

    def _link(self, start: Output, end: Output, length_m: float | None) -> None:
        cable = usual_cable(self.book, start.plan, end.plan)
        via: tuple[Cable, ...] = ()
        if cable is None:
            self.notes.append(f"no cable of the gear book fits {start.address} and {end.address}")
        else:
            via = (taken(self.show, cable.type_id, length_m or cable.usual_length_m),)
        self.edits.append(Plug(Link({"a": start.address, "b": end.address}, via)))

    # --- settings ---

    def switches(self, channel: Channel, desk: Desk, numbers: Sequence[int]) -> None:
        """Phantom power, gain and sides, as the list says them or the gear lives on them."""
        gear = [each for each in (channel.item, channel.box) if each]
        needs = any(lives_on_phantom(self.book, each) for each in gear)
        for number in numbers:
            if channel.phantom or (channel.phantom is None and needs):
                self._set(desk, number, "phantom", "on")
            if channel.gain_db is not None:
                self._set_gain(desk, number, channel.gain_db)
        sides = _SIDES if channel.is_pair else (channel.side,) if channel.side else ()
        for number, side in zip(numbers, sides, strict=False):
            self._set(desk, number, "pan", side)

    def _pad(
        self, channel: Channel, outputs: list[Output], desk: Desk, numbers: Sequence[int]
    ) -> None:
        """The pad nearest to the signal: of the microphone or box, else of the desk's channel."""
        types = {edit.item.id: edit.item.type for edit in self.edits if isinstance(edit, AddItem)}
        items = dict.fromkeys(output.address.partition(".")[0] for output in outputs)
        own = [(each, self.book.controls(types[each]).get(PAD)) for each in items if each in types]
        found = [(f"{item}.{PAD}", control) for item, control in own if control is not None]
        found = found or [each for number in numbers if (each := desk.control(number, PAD))]
        for address, control in dict(found).items():
            on = next((each for each in control.options if each != control.default), None)
            if on is not None:
                self.edits.append(Set(address, str(on)))
        if not found:
            self.notes.append(
                f"{channel.where}: '{channel.name}' wants a pad; nothing there has one to switch. "
                "A pad in the line is gear of its own: pad-20 of the gear book"
            )

    def _set(self, desk: Desk, number: int, name: str, value: str) -> None:
        control = desk.control(number, name)
        if control is None:
            return
        edit = Set(control[0], value)
        if edit not in self.edits and self.show.settings.get(control[0]) != value:
            self.edits.append(edit)

    def _set_gain(self, desk: Desk, number: int, gain_db: float) -> None:
        control = desk.control(number, "gain") or desk.control(number, "trim")
        if control is None or not control[1].low <= gain_db <= control[1].high:
            self.notes.append(f"channel {number}: the desk has no gain of {gain_db:g} dB")
            return
        self._set(desk, number, control[0].rpartition(".")[2], setting_text(gain_db, control[1]))


def _of(name: str, kind: str, said: str) -> str:
    """What people call the gear of an input, which may be said already.

    >>> _of("Kick", "microphone", "mic"), _of("Lead mic", "microphone", "mic")
    ('Kick microphone', 'Lead mic')
    >>> _of("bass DI", "DI box", "di"), _of("Gtr", "Wireless set", "di")
    ('bass DI', 'Gtr wireless set')
    """
    if words_of(name)[-1:] == (said,):
        return name[:LONGEST_LABEL]
    lower = kind[:1].lower() + kind[1:] if kind[1:2].islower() else kind
    return f"{name} {lower}"[:LONGEST_LABEL]


def _entries(outs: list[Output], ins: list[Output]) -> list[tuple[Output, Output]]:
    """Which output goes into which input of a box: side by side, a stereo plug into its own."""
    sided = [each for each in ins if each.plan.name.endswith(_SIDES)]
    plain = [each for each in ins if each not in sided]
    if (
        len(outs[0].plan.signals) > 1
        or not sided
        or (plain and len(outs) == 1 and not _is_side(outs[0]))
    ):
        return [(outs[0], plain[0] if plain else sided[0])]
    return list(zip(outs, sided, strict=False))


def _is_side(output: Output) -> bool:
    return output.plan.name.endswith(_SIDES)


def _endings(channel: Channel) -> Sequence[str]:
    """What tells the microphones of one channel apart."""
    if channel.count <= 1:
        return ("",)
    if channel.is_pair and channel.count == len(_SIDES):
        return _SIDES
    return tuple(str(number + 1) for number in range(channel.count))


def id_of(text: str) -> str:
    """An id made of a text.

    >>> id_of("Tom 1 (Höhe)")
    'tom-1-hohe'
    """
    words = (re.sub(r"[^a-z0-9]", "", word) for word in words_of(text))
    return "-".join(word for word in words if word)[: LONGEST_ID - 10].strip("-") or "input"
