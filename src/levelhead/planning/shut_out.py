"""Signals that a remedy would keep out of a mix: gone from where they were told, and no better."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from levelhead.planning.trial import Trial
from levelhead.show.edits import Edit, Set
from levelhead.verdicts.read.reach import speaks
from levelhead.verdicts.routing.shut import shut_crossings
from levelhead.verdicts.told.finding import Finding

__all__ = ["shuts_out"]

_MENDED_SO: Final = frozenset({"routing", "air", "people", "harm", "hum"})  # families


def shuts_out(before: Trial, after: Trial, finding: Finding, edits: Iterable[Edit]) -> bool:
    """Whether a switch is moved so that something with a signal no longer gets into a sum.

    A loop, a ring or harm is mended so; a plug, a lead or a level is not. A sum that comes out
    nowhere is no loss to what still comes out elsewhere.
    """
    controls = before.solution.rig.controls
    moved = {
        each.address
        for each in edits
        if isinstance(each, Set) and each.address in controls
        if controls[each.address].kind != "range"
    }
    if finding.family in _MENDED_SO or not moved:
        return False
    solution = after.solution
    return any(
        solution.nominal[each.source] > 0
        and not moved.isdisjoint(each.opened_by)
        and (_leads_anywhere(after, each.target) or not _leads_anywhere(after, each.source))
        for each in shut_crossings(solution)
    )


def _leads_anywhere(trial: Trial, start: int) -> bool:
    """Whether what is at a point comes out where a plug is, or in the air."""
    rig, points = trial.solution.rig, trial.solution.graph.points
    for number in trial.reading.reach.onward([start]):
        address = points[number].address
        port = rig.ports.get(address) or rig.ports.get(address.rpartition(".")[0])
        if speaks(points[number]) or (port is not None and rig.plugged(port.address)):
            return True
    return False
