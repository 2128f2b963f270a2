"""Names inside an entry that lead nowhere: ports, controls, stages, blocks that are not there."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from levelhead.errors import GearError
from levelhead.gear.model import BlockEntry, TypeEntry
from levelhead.gear.names import did_you_mean

__all__ = ["dangling"]

_PLACES = frozenset(
    {"generator", "air", "origin", "mix", "powered-by"}
)  # hold figures, are no names


def dangling(entry: TypeEntry) -> list[GearError]:
    """One error for each name that leads nowhere."""
    found = list(_of_block(entry, entry, ""))
    for name, block in entry.blocks.items():
        found += _of_block(entry, block, name)
    found += _of_mix(entry)
    ports = {*entry.ports}
    for power in entry.powered_by:
        if power.phantom is not None and power.phantom not in ports:
            found.append(_error("port", power.phantom, "powered-by", ports))
    return found


def _error(kind: str, name: str, where: str, known: Collection[str]) -> GearError:
    return GearError(
        f"no {kind} '{name}'",
        where=where,
        expected=f"one of {', '.join(sorted(known)) or 'none'}",
        remedy=did_you_mean(name, known) or "Mend the name.",
    )


def _names(block: BlockEntry) -> set[str]:
    return {each for name, control in block.controls.items() for each in control.names(name)}


def _of_block(entry: TypeEntry, block: BlockEntry, name: str) -> Iterator[GearError]:
    ports = {*entry.ports, *block.ports}
    controls = _names(entry) | _names(block)
    where = f"block '{name}'" if name else "the item"
    for port_name, port in block.ports.items():
        if port.joined is not None and port.joined not in block.ports:
            yield _error("port", port.joined, f"{where}, port '{port_name}', joined", block.ports)
        yield from _of_when(port.when, f"{where}, port '{port_name}'", controls)
    for part in block.parts:
        for pin in part.drawn[1]:
            if pin.rpartition(".")[0] not in ports:
                yield _error("port", pin.rpartition(".")[0], f"{where}, part", ports)
        yield from _of_when(part.when, f"{where}, part", controls)
    yield from _of_path(block, where, controls)
    yield from _of_options(entry, block, where)


def _of_when(
    when: Mapping[str, str] | None, where: str, controls: Collection[str]
) -> Iterator[GearError]:
    for control in when or {}:
        if control not in controls:
            yield _error("control", control, f"{where}, when", controls)


def _of_path(block: BlockEntry, where: str, controls: Collection[str]) -> Iterator[GearError]:
    path = block.path
    if path is None:
        return
    yield from _of_when(path.when, f"{where}, path", controls)
    for stage in path.stages:
        place = f"{where}, stage '{stage.stage}'"
        if stage.control is not None and stage.control not in controls:
            yield _error("control", stage.control, place, controls)
        yield from _of_when(stage.when, place, controls)


def _stages(block: BlockEntry) -> set[str]:
    if block.path is None:
        return set()
    sides = block.path.sides or ("",)
    plain = {stage.stage for stage in block.path.stages}
    return plain | {f"{stage}-{side}" for stage in plain for side in sides if side}


def _of_options(entry: TypeEntry, block: BlockEntry, where: str) -> Iterator[GearError]:
    """Figures that options set must stand at a port, a stage or a part that is there."""
    known = {*block.ports, *_stages(block), *(part.called for part in block.parts), *_PLACES}
    if block is entry:
        known |= {*entry.blocks}
    for name, control in block.controls.items():
        for figures in (control.options or {}).values():
            for address in figures:
                if address.partition(".")[0] not in known:
                    yield _error("place", address, f"{where}, control '{name}'", known)


def _of_mix(entry: TypeEntry) -> Iterator[GearError]:
    blocks = {"": entry, **entry.blocks}
    sums = {*entry.blocks}
    for name, block in entry.blocks.items():
        if isinstance(block.repeat, tuple):
            sums |= {f"{name}-{side}" for side in block.repeat}
        elif block.repeat is not None:
            sums |= {f"{name}{number}" for number in range(1, block.repeat + 1)}
    for mix in entry.mix:
        start, _, stage = mix.from_.rpartition(".")
        if start not in blocks:
            yield _error("block", start, "mix", blocks)
        elif stage not in _stages(blocks[start]):
            yield _error("stage", mix.from_, "mix", _stages(blocks[start]))
        if mix.to not in sums:
            yield _error("block", mix.to, "mix", sums)
