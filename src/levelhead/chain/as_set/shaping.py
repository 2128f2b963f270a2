"""What stages do beside their gain, as everything stands in the rig: responses, limiters, delay.

A response and a delay belong to every edge that leads into the point behind the stage. A limiter
hangs on the level there and is applied in signal order (``chain.carrying.propagate``).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Final

import numpy as np

from levelhead.chain.graph.points import EdgeColumns
from levelhead.chain.levels import REFERENCE_OF_UNIT
from levelhead.chain.stages.limiting import Limiter
from levelhead.chain.stages.responses import Complex, Filter, band_response
from levelhead.chain.stages.shape import Shape
from levelhead.chain.wired.banks import Bank
from levelhead.chain.wired.lanes import Lane
from levelhead.gear.figures import Figure
from levelhead.gear.plan import StagePlan
from levelhead.gear.shaping import DelayPlan, FilterPlan, LimiterPlan
from levelhead.quantity.bands import mid_hz
from levelhead.rig.model import Rig

__all__ = ["shaped", "shapes_of"]

_USUAL_Q: Final = 0.7071  # a shelf without a bump
_THIRD_OCTAVE_Q: Final = 4.318  # sqrt(2 ** (1 / 3)) / (2 ** (1 / 3) - 1)
_REFERENCE: Final = {name: reference for reference, name in REFERENCE_OF_UNIT.values()}


def shapes_of(rig: Rig, banks: Iterable[Bank]) -> dict[int, Shape]:
    """What stages do beside their gain, by the number of the point behind each that does more.

    As the controls of ``rig`` stand: banks may be older than its settings.
    """
    return {
        int(bank.numbers[row, column]): _shape(replace(lane, rig=rig), stage)
        for bank in banks
        for column, stage in enumerate(bank.path.stages)
        if not stage.shaping.is_plain
        for row, lane in enumerate(bank.lanes)
    }


def shaped(columns: EdgeColumns, shapes: Mapping[int, Shape], points: int) -> EdgeColumns:
    """Edges that pass what the stage at their end does; limiters wait for their level."""
    if not shapes:
        return columns
    delay_ns = np.zeros(points, dtype=np.int64)
    for number, shape in shapes.items():
        delay_ns[number] = round(shape.delay_s * 1e9)
    responses = {n: each.response for n, each in shapes.items() if each.response is not None}
    row_of = np.full(points, -1)
    row_of[list(responses)] = np.arange(len(responses))
    edges = np.flatnonzero(row_of[columns.target] >= 0)
    gain = columns.gain_and_one
    if len(edges):
        gain[edges] *= np.array(list(responses.values()))[row_of[columns.target[edges]]]
    return EdgeColumns(
        columns.source, columns.target, gain, columns.delay_ns + delay_ns[columns.target]
    )


def _shape(lane: Lane, stage: StagePlan) -> Shape:
    shaping = stage.shaping
    filters = tuple(each for plan in shaping.filters for each in _filters(lane, plan))
    limiter = shaping.limiter
    return Shape(
        response=_response(filters, is_turned=shaping.is_turned),
        delay_s=0.0 if shaping.delay is None else _delay_s(lane, shaping.delay),
        limiter=None if limiter is None else _limiter(lane, limiter),
        threshold=None if limiter is None else limiter.threshold,
        compander=shaping.compander,
    )


def _response(filters: tuple[Filter, ...], *, is_turned: bool) -> Complex | None:
    """Of filters in series, with the other sign where the stage turns what it passes."""
    if not filters and not is_turned:
        return None
    return -band_response(filters) if is_turned else band_response(filters)


def _filters(lane: Lane, plan: FilterPlan) -> Iterator[Filter]:
    """A filter as it is set; of a graphic equaliser each band that does not stand flat."""
    if plan.kind == "graphic":
        q = _value(plan.q, _THIRD_OCTAVE_Q)
        for corner_hz, name in zip(mid_hz().tolist(), plan.gain_controls, strict=True):
            gain_db = _setting(lane, name)
            if gain_db:
                yield Filter("peaking", corner_hz, gain_db=gain_db, q=q)
        return
    corner_hz = _value(plan.corner_hz, 0.0)
    if plan.corner_control is not None:
        corner_hz = _setting(lane, plan.corner_control)
    gain_db = _value(plan.gain_db, 0.0) + sum(_setting(lane, each) for each in plan.gain_controls)
    yield Filter(
        plan.kind, corner_hz, plan.order, plan.shape, gain_db=gain_db, q=_value(plan.q, _USUAL_Q)
    )


def _limiter(lane: Lane, plan: LimiterPlan) -> Limiter:
    """A dial sets the threshold itself, a range in dB moves that of the figure."""
    threshold = plan.threshold.value
    if plan.threshold_control is not None:
        setting = _setting(lane, plan.threshold_control)
        unit = lane.rig.controls[_address(lane, plan.threshold_control)].unit
        reference = _REFERENCE.get(unit, threshold)
        threshold = setting if unit in REFERENCE_OF_UNIT else reference * 10 ** (setting / 20)
    return Limiter(threshold, plan.ratio, plan.detector)


def _delay_s(lane: Lane, plan: DelayPlan) -> float:
    set_s = 0.0 if plan.control is None else _setting(lane, plan.control)
    return _value(plan.fixed, 0.0) + set_s


def _address(lane: Lane, control: str) -> str:
    return lane.rig.control_of(lane.item, lane.block, control)


def _setting(lane: Lane, control: str) -> float:
    return float(lane.rig.setting(_address(lane, control)))


def _value(figure: Figure | None, otherwise: float) -> float:
    return otherwise if figure is None else figure.value
