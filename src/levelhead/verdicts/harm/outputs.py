"""Outputs that are hurt by what is plugged to them: a driven terminal on earth, no load at all."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

import numpy as np

from levelhead.chain.copper.of_rig import solve_copper
from levelhead.chain.copper.passages import Passages
from levelhead.chain.solution import Solution
from levelhead.circuit.drawn.islands import Island
from levelhead.circuit.limits.currents import Driver, columns_of, leg_current_a_per_v
from levelhead.circuit.solving.solved import Solved
from levelhead.errors import LevelheadError
from levelhead.gear.figures import Figure
from levelhead.quantity.formatting import format_si
from levelhead.rig.build import build_rig
from levelhead.rig.model import Rig, RigPort
from levelhead.show.edits import Set, apply
from levelhead.verdicts.explain import PRACTICE, Explained, Threshold
from levelhead.verdicts.read.delivered import ceiling_of
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import Doubt, LimitState
from levelhead.verdicts.told.words import control_words, place_words

__all__ = [
    "EXPLAINED",
    "ONE_PRESS",
    "SENTENCES",
    "SHORTED",
    "check_driven_terminals",
]

SHORTED, ONE_PRESS = "harm.terminal-on-earth", "harm.one-press-away"
SENTENCES: Final = {
    SHORTED: "Both terminals of {output} are driven, and one of them is joined to earth: {current} "
    "can flow there, {limit} is what it gives. The amplifier will be damaged.",
    ONE_PRESS: "Both terminals of {output} are driven. Nothing joins them to earth while {switch} "
    "stands at {now}; at {other} one of them is shorted, with {current} against {limit}. Tape it.",
}
_CAUTION: Final = (
    "Switch the amplifier off before any plug on that side is touched. A mains earth is never "
    "lifted to get rid of this: it protects lives."
)
_NOTHING_A: Final = 1e-9
_AT_MOST_DB: Final = 120.0  # a margin that nobody reads further
_PEAK: Final = math.sqrt(2)
_TWO_TERMINALS: Final = 2


def check_driven_terminals(reading: Reading) -> Iterator[Finding]:
    """Loudspeaker outputs with both terminals driven: is one of them joined to earth?

    The current that leaves by one terminal and does not come back by the other flows to earth. It
    is taken at the output's ceiling, and held against what each terminal gives. Where it is small,
    every switch beside it is tried: one press is the fault that happens.
    """
    solution = reading.solution
    for port, earth_a, limit in _to_earth(solution):
        where = solution.rig.ports[port]
        if earth_a * _PEAK > limit.value:
            yield _shorted(where, earth_a, limit)
        else:
            yield from _one_press(reading, where, limit)


def _to_earth(solution: Solution) -> Iterator[tuple[str, float, Figure]]:
    """Outputs with two driven terminals, with the rms current to earth and the limit. [A]"""
    copper = solution.copper
    for island, solved, passages in zip(
        copper.islands, copper.solved, copper.passages, strict=True
    ):
        yield from _of_island(solution, island, solved, passages)


def _of_island(
    solution: Solution, island: Island, solved: Solved, passages: Passages
) -> Iterator[tuple[str, float, Figure]]:
    columns = columns_of(island)
    for driver in passages.drivers:
        port = solution.rig.ports[driver.port]
        limit = port.plan.figures.get("current")
        is_pair = len(columns[driver]) == _TWO_TERMINALS
        if port.plan.role == "loudspeaker" and is_pair and limit is not None:
            ceiling_v, _ = ceiling_of(solution, driver)
            yield driver.port, ceiling_v * _unreturned_a_per_v(island, solved, driver), limit


def _unreturned_a_per_v(island: Island, solved: Solved, driver: Driver) -> float:
    """What leaves by one leg and does not come back by the other, for 1 V of the signal. [A/V]"""
    legs = leg_current_a_per_v(island, solved, driver, driver)
    return float(np.abs(legs.sum(axis=0)).max())


def _margin_db(limit: Figure, earth_a: float) -> float:
    return min(20 * math.log10(limit.value / max(earth_a * _PEAK, _NOTHING_A)), _AT_MOST_DB)


def _shorted(port: RigPort, earth_a: float, limit: Figure) -> Finding:
    words = {
        "output": port.label,
        "current": format_si(earth_a, "A"),
        "limit": format_si(limit.value / _PEAK, "A"),
    }
    return Finding(
        code=SHORTED,
        severity=Severity.HARM,
        where=port.address,
        what=SENTENCES[SHORTED].format(**words),
        why=(Compared("current to earth by one terminal", earth_a, limit.value / _PEAK, "A"),),
        state=LimitState(_margin_db(limit, earth_a), "dB", lambda: [_doubt(port, limit)]),
        source="current of each terminal in the network at the output's ceiling, against what the "
        "output gives",
        basis="Kirchhoff's laws; current figure of the output",
        ports=(port.address,),
        caution=_CAUTION,
        assumed=(f"{port.label} drives both terminals: an unknown small amplifier counts as such",),
    )


def _doubt(port: RigPort, limit: Figure) -> Doubt:
    return Doubt(f"current of {place_words(port.label)}", "fact", limit, +1.0)


def _one_press(reading: Reading, port: RigPort, limit: Figure) -> Iterator[Finding]:
    """The first switch beside an output that would short it."""
    rig = reading.rig
    for control, option in _presses(rig, port):
        earth_a = _after(reading.solution, control, option).get(port.address, 0.0)
        if earth_a * _PEAK > limit.value:
            yield _pressed(rig, port, (control, option), earth_a, limit)
            return


def _presses(rig: Rig, port: RigPort) -> Iterator[tuple[str, str]]:
    """Other positions of the switches of passive items on the leads of an output."""
    beside: set[str] = set()
    for link in rig.links:
        if port.address in link.ports:
            beside |= {rig.ports[each].item.id for each in link.ports}
    for address, control in rig.controls.items():
        item = rig.items[address.partition(".")[0]]
        is_passive = any(block.plan.parts for block in item.plan.blocks)
        if item.id in beside and is_passive and control.kind == "switch":
            yield from (
                (address, option) for option in control.options if option != rig.setting(address)
            )


def _after(solution: Solution, control: str, option: str) -> dict[str, float]:
    """Current to earth of each output, with one switch pressed. [A]"""
    try:
        show, _ = apply(solution.rig.show, [Set(control, option)])
        rig = build_rig(show, solution.rig.book)
    except LevelheadError:
        return {}
    copper = solve_copper(rig, solution.copper)
    return {
        port: earth_a
        for island, solved, passages in zip(
            copper.islands, copper.solved, copper.passages, strict=True
        )
        for port, earth_a, _ in _of_island(solution, island, solved, passages)
    }


def _pressed(
    rig: Rig, port: RigPort, press: tuple[str, str], earth_a: float, limit: Figure
) -> Finding:
    control, option = press
    words = {
        "output": port.label,
        "switch": control_words(rig, control),
        "now": str(rig.setting(control)),
        "other": option,
        "current": format_si(earth_a, "A"),
        "limit": format_si(limit.value / _PEAK, "A"),
    }
    return Finding(
        code=ONE_PRESS,
        severity=Severity.CARE,
        where=port.address,
        what=SENTENCES[ONE_PRESS].format(**words),
        why=(Compared("current to earth after one press", earth_a, limit.value / _PEAK, "A"),),
        source="the same network with one switch pressed",
        basis="Kirchhoff's laws; current figure of the output",
        ports=(port.address,),
        caution=_CAUTION,
    )


_OWN_CURRENT: Final = Threshold(
    "current to earth over what the output gives", 0.0, "dB", "current figure of the output"
)
EXPLAINED: Final = (
    Explained(
        SHORTED,
        "Of an output with both terminals driven, the current that leaves by one and does not come "
        "back by the other, at its ceiling, against what each terminal gives.",
        (_OWN_CURRENT,),
        "Kirchhoff's laws; an unknown small amplifier counts as driven at both: " + PRACTICE,
    ),
    Explained(
        ONE_PRESS,
        "The same with each switch of the passive boxes on that output in its other positions.",
        (_OWN_CURRENT,),
        "Kirchhoff's laws",
    ),
)
