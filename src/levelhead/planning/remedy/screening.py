"""Moves that change nothing at the place in question are left out before the whole show is tried.

What a finding hangs on is often a strip and the lead into it. Whether it is there still after some
edits is then told by that part of the rig alone, solved by itself: the same circuits, the same
figures, the same rule. Only what mends it there is tried on the whole show.
"""

from __future__ import annotations

from collections.abc import Sequence

from levelhead.chain.solve import solve
from levelhead.chain.upstream import part_leading_to
from levelhead.errors import LevelheadError
from levelhead.planning.trial import Trial
from levelhead.show.edits import Edit, Set
from levelhead.verdicts.enough.gain import TOO_LOW
from levelhead.verdicts.read.places import ByPlace
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Finding
from levelhead.verdicts.told.severity import Severity
from levelhead.verdicts.wiring.fit import check_plugs_fit

__all__ = ["surely_stays"]


def surely_stays(
    trial: Trial,
    edits: Sequence[Edit],
    finding: Finding,
    at_least: Severity = Severity.CARE,
) -> bool:
    """Whether a finding is there still after edits, as far as the part that leads to it tells.

    False where it is gone or less than ``at_least``, or where only the whole show can tell.
    """
    if finding.code == TOO_LOW and at_least is not Severity.CARE:
        return False  # masters, which are no part of it, may make up for what is missing
    rule = trial.judgement.rules.get(finding.code)
    if rule is check_plugs_fit:  # connectors tell, and nothing has to be solved
        edited = trial.edited(edits)
        return edited is not None and finding.where in {each.at for each in edited[1].misfits}
    if not isinstance(rule, ByPlace) or not rule.is_local or _is_own_turn(edits, finding):
        return False
    edited = trial.edited(edits)
    if edited is None:
        return False
    _, rig = edited
    ports = [each for each in dict.fromkeys((finding.where, *finding.ports)) if each in rig.ports]
    part = part_leading_to(rig, ports) if ports else None
    if part is None:
        return False
    try:
        solution = solve(part, trial.solution)
    except LevelheadError:  # the whole show says what is wrong
        return False
    found = rule.found_at(Reading.of(solution, islands=trial.islands), finding.where)
    return any(each.key == finding.key and each.severity.rank >= at_least.rank for each in found)


def _is_own_turn(edits: Sequence[Edit], finding: Finding) -> bool:
    """Whether edits turn the control that the finding is about: that mostly mends it."""
    return all(isinstance(each, Set) and each.address == finding.where for each in edits)
