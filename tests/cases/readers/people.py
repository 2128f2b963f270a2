"""Numbers about people: currents through a body, leakages."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Any, Final

from levelhead.circuit.ground.mains import FELT_A, MAINS_230
from levelhead.circuit.ground.touch import alone_a
from levelhead.planning.trial import Trial

__all__ = ["READERS"]


def _through_body(trial: Trial, items: list[str], body_ohm: float) -> float:
    """Milliamperes through a body between the 0 V of two items, by all potentials of earths."""
    volts = trial.judgement.reading.hum.ground.volts_between(*items)
    return 1e3 * volts / body_ohm


def _leak_over_felt(trial: Trial, item: str, _: object) -> float:
    """Leakage of an item by itself through a body, over what is felt. [dB]"""
    plan = trial.solution.rig.items[item].plan
    assert plan.leakage is not None
    leak_a = alone_a(plan.leakage, is_earthed_type=plan.earth == "mains", mains=MAINS_230)
    return 20 * math.log10(leak_a / FELT_A)


def _over_professional(trial: Trial, address: str, _: object) -> float:
    """Volts at bare contacts over what may be touched of professional apparatus. [dB]"""
    findings = (each for each in trial.judgement.findings if each.where == address)
    (found,) = [each for each in findings if each.code == "people.touchable-volts"]
    named = {each.name: each for each in found.why}["volts at the contacts, professional"]
    assert named.value is not None
    assert named.limit is not None
    return 20 * math.log10(named.value / named.limit)


READERS: Final[Mapping[str, Callable[[Trial, Any, Any], float]]] = {
    "through-body": _through_body,
    "leak-over-felt": _leak_over_felt,
    "over-professional": _over_professional,
}
