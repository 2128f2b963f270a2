"""Names inside an entry that lead nowhere: ports, pins, controls, stages, blocks, figures."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field

from levelhead.errors import GearError
from levelhead.gear.circuits import INSERT
from levelhead.gear.compile.addresses import figure_addresses, strip_figures, unknown_figure
from levelhead.gear.compile.controls import instance_names, repeated_controls
from levelhead.gear.compile.mixes import mix_start
from levelhead.gear.compile.parts import pin_place
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


def dangling(entry: TypeEntry) -> list[GearError]:
    """One error for each name that leads nowhere."""
    found = list(_Strip(entry, entry, "the item").errors())
    for name, block in entry.blocks.items():
        strips = strip_options(name, block)
        found += _Strip(entry, block, f"block '{name}'", strips).errors()
    found += _of_map(entry)
    found += _of_mix(entry)
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
            yield from self._of_when(port.when, place)
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

    def _controls(self) -> dict[str, ControlEntry]:
        return {
            each: control
            for owner in (self.entry, self.block)
            for name, control in owner.controls.items()
            for each in control.names(name)
        }

    def _of_when(self, when: Mapping[str, str] | None, where: str) -> Iterator[GearError]:
        if when is None:
            return
        controls = self._controls()
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
        controls = self._controls()
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
            yield from self._of_when(contact.when, place)

    def _of_parts(self) -> Iterator[GearError]:
        ports = {**self.entry.ports, **self.block.ports}
        connectors = self.entry.connectors | {name: port.socket for name, port in ports.items()}
        for part in self.block.parts:
            for pin in part.drawn[1]:
                yield from _of_pin(pin, f"{self.where}, part", connectors)
            yield from self._of_when(part.when, f"{self.where}, part")

    def _of_path(self) -> Iterator[GearError]:
        path = self.block.path
        if path is None:
            return
        yield from self._of_when(path.when, f"{self.where}, path")
        ports = {**self.entry.ports, **self.block.ports}
        if path.mono is not None and path.mono.empty not in ports:
            yield _error("port", path.mono.empty, f"{self.where}, mono", ports)
        controls = self._controls()
        for origin in () if isinstance(path.from_, str) else path.from_:
            yield from self._of_when(origin.when, f"{self.where}, from")
        for stage in path.stages:
            place = f"{self.where}, stage '{stage.stage}'"
            for control in _controls_of(stage):
                if control not in controls and control not in self._repeated():
                    yield _error("control", control, place, controls)
            yield from self._of_insert(stage, place)
            for when in _whens_of(stage):
                yield from self._of_when(when, place)

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
    blocks: dict[str, BlockEntry] = {"": entry, **entry.blocks}
    for name, block in entry.blocks.items():
        blocks |= dict.fromkeys(instance_names(name, block), block)
    for mix in entry.mix:
        start, stage = mix_start(mix)
        if start not in blocks:
            yield _error("block", start, "mix", blocks)
        elif stage not in _stages(blocks[start]):
            yield _error("stage", mix.from_, "mix", _stages(blocks[start]))
        else:
            yield from _of_crossing(entry, blocks[start], mix)
        if mix.to not in blocks.keys() - {""}:
            yield _error("block", mix.to, "mix", blocks.keys() - {""})


def _of_crossing(entry: TypeEntry, start: BlockEntry, mix: MixEntry) -> Iterator[GearError]:
    """The control of a crossing: one for all its sums, or one each (``send3``)."""
    known = {
        each
        for owner in (entry, start)
        for name, control in owner.controls.items()
        for each in control.names(name)
    }
    if mix.control is None or mix.control in known:
        return
    sums = entry.blocks.get(mix.to)
    count = 1 if sums is None else len(instance_names(mix.to, sums))
    own = [f"{mix.control}{number}" for number in range(1, count + 1)]
    missing = next((each for each in own if each not in known), None)
    if missing is not None:
        yield _error("control", missing if own[0] in known else mix.control, "mix", known)
