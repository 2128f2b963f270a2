"""Numbers of the family of harm by level: most that can arrive, power, loads, direct current."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Any, Final

import numpy as np

from levelhead.circuit.network import Kind
from levelhead.planning.trial import Trial
from levelhead.quantity.bands import nearest_band
from levelhead.quantity.decibels import DBU_REFERENCE_V
from levelhead.show.edits import SetFigure, Unplug

__all__ = ["READERS"]


def _most_v(trial: Trial, port: str) -> float:
    return trial.judgement.reading.arriving[port].total_v


def _most_dbu(trial: Trial, port: str, _: object) -> float:
    return 20 * math.log10(_most_v(trial, port) / DBU_REFERENCE_V)


def _ohm(trial: Trial, port: str) -> float:
    ohm = trial.solution.rig.ports[port].plan.figure("impedance")
    assert ohm is not None
    return ohm


def _most_power(trial: Trial, port: str, _: object) -> float:
    """Into the nominal impedance of a load, at the most that can arrive."""
    return _most_v(trial, port) ** 2 / _ohm(trial, port)


def _asked_power(trial: Trial, port: str, _: object) -> float:
    """What the volts of the unloaded line would put into the load."""
    item, _, figure = port.partition(".")
    light = trial.after([SetFigure(item, f"{figure}.impedance", "10 kohm")])
    assert light is not None
    return _most_v(light, port) ** 2 / _ohm(trial, port)


def _middle() -> int:
    """Number of the band at 1 kHz."""
    return int(nearest_band(np.array([1000.0]))[0])


def _gain_at_1_khz(trial: Trial, address: str) -> float:
    """From the outputs to a place through the copper."""
    for island in trial.solution.copper.passages:
        if address in island.senses:
            gain = island.gain[
                island.senses.index(address), :, int(nearest_band(np.array([1000.0]))[0])
            ]
            return float(abs(gain).sum())
    raise AssertionError(f"nothing is plugged at {address}")


def _load_on_line(trial: Trial, ends: list[str], _: object) -> float:
    """Impedance at the far end of a cable at 1 kHz: volts there over the current of its cores."""
    near, far = ends
    middle = int(nearest_band(np.array([1000.0]))[0])
    for island, passages in zip(
        trial.solution.islands, trial.solution.copper.passages, strict=True
    ):
        if far in passages.senses:
            volts = [passages.gain[passages.senses.index(each), 0, middle] for each in ends]
            wire = [
                each.value
                for each in island.elements
                if each.stretch and each.kind is Kind.RESISTOR
            ]
            return float(abs(volts[1] / ((volts[0] - volts[1]) / sum(wire))))
    raise AssertionError(f"nothing is plugged at {near}")


def _taken_by(trial: Trial, port: str, at: str | None) -> float:
    """Level at 1 kHz that a place has more of without the link into a port."""
    assert at is not None
    link = next(each for each in trial.show.links if port in each.ends.values())
    without = trial.after([Unplug(link)])
    assert without is not None
    return 20 * math.log10(_gain_at_1_khz(without, at) / _gain_at_1_khz(trial, at))


def _first(trial: Trial, code: str) -> tuple[float, float]:
    finding = next(each for each in trial.judgement.findings if each.code == code)
    value, limit = finding.why[0].value, finding.why[0].limit
    assert value is not None
    assert limit is not None
    return value, limit


READERS: Final[Mapping[str, Callable[[Trial, Any, Any], float]]] = {
    "most-dbu": _most_dbu,
    "most-power": _most_power,
    "asked-power": _asked_power,
    "load-on-line": _load_on_line,
    "taken-by": _taken_by,
    "milliampere": lambda trial, code, _: 1000 * _first(trial, code)[0],
    "volts-over": lambda trial, code, _: _first(trial, code)[0] - _first(trial, code)[1],
}
