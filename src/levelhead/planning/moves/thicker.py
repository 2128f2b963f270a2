"""Thicker copper all the way to a loudspeaker that several cables in a row lead to."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from levelhead.gear.plan import CablePlan
from levelhead.planning.moves.candidate import COST_OF_CABLE, Candidate
from levelhead.planning.trial import Trial
from levelhead.rig.model import RigLink
from levelhead.rig.usual import fitting_cables
from levelhead.show.edits import Plug, Unplug
from levelhead.verdicts.amplifiers.lines import CABLE
from levelhead.verdicts.amplifiers.reached import leads_between
from levelhead.verdicts.told.finding import Finding

__all__ = ["thicker_copper"]

_TWO_ENDS: Final = {"a", "b"}


def thicker_copper(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """All cables from the amplifier on by another type, the thinnest that is thicker first.

    One cable alone is what any recabling changes.
    """
    rig = trial.solution.rig
    if finding.code != CABLE:
        return
    entry, output, *_ = finding.ports
    leads = leads_between(rig, output, entry)
    if len(leads) < 2 or any(set(each.link.ends) != _TWO_ENDS for each in leads):  # noqa: PLR2004 -- in a row
        return
    now_ohm = min(_ohm_per_m(each.cable) for lead in leads for each in lead.segments)
    for cable in sorted(_fitting_all(trial, leads), key=_ohm_per_m, reverse=True):
        if _ohm_per_m(cable) < now_ohm:
            old = tuple(Unplug(each.link) for each in leads)
            new = tuple(Plug(each.link.another_lead(cable.type_id)) for each in leads)
            yield Candidate((*old, *new), COST_OF_CABLE)


def _fitting_all(trial: Trial, leads: tuple[RigLink, ...]) -> Iterator[CablePlan]:
    """Cables without a screen that go into the sockets of every one of some leads."""
    ports = trial.solution.rig.ports
    pairs = [tuple(ports[each].plan for each in lead.link.ends.values()) for lead in leads]
    first, *others = (
        {each.type_id: each for each in fitting_cables(trial.book, start, end)}
        for start, end in pairs
    )
    for type_id, cable in first.items():
        if cable.screen_ohm_per_m is None and all(type_id in each for each in others):
            yield cable


def _ohm_per_m(cable: CablePlan) -> float:
    return 0.0 if cable.core_ohm_per_m is None else cable.core_ohm_per_m.value
