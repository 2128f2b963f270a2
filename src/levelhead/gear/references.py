"""Names inside an entry that lead nowhere: ports, pins, controls, stages, blocks, figures."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Final

from levelhead.errors import GearError
from levelhead.gear.circuits import INSERT
from levelhead.gear.compile.addresses import figure_addresses, strip_figures, unknown_figure
from levelhead.gear.compile.controls import instance_names, repeated_controls
from levelhead.gear.compile.mixes import mix_start
from levelhead.gear.compile.parts import pin_place
from levelhead.gear.compile.paths import AIR, MIX
from levelhead.gear.compile.ports import INSERT_WIRINGS
from levelhead.gear.compile.strips import STRIP, strip_options
from levelhead.gear.connectors import CONNECTORS
from levelhead.gear.model import (
    INSIDE,
    BlockEntry,
    ControlEntry,
    MixEntry,
    StageEntry,
    TypeEntry,
)
from levelhead.gear.names import did_you_mean

__all__ = ["dangling"]

_PANNED: Final = ("left", "right")
PAN: Final = "pan"  # the law of a crossing whose control goes from left to right


def dangling(entry: TypeEntry) -> list[GearError]:
    """One error for each name that leads nowhere."""
    found = list(_Strip(entry, entry, "the item").errors())
    for name, block in entry.blocks.items():
        strips = strip_options(name, block)
        found += _Strip(entry, block, f"block '{name}'", strips).errors()
    found += _of_map(entry)
    found += _of_mix(entry)
    if entry.usual.fed_at is not None and entry.usual.fed_at not in entry.blocks:
        found.append(_error("block", entry.usual.fed_at, "usual, fed-at", entry.blocks))
    for power in entry.powered_by:
        if power.phantom is not None and power.phantom not in entry.ports:
            found.append(_error("port", power.phantom, "powered-by", entry.ports))
        sockets = {name: port.socket for name, port in entry.ports.items()}
        for pin in power.switch or ():
            found += _of_pin(pin, "powered-by, switch", sockets)
    return found


def _error(kind: str, name: str, where: str, known: Collection[str]) -> GearError:
    return GearError(
        f"no {kind} '{name}'",
        where=where,
        expected=f"one of {', '.join(sorted(known)) or 'none'}",
        remedy=did_you_mean(name, known) or "Mend the name.",
    )


def _of_pin(text: str, where: str, connectors: Mapping[str, str]) -> Iterator[GearError]:
    """A pin must be one of its connector, or a solder point inside."""
    place, pin = pin_place(text)
    if place == INSIDE:
        return
    if place not in connectors:
        yield _error("port", place, where, {*connectors, INSIDE})
        return
    pins = CONNECTORS[connectors[place]].pins
    if pin not in pins:
        yield _error("pin", text, where, [f"{place}.{each}" for each in pins])


@dataclass(frozen=True, slots=True)
class _Strip:
    """A strip (or the item itself) among the controls that it may name."""

    entry: TypeEntry
    block: BlockEntry
    where: str
    strips: Mapping[str, object] = field(default_factory=dict)

    def errors(self) -> Iterator[GearError]:
        for name, port in self.block.ports.items():
            place = f"{self.where}, port '{name}'"
            if port.joined is not None and port.joined not in self.block.ports:
                yield _error("port", port.joined, f"{place}, joined", self.block.ports)
            yield from self.of_when(port.when, place)
            yield from self._of_wiring(port.wiring, place)
        yield from self._of_parts()
        yield from self._of_contacts()
        yield from self._of_path()
        yield from self._of_options()
        for name in sorted(_stages(self.block) & self.block.ports.keys()):
            yield GearError(
                f"stage '{name}' has the name of a port",
                where=f"{self.where}, path",
                expected="a name of its own: levels are told by the name",
                remedy="Rename the stage.",
            )

    def controls(self) -> dict[str, ControlEntry]:
        """Controls by the names under which they stand: its own, and those of the item."""
        return {
            each: control
            for owner in (self.entry, self.block)
            for name, control in owner.controls.items()
            for each in control.names(name)
        }

    def of_when(self, when: Mapping[str, str] | None, where: str) -> Iterator[GearError]:
        """Switches and their positions that a condition names."""
        if when is None:
            return
        controls = self.controls()
        for control, option in when.items():
            if control == STRIP and self.strips and control not in controls:
                if option not in self.strips:
                    yield _error("strip", option, f"{where}, when", self.strips)
            elif control not in controls:
                yield _error("control", control, f"{where}, when", controls)
            elif option not in (controls[control].options or {}):
                yield _error("option", option, f"{where}, when", controls[control].options or {})

    def _of_wiring(self, wiring: str | None, where: str) -> Iterator[GearError]:
        """The switch that says how inserts are wired, with just those positions."""
        controls = self.controls()
        if wiring is not None and wiring not in controls:
            yield _error("control", wiring, f"{where}, wiring", controls)
        elif wiring is not None and set(controls[wiring].options or ()) != set(INSERT_WIRINGS):
            options = controls[wiring].options or {}
            odd = next(iter(options.keys() - set(INSERT_WIRINGS)), "")
            yield _error("wiring", odd, f"control '{wiring}'", INSERT_WIRINGS)

    def _of_contacts(self) -> Iterator[GearError]:
        connectors = {name: port.socket for name, port in self.block.ports.items()}
        for contact in self.block.contacts:
            place = f"{self.where}, contact"
            for pin in contact.joins:
                yield from _of_pin(pin, place, connectors)
            for name in contact.empty:
                if name not in connectors:
                    yield _error("port", name, f"{place}, empty", connectors)
            yield from self.of_when(contact.when, place)

    def _of_parts(self) -> Iterator[GearError]:
        ports = {**self.entry.ports, **self.block.ports}
        connectors = self.entry.connectors | {name: port.socket for name, port in ports.items()}
        for part in self.block.parts:
            for pin in part.drawn[1]:
                yield from _of_pin(pin, f"{self.where}, part", connectors)
            yield from self.of_when(part.when, f"{self.where}, part")

    def _of_path(self) -> Iterator[GearError]:
        path = self.block.path
        if path is None:
            return
        yield from self.of_when(path.when, f"{self.where}, path")
        ports = {**self.entry.ports, **self.block.ports}
        if path.mono is not None and path.mono.empty not in ports:
            yield _error("port", path.mono.empty, f"{self.where}, mono", ports)
        controls = self.controls()
        for origin in () if isinstance(path.from_, str) else path.from_:
            yield from self.of_when(origin.when, f"{self.where}, from")
        for stage in path.stages:
            place = f"{self.where}, stage '{stage.stage}'"
            for control in _controls_of(stage):
                if control not in controls and control not in self._repeated():
                    yield _error("control", control, place, controls)
            yield from self._of_insert(stage, place)
            for when in _whens_of(stage):
                yield from self.of_when(when, place)

    def _repeated(self) -> frozenset[str]:
        """Controls that are there more than once, under the name that they share."""
        return frozenset(repeated_controls(self.entry, self.block))

    def _of_insert(self, stage: StageEntry, where: str) -> Iterator[GearError]:
        """An insert is one socket with both ways in it, or one socket for each."""
        ports = {**self.entry.ports, **self.block.ports}
        inserts = [name for name, port in ports.items() if port.circuit == INSERT]
        if isinstance(stage.insert, str) and stage.insert not in inserts:
            yield _error("insert socket", stage.insert, where, inserts)
        elif isinstance(stage.insert, tuple):
            for name in stage.insert:
                if name not in ports:
                    yield _error("port", name, where, ports)

    def _of_options(self) -> Iterator[GearError]:
        """Figures that options set must be figures that are there."""
        options = [
            (name, address)
            for name, control in self.block.controls.items()
            for figures in (control.options or {}).values()
            for address in figures
        ]
        known = self._figures() if options else frozenset()
        for name, address in options:
            if address not in known:
                yield unknown_figure(address, known, f"{self.where}, control '{name}'")

    def _figures(self) -> frozenset[str]:
        """Figures that a switch here may set: those of the strip; the item's also of blocks."""
        if self.block is self.entry:
            return frozenset(figure_addresses(self.entry))
        return frozenset(strip_figures(self.block))


def _controls_of(stage: StageEntry) -> Iterator[str]:
    """Controls that a stage names, for its gain and for all else."""
    named = [stage.control, stage.delay_control]
    named += [name for each in stage.filters for name in (each.corner_control, each.gain_control)]
    named.append(None if stage.limiter is None else stage.limiter.threshold_control)
    yield from (name for name in named if name is not None)


def _whens_of(stage: StageEntry) -> Iterator[Mapping[str, str] | None]:
    """Conditions of a stage and of what it does."""
    yield stage.when
    yield from (each.when for each in stage.filters)
    if stage.limiter is not None:
        yield stage.limiter.when


def _of_map(entry: TypeEntry) -> Iterator[GearError]:
    """Pins that a cable joins."""
    for start, ends in (entry.map or {}).items():
        for pin in (start, *([ends] if isinstance(ends, str) else ends)):
            yield from _of_pin(pin, "map", entry.connectors)


def _stages(block: BlockEntry) -> set[str]:
    if block.path is None:
        return set()
    sides = ("", *(f"-{side}" for side in block.path.sides))
    return {f"{stage.stage}{side}" for stage in block.path.stages for side in sides}


def _of_mix(entry: TypeEntry) -> Iterator[GearError]:
    """Crossings: a stage of a block, a block that sums, a control that does what is asked of it."""
    blocks: dict[str, BlockEntry] = {"": entry, **entry.blocks}
    kinds = {name: name for name in blocks}
    for name, block in entry.blocks.items():
        blocks |= dict.fromkeys(instance_names(name, block), block)
        kinds |= dict.fromkeys(instance_names(name, block), name)
    for mix in entry.mix:
        start, stage = mix_start(mix)
        if start not in blocks:
            yield _error("block", start, "mix", blocks)
        elif stage not in _stages(blocks[start]):
            yield _no_stage(mix, blocks)
        else:
            strips = strip_options(kinds[start], blocks[start]) if start else {}
            yield from _of_crossing(entry, mix, _Strip(entry, blocks[start], "mix", strips))
        if mix.to not in blocks.keys() - {""}:
            yield _error("block", mix.to, "mix", blocks.keys() - {""})
        elif not _sums(blocks[mix.to], {*entry.ports, *blocks[mix.to].ports, AIR}):
            known = [name for name, block in blocks.items() if name and _sums(block)]
            yield _error("sum in block", mix.to, "mix", known)


def _no_stage(mix: MixEntry, blocks: Mapping[str, BlockEntry]) -> GearError:
    """A crossing that begins nowhere; the stages are named as they are written there."""
    start = mix.from_ if mix.from_ in blocks else mix_start(mix)[0]
    known = [f"{start}.{each}" if start else each for each in _stages(blocks[start])]
    if not known:
        known = [f"{name}.{each}" for name, block in blocks.items() for each in _stages(block)]
    return _error("stage", mix.from_, "mix", known)


def _sums(block: BlockEntry, others: Collection[str] = ()) -> bool:
    """Whether its path begins with a mix, at none of ``others``, and has a stage that takes it."""
    path = block.path
    if path is None or not path.stages:
        return False
    if isinstance(path.from_, str):  # a name that is none at all is told where it is planned
        return path.from_ == MIX or (bool(others) and path.from_ not in others)
    return any(each.mix for each in path.from_)


def _of_crossing(entry: TypeEntry, mix: MixEntry, strip: _Strip) -> Iterator[GearError]:
    """When it is there, and its control: one for all its sums, or one each (``send3``)."""
    yield from strip.of_when(mix.when, "mix")
    if mix.law not in (None, PAN):
        yield _error("law", str(mix.law), "mix", (PAN,))
        return
    known = strip.controls()
    if mix.control is None:
        if mix.law is not None:
            yield _error("control", "", "mix, law", _fitting(known, is_pan=True))
        return
    sums = entry.blocks.get(mix.to)
    count = 1 if sums is None else len(instance_names(mix.to, sums))
    own = [mix.control]
    if mix.control not in known:
        own = [f"{mix.control}{number}" for number in range(1, count + 1)]
    missing = next((each for each in own if each not in known), None)
    if missing is not None:
        yield _error("control", missing if own[0] in known else mix.control, "mix", known)
        return
    is_pan = known[own[0]].range == _PANNED
    if known[own[0]].options is not None or is_pan != (mix.law == PAN):
        kind = "pan" if mix.law == PAN else "knob or fader"
        yield _error(kind, mix.control, "mix", _fitting(known, is_pan=mix.law == PAN))


def _fitting(controls: Mapping[str, ControlEntry], *, is_pan: bool) -> list[str]:
    """Controls of a range that go from left to right, or do not."""
    dials = {name: control for name, control in controls.items() if control.options is None}
    return [name for name, control in dials.items() if (control.range == _PANNED) == is_pan]
