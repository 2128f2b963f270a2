"""Moves that might mend a finding, in the order in which a practitioner would try them.

Turn a control, move a switch, another socket of the rig, another cable. None is chosen by the name
of an item; what counts is what the solved copy says (``planning.remedy``).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from levelhead.planning.moves.adaptors import adaptors_put_in
from levelhead.planning.moves.boxes_left_out import boxes_left_out
from levelhead.planning.moves.cabinets import (
    cabinets_added,
    cabinets_moved,
    cabinets_off,
    cabinets_turned,
)
from levelhead.planning.moves.candidate import (
    COST_OF_PURCHASE,
    COST_OF_SOCKET,
    COST_OF_SWITCH,
    COST_OF_TURN,
    Candidate,
)
from levelhead.planning.moves.controls import gain_up_fader_down, switches, turns
from levelhead.planning.moves.inputs_chosen import input_chosen
from levelhead.planning.moves.plugs import (
    bypasses,
    insert_leads,
    leads_exchanged,
    one_amplifier_off,
    plugs_swapped,
    recablings,
    replugs,
    upstream,
)
from levelhead.planning.moves.shorter import shorter_leads
from levelhead.planning.moves.thicker import thicker_copper
from levelhead.planning.moves.ways_opened import ways_opened
from levelhead.planning.trial import Trial
from levelhead.verdicts.enough.gain import SET_TOO_LOW
from levelhead.verdicts.routing.heard import UNHEARD
from levelhead.verdicts.routing.switched_away import SWITCHED_AWAY
from levelhead.verdicts.told.finding import Finding

__all__ = ["candidates"]

_UNHEARD: Final = frozenset({UNHEARD, SWITCHED_AWAY})


def candidates(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """Every move that might mend a finding, cheapest kind first."""
    yield from turns(trial, finding)
    yield from (Candidate(edits, COST_OF_TURN) for edits in ways_opened(trial, finding))
    if finding.code in _UNHEARD and (chosen := input_chosen(trial.solution.rig, finding.where)):
        yield Candidate(chosen, COST_OF_SWITCH)
    if finding.code == SET_TOO_LOW:  # a knob is mended by hand: nobody moves a plug for it
        yield from gain_up_fader_down(trial, finding)
        return
    yield from switches(trial, finding)
    yield from leads_exchanged(trial, finding)
    yield from plugs_swapped(trial, finding)
    yield from one_amplifier_off(trial, finding)
    yield from insert_leads(trial, finding)
    yield from cabinets_turned(trial, finding)
    yield from (Candidate(edits, COST_OF_SOCKET) for edits in cabinets_moved(trial, finding))
    yield from (Candidate(edits, COST_OF_PURCHASE) for edits in adaptors_put_in(trial, finding))
    yield from replugs(trial, finding)
    yield from upstream(trial, finding)
    yield from bypasses(trial, finding)
    yield from boxes_left_out(trial, finding)
    yield from shorter_leads(trial, finding)
    yield from thicker_copper(trial, finding)
    yield from recablings(trial, finding)
    yield from cabinets_added(trial, finding)
    yield from cabinets_off(trial, finding)
