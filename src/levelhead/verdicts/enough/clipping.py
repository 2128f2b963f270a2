"""Clipping as everything stands: where peaks pass a ceiling first on the way of each signal."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from levelhead.chain.levels import PointLevels
from levelhead.chain.solution import Solution
from levelhead.chain.wired.lanes import Lane, lanes
from levelhead.gear.figures import Figure
from levelhead.quantity.formatting import format_level
from levelhead.quantity.peaks import SINE_CREST_DB
from levelhead.rig.model import Rig
from levelhead.verdicts.enough.switched import lower_gain
from levelhead.verdicts.read.doubts import doubts_of_level, strongest_way
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.read.transmitters import controls_set_by_ceiling
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import ROUNDING, Doubt, LimitState
from levelhead.verdicts.told.words import other_ends, place_words

__all__ = [
    "CODE",
    "SENTENCES",
    "SWITCH_TAKES",
    "check_clipping_as_set",
    "own_ceiling",
    "own_doubts",
    "room_down_db",
]

CODE: Final = "enough.clips-as-set"
SWITCH_TAKES: Final = "gain that a switch there takes off"
_NEAR: Final = 0.999  # of a ceiling: from there on levels are looked at one by one
_SILENT_DB: Final = -60.0  # nobody turns a control that goes to off further than this

SENTENCES: Final = {
    Severity.FAILS: "{stage} clips: peaks of {peak} pass its ceiling of {ceiling} by {over}, and "
    "nothing before it can be turned down that far.",
    Severity.CARE: "{stage} clips as it is set: peaks of {peak} pass its ceiling of {ceiling} by "
    "{over}. It holds once something before it is turned down.",
}


def check_clipping_as_set(reading: Reading) -> Iterator[Finding]:
    """Points whose peaks pass their ceiling as everything stands; the first of each way."""
    solution = reading.solution
    clipped = _clipped_points(solution)
    if clipped:
        clipped -= _unused_points(reading.rig)
        firsts = (next((each for each in way if each in clipped), None) for way in solution.paths)
        for address in dict.fromkeys(each for each in firsts if each is not None):
            yield from _clips(reading, solution.levels(address))


def _unused_points(rig: Rig) -> frozenset[str]:
    """Stages that lead to an output without a plug, where the item is heard in another way.

    An amplifier whose link output feeds the next one drives nothing itself; nobody hears the
    record output of a mixer that only plays to the hall, or what goes into a digital input.
    """
    playing = {
        port.item.id
        for address, port in rig.ports.items()
        if port.plan.drives and rig.plugged(address)
    }
    return frozenset(
        lane.point_of(stage)
        for lane in lanes(rig)
        if lane.path.to_port is not None and not _drives(rig, lane.port_of(lane.path.to_port))
        if lane.item.id in playing or _hands_on(rig, lane)
        for stage in lane.path.stages
    )


def _drives(rig: Rig, address: str) -> bool:
    """Whether something is plugged to an output, or to the box around one that stands inside."""
    port = rig.ports[address]
    beside = port.block.plan.ports.values() if port.plan.role == "inside" else ()
    around = any(rig.plugged(port.sibling(other.name)) for other in beside if other.role != "in")
    return (rig.plugged(address) and not _is_foreign(rig, address)) or around


def _is_foreign(rig: Rig, address: str) -> bool:
    """Whether something of another language is on the lead: how loud it is matters to nobody."""
    ends = (address, *other_ends(rig, address))
    return len({rig.ports[each].plan.carries for each in ends}) > 1


def _hands_on(rig: Rig, lane: Lane) -> bool:
    """Whether something is plugged to a through socket of what comes in."""
    return any(
        origin.port is not None and _is_handed_on(rig, lane.port_of(origin.port))
        for origin in lane.path.origins
    )


def _is_handed_on(rig: Rig, address: str) -> bool:
    port = rig.ports[address]
    return any(
        other.joined == port.plan.name and rig.plugged(port.sibling(other.name))
        for other in port.block.plan.ports.values()
    )


def _clipped_points(solution: Solution) -> set[str]:
    """Points whose peaks pass their ceiling.

    A port is named for a ceiling of its own only: what an output lacks is the stage's fault.
    """
    peak = solution.nominal * 10 ** ((solution.crest_db - SINE_CREST_DB) / 20)
    near = np.flatnonzero(peak > solution.ceiling * _NEAR).tolist()
    addresses = (solution.graph.wiring.addresses[number] for number in near)
    return {each for each in addresses if _is_clipped(solution, each)}


def _is_clipped(solution: Solution, address: str) -> bool:
    headroom = solution.levels(address).headroom
    is_own = own_ceiling(solution, address) or not _is_socket(solution, address)
    return headroom is not None and headroom < -ROUNDING and bool(is_own)


def own_ceiling(solution: Solution, address: str) -> Figure | None:
    """Figure that sets the ceiling of a point itself: of its core, of its stage or input."""
    core = solution.core_at(address)
    return solution.point(address).ceiling_figure if core is None else core.figure


def _is_socket(solution: Solution, address: str) -> bool:
    """Whether a point is a port, or one signal of a stereo one."""
    ports = solution.rig.ports
    return address in ports or address.rpartition(".")[0] in ports


def _clips(reading: Reading, levels: PointLevels) -> Iterator[Finding]:
    solution = reading.solution
    if levels.headroom is None or levels.peak is None or levels.ceiling is None:
        return
    row = solution.number(levels.at)
    can_hold = room_down_db(solution, row) >= -levels.headroom
    severity = Severity.CARE if can_hold else Severity.FAILS
    words = {
        "stage": solution.graph.points[row].label,
        "peak": format_level(levels.peak, levels.unit),
        "ceiling": format_level(levels.ceiling, levels.unit),
        "over": format_level(-levels.headroom, "dB"),
    }
    switch = lower_gain(reading, levels.at, -levels.headroom)
    told = "" if switch is None else switch.told(reading.rig)
    peaks = Compared("peaks", levels.peak, levels.ceiling, levels.unit)
    takes = () if switch is None else (Compared(SWITCH_TAKES, switch.less_db, None, "dB"),)
    yield Finding(
        code=CODE,
        severity=severity,
        where=levels.at,
        what=SENTENCES[severity].format(**words) + told,
        why=(peaks, *takes),
        state=LimitState(
            levels.headroom,
            "dB",
            lambda: own_doubts(solution, levels.at),
            reading.moves(row, slope=-1.0, peak=True),
            reading.is_open(row),
        ),
        source="peaks at the stage, against its ceiling, as set",
        basis="common practice",
        ports=(levels.at,) if levels.at in solution.rig.ports else (),
    )


def own_doubts(solution: Solution, address: str) -> Iterator[Doubt]:
    """Doubts of the headroom at a stage: its peaks, and its own ceiling."""
    row = solution.number(address)
    yield from doubts_of_level(solution, row, slope=-1.0, peak=True)
    point = solution.graph.points[row]
    figure = own_ceiling(solution, point.address)
    if figure is not None:
        words = f"ceiling of {place_words(point.label)}"
        yield Doubt(words, "fact", figure, +1.0, is_level=True)


def room_down_db(solution: Solution, point: int) -> float:
    """How far the free controls before a point, on its strongest way, can still be turned down.

    A transmitter is set by its own ceiling; for what lies behind it, it does not count.
    """
    rig = solution.rig
    room = 0.0
    here = solution.graph.points[point].address
    held = {each.control for each in controls_set_by_ceiling(rig) if each.point != here}
    for control in strongest_way(solution, point).controls:
        plan = rig.controls[control]
        if plan.kind == "range" and control not in rig.show.locks | held:
            room += rig.setting_db(control) - max(plan.low, _SILENT_DB)
    return room
