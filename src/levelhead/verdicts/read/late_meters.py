"""Inputs without a meter of their own that go straight to a mix: its meter is where they are seen.

The tape input of a mixer has neither gain nor meter. What comes there is right when it brings the
meter of the mix to its zero, with what the master has to spare.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from levelhead.chain.solution import Solution
from levelhead.chain.wired.lanes import Lane, lanes_of
from levelhead.gear.plan import OriginPlan, StagePlan, Target
from levelhead.verdicts.read.spans import Span, level_db
from levelhead.verdicts.read.strips import FAINT_DB, Strip, heard_at
from levelhead.verdicts.told.words import control_words

__all__ = ["late_strips"]


def late_strips(solution: Solution, where: str | None = None) -> Iterator[Strip]:
    """Plugged inputs whose path has no meter, judged at the first meter that their mix has.

    Those of one address, if it is named. One strip an input: at the mix that gives it most.
    """
    for item in solution.rig.items.values():
        if item.id in solution.dead or not (where is None or where.startswith(f"{item.id}.")):
            continue
        every = tuple(lanes_of(solution.rig, item))
        metered = {lane.point_of(lane.path.stages[0]): lane for lane in every if _has_meter(lane)}
        for lane in every if metered else ():
            if not _has_meter(lane) and lane.path.stages:
                for origin in lane.origins(solution.graph.index):
                    if origin.port is not None and where in (None, lane.port_of(origin.port)):
                        yield from _seen_late(solution, (lane, origin, origin.port), metered)


def _has_meter(lane: Lane) -> bool:
    return any(stage.meter for stage in lane.path.stages)


def _seen_late(
    solution: Solution, entering: tuple[Lane, OriginPlan, Target], metered: dict[str, Lane]
) -> Iterator[Strip]:
    """An input at the meter of the mix to which its path leads with most gain, if there is one."""
    lane, origin, port = entering
    entry = heard_at(solution, lane, port)
    crossing = _crossing(solution, lane, metered)
    if entry is None or entry.nominal is None or entry.peak is None or crossing is None:
        return
    crossing_db, mix = crossing
    gain = Span.entering(origin)
    gain.unit = solution.point(entry.at).unit
    for stage in lane.path.stages:
        gain.pass_through(lane, stage)
    seen, zero, master = _up_to_the_meter(mix, Span.starting(crossing_db, gain.unit))
    gain.add(master.fixed)
    lent_db = max(master.comfortable - master.fixed, FAINT_DB)
    point = solution.point(mix.point_of(seen))
    yield Strip(
        port=lane.port_of(port),
        entry=entry,
        nominal_dbu=entry.nominal,
        peak_dbu=entry.peak,
        metered=point,
        zero_db=level_db(zero, point.unit),
        gain_control=gain.control,
        fixed_db=gain.fixed,
        low_db=gain.low,
        high_db=gain.high,
        now_db=gain.now,
        comfortable_db=gain.comfortable if gain.control else gain.fixed + lent_db,
        makeup_db=max(master.high - master.fixed, 0.0),
        ceilings=(),
        made_up_by=_control_words(solution, master.control),
    )


def _control_words(solution: Solution, control: str | None) -> str:
    return "the master" if control is None else control_words(solution.rig, control)


def _up_to_the_meter(mix: Lane, span: Span) -> tuple[StagePlan, float, Span]:
    """The first stage of a mix with a meter, the zero of that, and all the gain up to it."""
    for stage in mix.path.stages:
        span.pass_through(mix, stage)
        if stage.meter is not None:
            return stage, stage.meter.zero.value, span
    raise LookupError(f"no meter in {mix!r}")


def _crossing(
    solution: Solution, lane: Lane, metered: dict[str, Lane]
) -> tuple[float, Lane] | None:
    """The mix that a path leads to with most gain, and that gain as it is routed. [dB]"""
    graph = solution.graph
    last = solution.number(lane.point_of(lane.path.stages[-1]))
    found: tuple[float, Lane] | None = None
    for number in np.flatnonzero(graph.columns.source == last).tolist():
        mix = metered.get(graph.points[int(graph.columns.target[number])].address)
        factor = float(graph.factors_at_1_khz[number])
        if mix is not None and factor > 0:
            gain_db = 20 * float(np.log10(factor))
            if found is None or gain_db > found[0]:
                found = (gain_db, mix)
    return found
