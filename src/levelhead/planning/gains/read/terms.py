"""Levels of a solved rig as sums of monomials: what arrives where, by which controls.

Everything is read off the solution as it stands; a term moves by as many decibels as its controls
do. What the sum of a point's terms does not hold (ways that add as voltages, limiters) goes into a
constant of the point, and is read anew once the controls have moved.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.noise.arising import a_weights, white_shares
from levelhead.chain.solution import Solution
from levelhead.chain.wired.wiring import NONE
from levelhead.planning.gains.read.knobs import Knobs
from levelhead.planning.gains.read.monomials import NOTHING, Exponents, Monomials
from levelhead.planning.gains.read.switches import OwnNoise
from levelhead.quantity.bands import BANDS

__all__ = ["CANCELS", "SignalTerm", "Terms", "terms_of"]

Real = NDArray[np.float64]
Complex = NDArray[np.complex128]

CANCELS: Final = 0.25  # of the power of its parts is left, 6 dB: a level that nobody can rely on
_TRACE_DB: Final = -80.0  # under the level of its point: a leak


@dataclass(frozen=True, slots=True)
class SignalTerm:
    """One performance by one product of gains: its level as it stands, 10 lg of a mean square."""

    origin: str
    monomial: int
    now_db: float


@dataclass(frozen=True, eq=False)
class Terms:
    """All terms of a solution."""

    solution: Solution
    knobs: Knobs
    monomials: Monomials
    signals: Mapping[int, tuple[SignalTerm, ...]]
    edge_exponents: Sequence[Exponents]
    cancelling: frozenset[int] = frozenset()

    def noise(self, point: int) -> list[tuple[int, float]]:
        """A-weighted noise at a point: monomials, each with its level, 10 lg of a mean square."""
        return list(_noise_terms(self, point))


def terms_of(solution: Solution, knobs: Knobs) -> Terms:
    """Terms of every point that carries a signal."""
    monomials = Monomials()
    exponents = _edge_exponents(solution, knobs)
    power = _signal_power(solution, monomials, exponents)
    total = solution.carried.signal_power().sum(axis=1)
    signals = {
        point: tuple(_signal_terms(found, float(total[point])))
        for point, found in power.items()
        if total[point] > 0
    }
    cancelling = frozenset(
        point for point, found in power.items() if total[point] <= CANCELS * sum(found.values())
    )
    return Terms(solution, knobs, monomials, signals, exponents, cancelling)


def _signal_terms(found: Mapping[tuple[str, int], float], total: float) -> Iterator[SignalTerm]:
    """Terms of one point, together as strong as what is there; what cancels counts in full."""
    held = sum(found.values())
    real = total if total > held * CANCELS else held
    for (origin, monomial), power in found.items():
        if power > 0 and 10 * math.log10(power / held) > _TRACE_DB:
            yield SignalTerm(origin, monomial, 10 * math.log10(power / held * real))


def _edge_exponents(solution: Solution, knobs: Knobs) -> list[Exponents]:
    """What each edge adds in dB for each dB of a knob, and for each option; none for gain one."""
    graph = solution.graph
    ways, columns = graph.wiring.ways, graph.wiring.columns
    by_edge: list[list[tuple[int, float]]] = [[] for _ in range(len(graph.live) + 1)]
    targets = graph.columns.target.tolist()
    first_digital = graph.wiring.first_through - len(graph.wiring.digital.source)
    for edge, way in enumerate(graph.live.tolist()):
        if way >= first_digital:
            continue
        for number in (int(ways.control[way]), int(columns.control[targets[edge]])):
            if number != NONE and number in knobs.by_number:
                by_edge[edge].append((knobs.by_number[number], 1.0))
    for place, switch in enumerate(knobs.switches):
        for variable, option in enumerate(switch.others, knobs.first_option(place)):
            for edge, by_db in option.edges.items():
                by_edge[edge].append((variable, by_db))
    return [tuple(sorted(each)) for each in by_edge]


# --- signals ---


def _signal_power(
    solution: Solution, monomials: Monomials, exponents: Sequence[Exponents]
) -> dict[int, dict[tuple[str, int], float]]:
    """Mean square at each point by performance and monomial."""
    carried, layout = solution.carried, solution.carried.layout
    component = np.concatenate((carried.entering[1], layout.component))
    walk = _Walk(solution, monomials, exponents, component < layout.first_noise)
    origins = [each.origin for each in solution.graph.components]
    row_power = (np.abs(carried.rows) ** 2).sum(axis=1)
    found: dict[int, dict[tuple[str, int], float]] = {}
    for row, point in enumerate(layout.point.tolist(), layout.inputs):
        if component[row] < layout.first_noise and row_power[row] > 0:
            at_point = found.setdefault(point, {})
            for monomial, share in walk.shares(row):
                key = (origins[component[row]], monomial)
                at_point[key] = at_point.get(key, 0.0) + share * float(row_power[row])
    return found


class _Walk:
    """Monomials of every row of a layout; of rows that several make up, with the part of each."""

    def __init__(
        self,
        solution: Solution,
        monomials: Monomials,
        exponents: Sequence[Exponents],
        is_signal: NDArray[np.bool_],
    ) -> None:
        carried, layout = solution.carried, solution.carried.layout
        self._rows: Complex = carried.linear
        self._gain: Complex = carried.edges.gain_and_one
        self._monomials, self._exponents = monomials, exponents
        self._of: list[dict[int, Complex | None]] = [{} for _ in range(layout.rows)]
        for row in np.flatnonzero(is_signal[: layout.inputs]).tolist():
            self._of[row] = {NOTHING: None}
        for step in layout.steps:
            self._arrive(step.edge.tolist(), step.source.tolist(), step.target.tolist(), is_signal)

    def _arrive(
        self,
        edges: Sequence[int],
        sources: Sequence[int],
        targets: Sequence[int],
        is_signal: NDArray[np.bool_],
    ) -> None:
        """Rows of one depth. One monomial needs no amplitude of its own: it has the row's."""
        arrivals: dict[int, list[tuple[int, int, int]]] = {}
        for edge, source, target in zip(edges, sources, targets, strict=True):
            if is_signal[target]:
                for monomial in self._of[source]:
                    onward = self._monomials.times(monomial, self._exponents[edge])
                    arrivals.setdefault(target, []).append((onward, edge, source))
        for target, found in arrivals.items():
            kinds = {monomial for monomial, _, _ in found}
            if len(kinds) == 1:
                self._of[target] = dict.fromkeys(kinds)
            else:
                self._of[target] = self._summed(edges, sources, targets, target)

    def _summed(
        self, edges: Sequence[int], sources: Sequence[int], targets: Sequence[int], target: int
    ) -> dict[int, Complex | None]:
        total: dict[int, Complex | None] = {}
        for edge, source, at in zip(edges, sources, targets, strict=True):
            if at == target:
                for monomial, amplitude in self._of[source].items():
                    own = self._rows[source] if amplitude is None else amplitude
                    onward = self._monomials.times(monomial, self._exponents[edge])
                    before = total.get(onward)
                    brought = self._gain[edge] * own
                    total[onward] = brought if before is None else before + brought
        return total

    def shares(self, row: int) -> Iterator[tuple[int, float]]:
        """Monomials of a row, with the part of its power that each has."""
        found = self._of[row]
        powers = [
            1.0 if each is None else float((np.abs(each) ** 2).sum()) for each in found.values()
        ]
        total = sum(powers)
        for monomial, power in zip(found, powers, strict=True):
            if total > 0:
                yield monomial, power / total


# --- noise ---


def _noise_terms(terms: Terms, point: int) -> Iterator[tuple[int, float]]:
    """Own noise of every point that leads here, by the ways that it takes."""
    solution, monomials = terms.solution, terms.monomials
    own, white = OwnNoise.of(solution), white_shares()
    thermal = solution.copper.thermal_v2_per_hz
    passing_by, behind_by = _noise_switches(terms.knobs)
    found: dict[int, float] = {}
    for at, ways in _ways_to(terms, point).items():
        stage = _stage_exponents(terms, at)
        fixed = own.behind[at] - (_thermal_a(thermal, at) if at < len(thermal) else 0.0)
        for monomial, transfer in ways.items():
            heard = float((transfer * white * a_weights()).sum())
            warm = float((transfer * a_weights() * _thermal(thermal, at)).sum())
            behind = monomials.times(monomial, behind_by.get(at, ()))
            passing = monomials.times(monomial, stage + passing_by.get(at, ()))
            found[behind] = found.get(behind, 0.0) + fixed * heard + warm
            found[passing] = found.get(passing, 0.0) + float(own.passing[at]) * heard
    total = sum(found.values())
    real = float(solution.floor_a[point]) ** 2
    for monomial, power in found.items():
        if power > 0 and real > 0:
            yield monomial, 10 * math.log10(power / total * real)


def _thermal(thermal: Real, at: int) -> Real:
    from levelhead.chain.noise.arising import audio_width_hz

    return thermal[at] * audio_width_hz() if at < len(thermal) else np.zeros(BANDS)


def _thermal_a(thermal: Real, at: int) -> float:
    return float((_thermal(thermal, at) * a_weights()).sum())


def _stage_exponents(terms: Terms, at: int) -> Exponents:
    """The knob of the stage at a point: it also moves the noise of the stage's input."""
    number = int(terms.solution.graph.wiring.columns.control[at])
    variable = terms.knobs.by_number.get(number) if number != NONE else None
    return () if variable is None else ((variable, 1.0),)


def _noise_switches(knobs: Knobs) -> tuple[dict[int, Exponents], dict[int, Exponents]]:
    """What options add to the own noise of points, in both parts. A stage's own gain is in it."""
    passing: dict[int, Exponents] = {}
    behind: dict[int, Exponents] = {}
    for place, switch in enumerate(knobs.switches):
        for variable, option in enumerate(switch.others, knobs.first_option(place)):
            for table, moved in ((passing, option.passing), (behind, option.behind)):
                for point, by_db in moved.items():
                    table[point] = (*table.get(point, ()), (variable, by_db))
    return passing, behind


def _ways_to(terms: Terms, end: int) -> dict[int, dict[int, Real]]:
    """From every point that leads to ``end``: power transferred in each band, by monomial."""
    solution = terms.solution
    columns, order = solution.graph.columns, solution.graph.order
    incoming: dict[int, list[int]] = {}
    closing = set(np.asarray(order.closing).tolist())
    for edge, target in enumerate(columns.target.tolist()):
        if edge not in closing:
            incoming.setdefault(target, []).append(edge)
    gain_power = np.abs(columns.gain) ** 2
    sources = columns.source.tolist()
    ways: dict[int, dict[int, Real]] = {end: {NOTHING: np.ones(BANDS)}}
    waiting: dict[int, set[int]] = {int(order.depth[end]): {end}}
    while waiting:
        depth = max(waiting)
        for point in waiting.pop(depth):
            for edge in incoming.get(point, ()):
                _pass(terms, ways, point, edge, gain_power[edge])
                source = sources[edge]
                waiting.setdefault(int(order.depth[source]), set()).add(source)
    return ways


def _pass(
    terms: Terms, ways: dict[int, dict[int, Real]], point: int, edge: int, gain_power: Real
) -> None:
    """Ways from the start of an edge, by all ways from its end."""
    source = int(terms.solution.graph.columns.source[edge])
    before = ways.setdefault(source, {})
    for monomial, transfer in ways[point].items():
        longer = terms.monomials.times(monomial, terms.edge_exponents[edge])
        passed = transfer * gain_power
        before[longer] = before[longer] + passed if longer in before else passed
