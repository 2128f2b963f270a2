"""Pads and level switches: what every other position of them would do to gains, ceilings and noise.

A switch is one of these if the rig stays laid out as it is when it is moved, and a gain in it
changes. That is tried, all switches of a kind at once; nothing is concluded from a name.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.noise.arising import a_weights, audio_width_hz, stage_noise_parts
from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.errors import LevelheadError
from levelhead.gear.book import GearBook
from levelhead.gear.model import BlockEntry
from levelhead.planning.gains.read.measured import own_ceilings
from levelhead.rig.build import build_rig
from levelhead.rig.model import Rig, RigItem
from levelhead.show.addresses import strip_of
from levelhead.show.edits import Set, apply

__all__ = ["Option", "OwnNoise", "Switched", "switched_gains"]

_CHANGED_DB: Final = 0.01
_SILENCES_DB: Final = -80.0  # such a change is a mute or another input, no pad


@dataclass(frozen=True, slots=True)
class Option:
    """Another position of a switch: what changes against the one that it is in. [dB]

    Attributes
    ----------
    edges
        Gain, by the number of the edge.
    ceilings
        Ceiling, by the number of the point.
    passing, behind
        Own noise of points, in the part that passes the stage's gain and in the other.
    """

    name: str
    edges: Mapping[int, float]
    ceilings: Mapping[int, float]
    passing: Mapping[int, float]
    behind: Mapping[int, float]


@dataclass(frozen=True, slots=True)
class Switched:
    """A switch that changes gains, as it stands, and its other positions."""

    control: str
    now: str
    others: tuple[Option, ...]


@dataclass(frozen=True, eq=False)
class OwnNoise:
    """A-weighted mean square that arises at each point, in two parts; each (points,)."""

    passing: NDArray[np.float64]
    behind: NDArray[np.float64]

    @classmethod
    def of(cls, solution: Solution) -> OwnNoise:
        """Of a rig as it stands; thermal noise of circuits passes no stage of its point."""
        passing, behind = stage_noise_parts(solution.graph)
        thermal = solution.copper.thermal_v2_per_hz
        behind = behind.copy()
        behind[: len(thermal)] += (thermal * audio_width_hz() * a_weights()).sum(axis=1)
        return cls(passing, behind)


def switched_gains(rig: Rig, book: GearBook, solution: Solution) -> tuple[Switched, ...]:
    """Every free switch that changes gains of what plays, with its other positions."""
    found: dict[str, list[Option]] = {}
    for moved in _together(_moves(rig)):
        parts = [moved] if (after := _tried(rig, book, solution, moved)) is not None else []
        for part in parts or _apart(moved):
            after = after if parts else _tried(rig, book, solution, part)
            if after is not None:
                for switch, other in _shared_out(solution, after, part):
                    found.setdefault(switch, []).append(other)
    return tuple(
        Switched(control, str(rig.setting(control)), tuple(others))
        for control, others in found.items()
    )


Moved = dict[str, str]  # switches with the position that each is moved to


def _moves(rig: Rig) -> Iterator[Moved]:
    """All switches of a kind moved to one other position."""
    for switches in _candidates(rig):
        for option in rig.controls[switches[0]].options:
            moved = {each: option for each in switches if rig.setting(each) != option}
            if moved and not _feeds(rig, switches[0], option):
                yield moved


def _together(moves: Iterable[Moved]) -> list[Moved]:
    """Moves that touch different strips made at once: a rig is solved less often."""
    found: list[Moved] = []
    for moved in moves:
        for others in found:
            if not {strip_of(each) for each in moved} & {strip_of(each) for each in others}:
                others.update(moved)
                break
        else:
            found.append(dict(moved))
    return found


def _apart(moved: Moved) -> list[Moved]:
    """The same by item types' positions, where together they make another rig."""
    options: dict[tuple[str, str], Moved] = {}
    for switch, option in moved.items():
        options.setdefault((switch.rpartition(".")[2], option), {})[switch] = option
    return list(options.values())


def _candidates(rig: Rig) -> list[list[str]]:
    """Free switches whose options set a gain, or choose a part: those of one kind together."""
    kinds: dict[tuple[str, str, str], list[str]] = {}
    for item in rig.items.values():
        for address, kind in _of_item(rig, item):
            plan = rig.controls.get(address)
            is_fixed = address in rig.show.locks or address in rig.facts
            if plan is not None and plan.kind == "switch" and not plan.silences and not is_fixed:
                kinds.setdefault(kind, []).append(address)
    return list(kinds.values())


def _of_item(rig: Rig, item: RigItem) -> Iterator[tuple[str, tuple[str, str, str]]]:
    entry = rig.book.entry(item.plan.type_id)
    for instance in item.plan.blocks:
        block: BlockEntry | None = entry.blocks.get(instance.block) if instance.name else entry
        for name in () if block is None else _switching(block):
            for each in block.controls[name].names(name) if block is not None else ():
                address = f"{item.id}.{instance.address(each)}"
                yield address, (item.plan.type_id, instance.block, name)


def _switching(block: BlockEntry) -> Iterator[str]:
    """Names of switches that set a gain of a stage, or of which a part depends."""
    for name, control in block.controls.items():
        options = (control.options or {}).values()
        sets_gain = any(
            figure.endswith((".gain", ".full-scale")) for each in options for figure in each
        )
        chooses = any(part.when is not None and name in part.when for part in block.parts)
        if sets_gain or chooses:
            yield name


def _feeds(rig: Rig, switch: str, option: str) -> bool:
    """Whether a position of a switch also puts volts on an input: that is no matter of gain."""
    item_id, _, local = switch.partition(".")
    plan = rig.items[item_id].plan
    instance = next(each for each in plan.blocks if each.name == local.rpartition(".")[0])
    entry = rig.book.entry(plan.type_id)
    block: BlockEntry = entry.blocks[instance.block] if instance.name else entry
    return any(
        figure.endswith((".phantom", ".bias"))
        for name, control in block.controls.items()
        if local.rpartition(".")[2] in control.names(name)
        for figure in (control.options or {}).get(option, {})
    )


def _tried(rig: Rig, book: GearBook, solution: Solution, moved: Moved) -> Solution | None:
    """The rig with some switches moved, if it is laid out as before."""
    try:
        show, _ = apply(rig.show, [Set(each, option) for each, option in moved.items()])
        after = solve(build_rig(show, book, previous=rig), solution)
    except LevelheadError:
        return None
    wirings = after.graph.wiring, solution.graph.wiring
    is_laid_alike = wirings[0].is_named_like(wirings[1]) and after.graph.columns.is_laid_like(
        solution.graph.columns
    )
    return after if is_laid_alike and after.dead == solution.dead else None


def _shared_out(before: Solution, after: Solution, moved: Moved) -> Iterator[tuple[str, Option]]:
    """What each of the switches did: what changed in its own strip, or at its own item."""
    strips: dict[str, str] = {strip_of(each): each for each in moved}
    edges = _edges_db(before, after)
    if not edges:
        return
    owner = {edge: _owner(before, edge, strips) for edge in edges}
    ceilings = _moved_db(own_ceilings(before), own_ceilings(after))
    noise, new = OwnNoise.of(before), OwnNoise.of(after)
    passing, behind = (
        {place: each / 2 for place, each in _moved_db(one, other).items()}
        for one, other in ((noise.passing, new.passing), (noise.behind, new.behind))
    )
    addresses = before.graph.wiring.addresses
    for strip, switch in strips.items():
        mine = {edge: by_db for edge, by_db in edges.items() if owner[edge] == strip}
        if not mine or min(mine.values()) < _SILENCES_DB:
            continue
        ends = before.graph.columns.source, before.graph.columns.target
        fed = {int(column[edge]) for edge in mine for column in ends}
        parts = [
            {
                point: by_db
                for point, by_db in each.items()
                if point in fed or _is_in(addresses[point], strip)
            }
            for each in (ceilings, passing, behind)
        ]
        yield switch, Option(moved[switch], mine, *parts)


def _owner(solution: Solution, edge: int, strips: Mapping[str, str]) -> str | None:
    """The strip, or the item, to which an edge belongs; through copper, any that it touches."""
    found = solution.graph.edges[edge]
    names = [solution.graph.wiring.addresses[found.target]]
    if found.through is not None:
        names += solution.islands[found.through.island].pins
    return next((strip for strip in strips if any(_is_in(each, strip) for each in names)), None)


def _is_in(address: str, strip: str) -> bool:
    return address.startswith(f"{strip}.")


def _edges_db(before: Solution, after: Solution) -> dict[int, float]:
    """Change of each edge's gain, weighted with what it carries; only of those that changed."""
    graph = before.graph
    old, new = graph.columns.gain, after.graph.columns.gain
    changed = np.flatnonzero((np.abs(old) != np.abs(new)).any(axis=1))
    power = before.carried.signal_power()[graph.columns.source[changed]]
    was = (power * np.abs(old[changed]) ** 2).sum(axis=1)
    then = (power * np.abs(new[changed]) ** 2).sum(axis=1)
    with np.errstate(divide="ignore", invalid="ignore"):
        by_db = 10 * np.log10(then / was)
    is_real = np.isfinite(by_db) & (np.abs(by_db) > _CHANGED_DB)
    return dict(zip(changed[is_real].tolist(), by_db[is_real].tolist(), strict=True))


def _moved_db(old: NDArray[np.float64], new: NDArray[np.float64]) -> dict[int, float]:
    """Change of rms numbers (of powers: twice that), of those that changed."""
    differ: Iterable[int] = np.flatnonzero((old != new) & (old > 0) & (new > 0)).tolist()
    found = {}
    for place in differ:
        if math.isfinite(old[place]) and math.isfinite(new[place]):
            found[place] = 20 * math.log10(new[place] / old[place])
    return found
