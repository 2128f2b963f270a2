"""A passive box on the way left out: what goes into it leads on directly.

A transformer that steps down for a microphone input starves a line input; one without a tap keeps
phantom power from the microphone before it. What counts is what the
solved copy says (``planning.remedy``).
"""

from __future__ import annotations

from collections.abc import Iterator

from levelhead.planning.moves.boxes import fans
from levelhead.planning.moves.candidate import COST_OF_CABLE, Candidate
from levelhead.planning.moves.past import lead_past
from levelhead.planning.trial import Trial
from levelhead.rig.usual import usual_cable
from levelhead.show.edits import Plug, Unplug
from levelhead.show.model import Link
from levelhead.verdicts.enough.gain import TOO_LOW
from levelhead.verdicts.phantom.arrives import PHANTOM
from levelhead.verdicts.told.finding import Finding

__all__ = ["boxes_left_out"]

_PAIR = 2  # sides of a stereo box


def boxes_left_out(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """The box beside a starved input or a dead microphone left out, with the lead that fits."""
    rig = trial.solution.rig
    if finding.code != TOO_LOW and finding.family != PHANTOM:
        return
    role = "out" if finding.code == TOO_LOW else "in"
    beside = {
        rig.ports[end].item.id
        for link in trial.show.links
        if {*finding.ports, finding.where} & set(link.ends.values())
        for end in link.ends.values()
        if rig.ports[end].plan.role == role and rig.ports[end].item.plan.kind == "box"
    }
    for box in sorted(beside):
        links = [link for link in trial.show.links if box in link.items]
        into = [link for link in links if rig.ports[_at(link, box)].plan.role == "in"]
        out = [link for link in links if rig.ports[_at(link, box)].plan.role == "out"]
        if len(into) != 1 or len(links) != len(into) + len(out):
            continue
        direct = _direct(trial, into[0], out, box)
        if direct is not None:
            yield Candidate((*map(Unplug, (*into, *out)), Plug(direct)), COST_OF_CABLE)


def _direct(trial: Trial, into: Link, out: list[Link], box: str) -> Link | None:
    """One lead from what goes into the box to where it leads: one socket, or left and right."""
    rig = trial.solution.rig
    if any(set(each.ends) != {"a", "b"} for each in (into, *out)):
        return None
    start = _beyond(into, box)
    ends = [_beyond(each, box) for each in sorted(out, key=lambda each: _at(each, box))]
    plans = [rig.ports[each].plan for each in (start, *ends)]
    if len(ends) == 1 and (cable := usual_cable(trial.book, plans[0], plans[1])) is not None:
        return lead_past(into, out[0], cable, {"a": start, "b": ends[0]})
    if len(ends) == _PAIR and (lead := next(fans(trial.book, *plans), None)) is not None:
        sides = {"a": start, "left": ends[0], "right": ends[1]}
        return lead_past(into, out[0], lead, sides)
    return None


def _at(link: Link, item: str) -> str:
    return next(end for end in link.ends.values() if end.partition(".")[0] == item)


def _beyond(link: Link, item: str) -> str:
    return next(end for end in link.ends.values() if end.partition(".")[0] != item)
