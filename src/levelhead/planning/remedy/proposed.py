"""What might mend a finding: moves before they are tried, those with what is at hand first."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import chain

from levelhead.planning.moves.along import with_settings
from levelhead.planning.moves.boxes import CONNECTION_FAMILIES, boxes_and_leads, is_lead_for
from levelhead.planning.moves.candidate import COST_OF_PURCHASE, COST_OF_TURN, Candidate
from levelhead.planning.moves.hum import hum_cures
from levelhead.planning.moves.in_order import candidates
from levelhead.planning.moves.made_for import boxes_made_for
from levelhead.planning.moves.pairs import pairs_moved
from levelhead.planning.moves.parted import sides_parted
from levelhead.planning.moves.routes import has_route_cures, route_cures
from levelhead.planning.stock import drawn, is_bought
from levelhead.planning.trial import Trial
from levelhead.verdicts.air.asked import AIR
from levelhead.verdicts.hum.heard import is_hum
from levelhead.verdicts.people.words import PEOPLE
from levelhead.verdicts.told.finding import Finding

__all__ = ["moves_for", "proposed"]


def proposed(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """What might mend it, cables out of the stock where it has them; what is to be bought last."""
    bought: list[Candidate] = []
    for move in moves_for(trial, finding):
        edits = drawn(trial.show, move.edits)
        if is_bought(trial.show, edits):
            bought.append(Candidate(edits, COST_OF_PURCHASE))
        else:
            yield replace(move, edits=edits)
    yield from bought


def moves_for(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """What might mend it; with what is set for a source that goes to another strip."""
    for move in _moves(trial, finding):
        along = with_settings(trial, move)
        if along is not None:
            yield along


def _moves(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """What might mend it: hum has cures of its own; no knob mends a load or a lead."""
    if is_hum(finding):
        yield from hum_cures(trial, finding)
        return
    if has_route_cures(finding):
        yield from route_cures(trial, finding)
        return
    if finding.family == AIR:
        from levelhead.planning.air.cures import air_cures  # what reckons rooms is loaded for them

        yield from air_cures(trial, finding)
        return
    if finding.family == PEOPLE:  # told only: an edit would read as leave to go on
        return
    made_for = chain(
        sides_parted(trial, finding), pairs_moved(trial, finding), boxes_made_for(trial, finding)
    )
    if finding.family not in CONNECTION_FAMILIES:
        yield from chain(candidates(trial, finding), made_for)
        return
    boxes = boxes_and_leads(trial, finding)  # before what has a supply or a radio of its own
    for move in chain(candidates(trial, finding), boxes, made_for):
        if move.cost > COST_OF_TURN and is_lead_for(trial, move):
            yield move
