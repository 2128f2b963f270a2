"""Solve a rig: its circuits, then all that is carried through them; what is known stays known."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.as_set.graph import Graph, graph_of
from levelhead.chain.carrying.carried import Carried, Entering
from levelhead.chain.carrying.crests import crests_db
from levelhead.chain.carrying.loops import Loops, carry_round
from levelhead.chain.carrying.turned_down import Limiters
from levelhead.chain.copper.of_rig import Copper, is_same_gear, solve_copper
from levelhead.chain.limits.ceilings import Signals, ceilings
from levelhead.chain.limits.cores import CoreCeiling, core_ceilings
from levelhead.chain.noise.arising import a_weights, own_noise_power
from levelhead.chain.solution import Solution
from levelhead.chain.wired.build import wire_up
from levelhead.chain.wired.fed import fed_points, fed_shares, without_power
from levelhead.chain.wired.wiring import Wiring
from levelhead.errors import SolveError
from levelhead.quantity.peaks import SINE_CREST_DB
from levelhead.rig.model import Rig

__all__ = ["solve"]

Real = NDArray[np.float64]

_SILENT: Final = 1e-9  # rms below this is a leak (a plug's contact to ground), not a signal


def solve(rig: Rig, previous: Solution | None = None) -> Solution:
    """Solve a rig.

    What ``previous`` has solved already is taken from there: moving a fader solves no circuit,
    and of a new plug only the islands are solved that it changes. The numbers are the same as
    without it.
    """
    copper = solve_copper(rig, None if previous is None else previous.copper)
    dead = without_power(rig, copper.phantom, copper.closed_switches)
    graph = graph_of(
        _wiring(rig, copper, dead, previous),
        rig,
        copper.columns,
        None if previous is None else previous.graph,
    )
    with np.errstate(over="ignore", invalid="ignore"):  # refused below
        carried, loops = _carried(graph, copper, previous)
        noise, power = carried.noise_total(), carried.signal_power()
    _check_finite(rig, power, noise)
    signal = power.sum(axis=1)
    nominal = np.where(signal > _SILENT**2, np.sqrt(signal), 0.0)
    crest_db = crests_db(graph.components, carried)
    cores = _cores(graph, copper, previous)
    signals = Signals(power, nominal * 10 ** ((crest_db - SINE_CREST_DB) / 20))
    fed = fed_points(graph.wiring, fed_shares(rig, copper.phantom))
    return Solution(
        rig=rig,
        copper=copper,
        dead=dead,
        graph=graph,
        carried=carried,
        loops=_named_loops(graph, loops.closing),
        loop_gain_db=loops.gain_db,
        rounds=loops.rounds,
        nominal=nominal,
        crest_db=crest_db,
        ceiling=ceilings(graph, copper, signals, cores, fed),
        floor=np.sqrt(noise.sum(axis=1)),
        floor_a=np.sqrt((noise * a_weights()).sum(axis=1)),
        cores=cores,
    )


def _carried(graph: Graph, copper: Copper, previous: Solution | None) -> tuple[Carried, Loops]:
    """Signals and noise at every point, and loops."""
    return carry_round(
        graph.columns,
        graph.order,
        Entering(
            own_noise_power(graph, copper.thermal_v2_per_hz),
            graph.wiring.injections,
            len(graph.components),
        ),
        None if previous is None else previous.carried,
        limiters=Limiters.of(graph.shapes, graph.components),
    )


def _check_finite(rig: Rig, *powers: Real) -> None:
    """Refuse levels beyond all numbers, which only absurd figures make."""
    if not all(np.isfinite(power).all() for power in powers):
        raise SolveError(
            "levels beyond all numbers",
            where=rig.show.name,
            expected="figures and gains as gear has them",
            remedy="Look for a gain, level or sensitivity of an absurd size under 'figures'.",
        )


def _cores(graph: Graph, copper: Copper, previous: Solution | None) -> Mapping[int, CoreCeiling]:
    """What cores let pass hangs on no gain."""
    if previous is not None and copper is previous.copper and graph.wiring is previous.graph.wiring:
        return previous.cores
    return core_ceilings(graph, copper.passages)


def _wiring(rig: Rig, copper: Copper, dead: frozenset[str], previous: Solution | None) -> Wiring:
    """Wiring of before, if plugs, switches, sources and what has power are as they were."""
    if (
        previous is not None
        and dead == previous.dead
        and rig.sources == previous.rig.sources
        and rig.pushed == previous.rig.pushed
        and is_same_gear(rig, previous.rig)
        and copper.is_laid_like(previous.copper)
    ):
        return previous.graph.wiring
    return wire_up(rig, copper.passages, dead)


def _named_loops(graph: Graph, closing: Sequence[int]) -> tuple[str, ...]:
    targets = graph.columns.target[list(closing)].tolist()
    return tuple(sorted({graph.wiring.addresses[number] for number in targets}))
