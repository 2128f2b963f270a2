"""Signals and noise carried along the graph, in signal order, all points of one depth at once.

Only pairs (point, component) that carry something are held. Noise adds as power until it meets
its first fan-out; from there on it is a component of its own, so that two ways of one noise to
one bus add as voltages, as they do in a mixer.

After a change of gains only what passes a changed edge is carried again, in the same order of
addition, so that the numbers are those of a fresh start to the last bit.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.carrying.carried import Brought, Carried, Entering, Injection
from levelhead.chain.carrying.sums import Sums, points_of, powers
from levelhead.chain.carrying.turned_down import Limiters, turn_down
from levelhead.chain.graph.layout import Layout, Levels, Step, lay_out
from levelhead.chain.graph.order import Order
from levelhead.chain.graph.points import EdgeColumns
from levelhead.quantity.bands import BANDS

__all__ = ["bring", "carry", "carry_probes"]

Real = NDArray[np.float64]
Complex = NDArray[np.complex128]
Whole = NDArray[np.int64]
Flags = NDArray[np.bool_]


def carry(
    edges: EdgeColumns,
    order: Order,
    entering: Entering,
    previous: Carried | None = None,
    *,
    limiters: Limiters | None = None,
) -> Carried:
    """Carry every component and all noise to every point.

    Parameters
    ----------
    order
        Depths of the points; edges that close a loop are left out.
    previous
        What was carried before: as far as it still holds, it is kept.
    limiters
        Limiters on the way; without, everything is linear.
    """
    before = previous if _is_laid_alike(edges, order, previous) else None
    levels = Levels.of(edges, order) if before is None else before.levels
    noise, fanned, fanned_power = _noise_carried(edges, levels, entering.own_noise)
    where = _where_all_enters(entering, fanned)
    signals = entering.components
    if before is not None and not (
        before.first_noise == signals and np.array_equal(before.entering, where)
    ):
        before = None  # noise meets a fan-out that it did not reach before
    layout = (
        lay_out(edges, levels, *where, first_noise=signals) if before is None else before.layout
    )
    inputs = [*(each.amplitude for each in entering.injections), *np.sqrt(fanned_power)]
    linear, is_new = _flowed(edges, layout, inputs, before)
    rows, turned_down = linear, None
    if limiters is not None:
        rows, turned_down = turn_down(limiters, edges, layout, linear, len(noise))
    if rows is not linear or (before is not None and before.rows is not before.linear):
        before, is_new = None, np.ones_like(is_new)  # sums of limited signals are done anew
    power = powers(rows, is_new, layout, None if before is None else before.power)
    sums = Sums(layout, rows, power, points_of(layout, is_new, len(noise)))
    return Carried(
        edges=edges,
        order=order,
        levels=levels,
        layout=layout,
        entering=where,
        rows=rows,
        power=power,
        noise_power=noise,
        signals=sums.of(layout.component < signals, None if before is None else before.signals),
        noises=sums.of(layout.component >= signals, None if before is None else before.noises),
        linear=linear,
        turned_down=turned_down,
    )


def carry_probes(
    edges: EdgeColumns, order: Order, probes: Sequence[Injection], points: int
) -> Carried:
    """Weak signals carried to every one of some points: no noise, and limiters take nothing.

    Probes are numbered from 0.
    """
    return carry(edges, order, Entering(np.zeros((points, BANDS)), probes, len(probes)))


def bring(
    edges: EdgeColumns,
    order: Order,
    injections: Sequence[Injection],
    components: int,
    points: Sequence[int],
) -> Brought:
    """What ``carry`` brings to some points, signals alone and without limiters.

    Only what leads there is walked, in the order of ``carry``: the numbers are the same.
    """
    levels, leads = Levels.of(edges, order).leading_to(points, edges)
    entering = [each for each in injections if leads[each.point]]
    nothing = np.zeros(0, dtype=np.int64)
    places = _where_all_enters(Entering(np.zeros((0, BANDS)), entering, components), nothing)
    layout = lay_out(edges, levels, *places, first_noise=components)
    rows, _ = _flowed(edges, layout, [each.amplitude for each in entering], None)
    return Brought(layout.point, layout.component, rows[layout.inputs :])


def _is_laid_alike(edges: EdgeColumns, order: Order, previous: Carried | None) -> bool:
    return previous is not None and order is previous.order and edges.is_laid_like(previous.edges)


def _noise_carried(edges: EdgeColumns, levels: Levels, own_noise: Real) -> tuple[Real, Whole, Real]:
    """Noise as power up to its first fan-out; points where it fans out, and how much does there."""
    noise = own_noise.copy()
    gain_power = edges.gain.real**2 + edges.gain.imag**2
    fans: list[Whole] = []
    fanned: list[Real] = []
    for depth, arriving in enumerate(levels.arriving):
        brought = gain_power[arriving] * noise[edges.source[arriving]]
        np.add.at(noise, edges.target[arriving], brought)
        here = levels.fans[levels.depth[levels.fans] == depth]
        here = here[noise[here].any(axis=1)]
        fans.append(here)
        fanned.append(noise[here])
        noise[here] = 0.0  # nothing is left to go on as power
    return noise, np.concatenate(fans), np.concatenate(fanned)


def _where_all_enters(entering: Entering, fanned: Whole) -> Whole:
    """Points and components of all that enters: signals, then noises; (2, inputs)."""
    points = [each.point for each in entering.injections]
    numbers = [each.component for each in entering.injections]
    noises = np.arange(entering.components, entering.components + len(fanned))
    return np.array([[*points, *fanned], [*numbers, *noises]], dtype=np.int64)


# --- amplitudes ---


def _flowed(
    edges: EdgeColumns, layout: Layout, inputs: Sequence[Complex], before: Carried | None
) -> tuple[Complex, Flags]:
    """All rows of a layout, and which of them are not those of before."""
    if before is None:
        rows = np.empty((layout.rows, BANDS), dtype=np.complex128)
        is_new = np.ones(layout.rows, dtype=bool)
    else:
        rows = before.linear.copy()
        is_new = np.zeros(layout.rows, dtype=bool)
    if inputs:
        rows[: layout.inputs] = inputs
    if before is None:
        for step in layout.steps:
            _flow(edges, step, rows)
        return rows, is_new
    is_new[: layout.inputs] = (rows != before.linear)[: layout.inputs].any(axis=1)
    is_turned = edges.changed_since(before.edges)
    for step in layout.steps:
        _flow_again(edges, step, rows, is_turned, is_new)
    return rows, is_new


def _flow(edges: EdgeColumns, step: Step, rows: Complex) -> None:
    """What arrives alike at one point adds as voltages."""
    arriving = edges.gain_and_one[step.edge]
    arriving *= rows[step.source]
    if len(step.first) == len(step.edge):
        rows[step.start : step.stop] = arriving
    else:
        np.add.reduceat(arriving, step.first, axis=0, out=rows[step.start : step.stop])


def _flow_again(
    edges: EdgeColumns, step: Step, rows: Complex, is_turned: Flags, is_new: Flags
) -> None:
    """The same, of rows to which something new leads."""
    touched = is_turned[step.edge] | is_new[step.source]
    if touched.any():
        is_new[step.target[touched]] = True
        again = np.flatnonzero(is_new[step.target])
        target = step.target[again]
        first = np.flatnonzero(np.diff(target, prepend=-1))
        arriving = edges.gain_and_one[step.edge[again]] * rows[step.source[again]]
        rows[target[first]] = np.add.reduceat(arriving, first, axis=0)
