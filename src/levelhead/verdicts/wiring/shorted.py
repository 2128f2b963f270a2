"""Outputs of which the wiring holds a leg, or all of it: does that hurt, or is all lost?"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np

from levelhead.circuit.drawn.islands import Island
from levelhead.circuit.loads.loading import SHORTED as HELD
from levelhead.circuit.loads.loading import Output, address_of, columns_of, shorted_legs
from levelhead.circuit.solving.solved import Solved
from levelhead.quantity.formatting import format_si
from levelhead.verdicts.explain import Explained, Threshold
from levelhead.verdicts.read.places import IslandAt, by_place, islands
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import Doubt, LimitState
from levelhead.verdicts.told.words import other_ends, output_words, place_words

__all__ = ["EXPLAINED", "SENTENCES", "SHORTED", "check_shorted_outputs", "shorted_current_a"]

SHORTED: Final = "wiring.shorted"
SENTENCES: Final = {
    "leg": {
        Severity.CARE: "The lead shorts one leg of {output}: at full level {current} flow there, "
        "and {limit} are at hand. It works at modest levels.",
        Severity.FINE: "The lead shorts one leg of {output}: {current} flow there at full level, "
        "which it stands.",
    },
    "side": {
        Severity.CARE: "The plug shorts {output} to ground: that side is lost, and at full level "
        "{current} flow where {limit} are at hand.",
    },
    "all": {Severity.FAILS: "The lead shorts {output} to ground: nothing comes out."},
}


@by_place(islands, is_local=True)
def check_shorted_outputs(reading: Reading, at: IslandAt) -> Iterator[Finding]:
    """Outputs of which the wiring holds a leg, or all: does it stand the current?"""
    for output in dict.fromkeys((each.port, each.signal) for each in at.island.drives):
        held = shorted_legs(at.island, at.solved, output)
        if held and reading.rig.ports[output[0]].plan.role != "loudspeaker":
            emf_v = reading.own_ceilings_v.get(output, 0.0)
            current_a = shorted_current_a(at.island, at.solved, output, held) * emf_v
            is_all = len(held) == len(columns_of(at.island, output))
            yield _judge_short(reading, output, current_a, is_all=is_all)


def shorted_current_a(island: Island, solved: Solved, output: Output, legs: list[int]) -> float:
    """Largest current of the legs that are held, in any band, for 1 V of the own signal. [A]"""
    drives = [(each, island.drives[each].weight) for each in columns_of(island, output)]
    return max(
        float(
            np.abs(
                sum(weight * solved.source_current[leg, column] for column, weight in drives)
            ).max()
        )
        for leg in legs
    )


@dataclass(frozen=True, slots=True)
class _Short:
    """How an output is held, and what that means."""

    kind: str
    severity: Severity


def _kind_of_short(reading: Reading, output: Output, *, is_over: bool, is_all: bool) -> _Short:
    if not is_all:
        return _Short("leg", Severity.CARE if is_over else Severity.FINE)
    if len(reading.rig.ports[output[0]].plan.signals) > 1:
        return _Short("side", Severity.CARE)
    return _Short("all", Severity.FAILS)


def _judge_short(reading: Reading, output: Output, current_a: float, *, is_all: bool) -> Finding:
    port = output[0]
    figure = reading.rig.ports[port].plan.figures.get("current")
    limit_a = math.inf if figure is None else figure.value / math.sqrt(2)
    short = _kind_of_short(reading, output, is_over=current_a > limit_a, is_all=is_all)
    label = output_words(reading.rig, output)
    words = {
        "output": label,
        "current": format_si(current_a, "A"),
        "limit": "an unknown current" if figure is None else format_si(limit_a, "A"),
    }
    state = None
    if figure is not None and current_a > 0:
        doubt = Doubt(f"current that {place_words(label)} can give", "fact", figure, +1.0)
        state = LimitState(20 * math.log10(limit_a / current_a), "dB", lambda: [doubt])
    limit = None if figure is None else limit_a
    return Finding(
        code=SHORTED,
        severity=short.severity,
        where=address_of(output),
        what=SENTENCES[short.kind][short.severity].format(**words),
        why=(Compared("current into the short at full level", current_a, limit, "A"),),
        state=state,
        source="current of the output's leg at its ceiling, against what it can give",
        basis="Rayburn, Balanced to unbalanced; common practice",
        ports=(port, *other_ends(reading.rig, port)),
    )


EXPLAINED: Final = (
    Explained(
        SHORTED,
        "Legs of an output of whose voltage the wiring leaves nothing, with their current at full "
        "level, against the current that the output can give.",
        (
            Threshold("share of the voltage left: shorted", 100 * HELD, "%", "a load leaves more"),
            Threshold("current over the limit that is care", 0.0, "dB", "current of the output"),
        ),
        "Rayburn, Balanced to unbalanced",
    ),
)
