"""Ways through a gear type, as its plan has them: what leads to a socket, and what follows it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from levelhead.errors import AskError
from levelhead.gear.plan import BlockInstance, GeneratorPlan, ItemPlan, PathPlan, PortPlan

__all__ = [
    "block_of",
    "control_before",
    "control_behind",
    "generators",
    "hears",
    "leaving_port",
    "own_or_root",
    "paths_to",
    "upstream_port",
]

_LINE_OHM: Final = 8e3  # microphone inputs have 1 to 6 kohm, line inputs 10 and up: common practice


def block_of(plan: ItemPlan, port: str) -> tuple[BlockInstance, PortPlan]:
    """The strip of a port, and the port; ``AskError`` where there is none."""
    for block in plan.blocks:
        for name, port_plan in block.plan.ports.items():
            if block.address(name) == port:
                return block, port_plan
    raise AskError(
        f"no port '{port}'",
        where=plan.type_id,
        expected="a port of this type",
        remedy=f"List them with: levelhead gear {plan.type_id}",
    )


def upstream_port(plan: ItemPlan, port: str) -> str | None:
    """The input whose signal leaves by this port: the one it is joined to, or its path's origin."""
    block, port_plan = block_of(plan, port)
    if port_plan.joined is not None:
        return block.address(port_plan.joined)
    if port_plan.role == "insert":
        return _input_before(plan, block)
    if block.plan.parts:
        return _input_of_parts(block, port_plan)
    for other, path in (*paths_to(plan, port), *_paths_sent_by(plan, port)):
        for origin in path.origins:
            if origin.port is not None:
                return own_or_root(other, origin.port.port)
            if origin.kind == "mix":
                return _line_input(plan, other)
    return None


def _input_before(plan: ItemPlan, block: BlockInstance) -> str | None:
    """The input of a strip with an insert: its line input, else its last; of a sum, any."""
    inputs = [port for port in block.plan.ports.values() if port.role == "in"]
    inputs.sort(key=lambda port: not _takes_line(port))
    return block.address(inputs[0].name) if inputs else _line_input(plan, block)


def _takes_line(port: PortPlan) -> bool:
    """Whether it is made for line outputs: its impedance says so, not its connector."""
    return (port.figure("impedance") or 0.0) >= _LINE_OHM


def _paths_sent_by(plan: ItemPlan, port: str) -> Iterator[tuple[BlockInstance, PathPlan]]:
    """Paths with an insert of two sockets that goes out by a port."""
    for block in plan.blocks:
        for path in block.plan.paths:
            sends = [each.insert.send.port for each in path.stages if each.insert is not None]
            if port in (own_or_root(block, send) for send in sends):
                yield block, path


def paths_to(plan: ItemPlan, port: str) -> Iterator[tuple[BlockInstance, PathPlan]]:
    """Paths that leave by a port, each with its block: a block may lead to a socket of the item."""
    for block in plan.blocks:
        for path in block.plan.paths:
            if path.to_port is not None and own_or_root(block, path.to_port.port) == port:
                yield block, path


def own_or_root(block: BlockInstance, port: str) -> str:
    """Name in the item of a port that a path of a block speaks of."""
    return block.address(port) if port in block.plan.ports else port


def _input_of_parts(block: BlockInstance, output: PortPlan) -> str | None:
    """The input behind whose parts an output hangs: the stereo one, that of its side, the first."""
    inputs = [port for port in block.plan.ports.values() if port.role == "in"]
    side = output.name.rpartition("-")[2]
    inputs.sort(key=lambda port: (not port.signals, not port.name.endswith(f"-{side}")))
    return block.address(inputs[0].name) if inputs else None


def _line_input(plan: ItemPlan, total: BlockInstance) -> str | None:
    """An input for line level whose signal goes into a sum; else one that is heard at all.

    That of a strip comes before one of the item itself, such as a tape input; numbers are no level.
    """
    inputs = [
        (block, port)
        for block in plan.blocks
        for port in block.plan.ports.values()
        if port.role == "in" and not port.is_digital
    ]

    def rank(each: tuple[BlockInstance, PortPlan]) -> tuple[bool, ...]:
        block, port = each
        stages = {stage.name for path in _paths_from(block, port) for stage in path.stages}
        is_mixed = any(
            mix.from_stage in stages and mix.to_block in (total.block, total.name)
            for mix in block.mixes
        )
        return not stages, not _takes_line(port), not is_mixed, not block.name

    inputs.sort(key=rank)
    return next((block.address(port.name) for block, port in inputs), None)


def _paths_from(block: BlockInstance, port: PortPlan) -> Iterator[PathPlan]:
    """Paths that begin at a port of a strip, as the switches stand."""
    for path in block.plan.paths:
        if any(each.port is not None and each.port.port == port.name for each in path.origins):
            yield path


def hears(plan: ItemPlan) -> bool:
    """Whether it takes up sound from the air."""
    paths = (path for block in plan.blocks for path in block.plan.paths)
    return any(origin.kind == "air" for path in paths for origin in path.origins)


def generators(plan: ItemPlan) -> Iterator[GeneratorPlan]:
    """Signals born in it."""
    for block in plan.blocks:
        for path in block.plan.paths:
            yield from (each.generator for each in path.origins if each.generator is not None)


def control_before(plan: ItemPlan, port: str) -> str | None:
    """The last knob or fader on the way to an output: its volume."""
    ways = [(block, path) for block, path in paths_to(plan, port)]
    found = (_control(plan, block, path, last=True) for block, path in ways)
    return next((each for each in found if each is not None), None)


def control_behind(plan: ItemPlan, port: str) -> str | None:
    """The first knob or fader on the way from an input: its gain."""
    block, port_plan = block_of(plan, port)
    for path in block.plan.paths:
        starts = {each.port.port for each in path.origins if each.port is not None}
        if port_plan.name in starts:
            return _control(plan, block, path, last=False)
    return None


def _control(plan: ItemPlan, block: BlockInstance, path: PathPlan, *, last: bool) -> str | None:
    """A control of a range that moves a stage of a path, of its block or of the item."""
    root = {each.name: each for each in plan.blocks}.get("")
    for stage in reversed(path.stages) if last else path.stages:
        for owner in (block, root):
            known = None if owner is None or stage.control is None else owner.plan.controls
            if owner is None or stage.control is None or not known:
                continue
            if stage.control in known and known[stage.control].kind == "range":
                return owner.address(stage.control)
    return None


def leaving_port(plan: ItemPlan, port: str) -> str | None:
    """Where what goes into a box comes out: an output of the same strip, else a through socket."""
    block, _ = block_of(plan, port)
    side = port.rpartition("-")[2]
    for role in ("out", "through"):
        names = [each.name for each in block.plan.ports.values() if each.role == role]
        names.sort(key=lambda name: not name.endswith(f"-{side}"))
        if names:
            return block.address(names[0])
    return None
