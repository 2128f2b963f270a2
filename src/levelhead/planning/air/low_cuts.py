"""Low cuts of the strips that microphones come into: bass that no voice needs rings no more."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from levelhead.acoustics.placed.ears import Ear
from levelhead.acoustics.placed.played import speaking
from levelhead.chain.solution import Solution
from levelhead.gear.plan import BlockInstance
from levelhead.planning.desks import Desk
from levelhead.rig.model import RigItem
from levelhead.rig.settings import setting_text
from levelhead.show.edits import Set

__all__ = ["SPOKEN_HZ", "SUNG_HZ", "low_cut_edits", "strips_of", "voice_cut_edits"]

SPOKEN_HZ: Final = 150.0  # speech needs nothing below 100 to 160 Hz: common practice
SUNG_HZ: Final = 120.0  # and singers none below 80 to 120 Hz: common practice


def low_cut_edits(solution: Solution, ears: Sequence[Ear]) -> tuple[Set, ...]:
    """Every low cut that some microphones pass and that is out, switched in; none where locked."""
    rig = solution.rig
    found = dict[str, str]()
    for ear in ears:
        for item, strip in strips_of(solution, ear):
            for control, option in Desk(rig, item).low_cuts(strip):
                if control not in rig.show.locks and control not in rig.facts:
                    found[control] = option
    return tuple(Set(control, option) for control, option in found.items())


def voice_cut_edits(solution: Solution, ears: Sequence[Ear]) -> tuple[Set, ...]:
    """Low cuts of voices, in and as high as their voice lets them be; none that are already.

    Of those filters whose frequency can be set; a strip of something else than a voice is left.
    """
    rig, lowest_hz = solution.rig, _lowest_of_voices_hz(solution)
    found = dict[str, str]()
    for ear in ears:
        if ear.item.id not in lowest_hz:
            continue
        for item, strip in strips_of(solution, ear):
            for dial, switch in Desk(rig, item).low_cut_dials(strip).items():
                wanted_hz = min(lowest_hz[ear.item.id], rig.controls[dial].high)
                touched = {dial} if switch is None else {dial, switch[0]}
                is_free = not any(each in rig.show.locks or each in rig.facts for each in touched)
                if is_free and rig.setting_db(dial) < wanted_hz:
                    found |= {} if switch is None else {switch[0]: switch[1]}
                    found[dial] = setting_text(wanted_hz, rig.controls[dial])
    return tuple(Set(control, value) for control, value in found.items())


def _lowest_of_voices_hz(solution: Solution) -> Mapping[str, float]:
    """Below which nothing of a voice is lost, by the microphones that hear voices alone. [Hz]"""
    voices, spoken = speaking(solution), speaking(solution, spoken=True)
    found: dict[str, float] = {}
    for each in solution.rig.sources:
        own_hz = 0.0 if each.id not in voices else SPOKEN_HZ if each.id in spoken else SUNG_HZ
        found[each.at] = min(found.get(each.at, SPOKEN_HZ), own_hz)
    return {item: hertz for item, hertz in found.items() if hertz > 0}


def strips_of(solution: Solution, ear: Ear) -> Iterator[tuple[RigItem, BlockInstance]]:
    """Strips that a microphone comes into, on their way to a mix; each once."""
    rig, addresses = solution.rig, solution.graph.wiring.addresses
    told = set[tuple[str, str]]()
    for point in _reached(solution, ear.number):
        item_id, _, local = addresses[point].partition(".")
        item = rig.items.get(item_id)
        for block in () if item is None else item.plan.blocks:
            is_here = bool(block.name) and local.startswith(f"{block.name}.")
            if item is None or not is_here or (item_id, block.name) in told:
                continue
            if block.mixes and _is_plugged_into(block):
                told.add((item_id, block.name))
                yield item, block


def _is_plugged_into(block: BlockInstance) -> bool:
    """Whether a block begins at a socket: it is a strip and no sum."""
    return any(origin.port for path in block.plan.paths for origin in path.origins)


def _reached(solution: Solution, start: int) -> list[int]:
    """Points behind a point, nearest first."""
    columns = solution.graph.columns
    onward: dict[int, list[int]] = {}
    for source, target in zip(columns.source.tolist(), columns.target.tolist(), strict=True):
        onward.setdefault(source, []).append(target)
    found = {start: None}
    for point in (waiting := [start]):
        for target in onward.get(point, []):
            if target not in found:
                found[target] = None
                waiting.append(target)
    return list(found)
