"""Numbers of the loads on an output and of the leads behind it, between the bands as well."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq

from levelhead.circuit.loads.loading import (
    Output,
    address_of,
    reference_response,
    terminal_response,
)
from levelhead.circuit.solving.solve import solve_networks
from levelhead.planning.trial import Trial
from levelhead.show.edits import Unplug
from levelhead.verdicts.loading.joined import joined_currents
from levelhead.verdicts.wiring.shorted import SHORTED

__all__ = ["READERS"]

_AUDIO_HZ: Final = (20.0, 20000.0)


def _output(trial: Trial, address: str) -> Output:
    for island in trial.solution.islands:
        for drive in island.drives:
            if address_of((drive.port, drive.signal)) == address:
                return drive.port, drive.signal
    raise AssertionError(f"no output {address}")


def _response(trial: Trial, address: str, hz: float, at: str = "") -> complex:
    """Voltage at an output's terminals (or another sense) per volt of its signal."""
    output = _output(trial, address)
    for island in trial.solution.islands:
        if address in island.sense_addresses:
            (solved,) = solve_networks([island.network()], np.array([hz]))
            return complex(terminal_response(island, solved, output, at)[0])
    raise AssertionError(f"{address} is on no island")


def _reference(trial: Trial, address: str, hz: float) -> complex:
    port, signal = _output(trial, address)
    found = reference_response(trial.solution.rig.ports[port], signal, np.array([hz]))
    return 1.0 if found is None else complex(found[0])


def _db(ratio: complex) -> float:
    return float(20 * np.log10(abs(ratio)))


def _against_reference(trial: Trial, named: list[Any], _: object) -> float:
    """Level at a frequency, against the load that the output is made for."""
    address, hz = named
    return _db(_response(trial, address, hz) / _reference(trial, address, hz))


def _below_reference(trial: Trial, named: list[Any], _: object) -> float:
    return -_against_reference(trial, named, None)


def _lost_at(trial: Trial, named: list[Any], _: object) -> float:
    """Loss at a frequency against the output's emf."""
    address, hz = named
    return -_db(_response(trial, address, hz))


def _fall(trial: Trial, named: list[Any], at: str | None) -> float:
    """Loss at a frequency against another one, at a sense or at the output's terminals."""
    address, hz, against_hz = named
    there = at or ""
    return _db(_response(trial, address, against_hz, there)) - _db(
        _response(trial, address, hz, there)
    )


def _resonance(trial: Trial, address: str, _: object) -> float:
    """Where the phase passes a quarter turn: the resonance of a coil, however damped."""
    grid: NDArray[np.float64] = np.geomspace(*_AUDIO_HZ, 200)

    def real(hz: float) -> float:
        return _response(trial, address, hz).real

    signs = np.sign([real(hz) for hz in grid])
    (turn,) = np.flatnonzero(np.diff(signs))[:1]
    return float(brentq(real, grid[turn], grid[turn + 1]))


def _corner(trial: Trial, address: str, _: object) -> float:
    """Where the level is 3 dB below that at 100 Hz."""

    def left(hz: float) -> float:
        return _db(_response(trial, address, hz) / _response(trial, address, 100.0)) + 3.0103

    return float(brentq(left, 200.0, _AUDIO_HZ[1]))


def _lost_by(trial: Trial, address: str, links: list[int]) -> float:
    """Level at an output's terminals lost by the links with these numbers, counted from 0."""
    taken = [Unplug(trial.show.links[number]) for number in links]
    alone = trial.after(taken)
    assert alone is not None
    return _db(_response(alone, address, 1000.0) / _response(trial, address, 1000.0))


def _gain_to(trial: Trial, named: list[Any], at: str | None) -> float:
    """From an output's emf to an input at a frequency. [dB]"""
    address, hz = named
    return _db(_response(trial, address, hz, at or ""))


def _middle_to(trial: Trial, sides: list[str], at: str | None) -> float:
    """What both sides share, from their emfs to an input at 1 kHz. [dB]"""
    return _db(sum(_response(trial, each, 1000.0, at or "") for each in sides))


def _short_ma(trial: Trial, address: str, _: object) -> float:
    """Current into a short at full level, rms. [mA]"""
    for each in trial.judgement.findings:
        if each.code == SHORTED and each.where == address:
            value = each.why[0].value
            assert value is not None
            return 1000 * value
    raise AssertionError(f"{address} is not shorted")


def _joined_ma(trial: Trial, address: str, _: object) -> float:
    """Current when the signals of joined outputs differ fully, rms. [mA]"""
    output = _output(trial, address)
    found = (each for each in joined_currents(trial.judgement.reading) if each.output == output)
    return 1000 * next(found).total_a


READERS: Final[Mapping[str, Callable[[Trial, Any, Any], float]]] = {
    "against-reference": _against_reference,
    "below-reference": _below_reference,
    "lost-at": _lost_at,
    "fall": _fall,
    "resonance": _resonance,
    "corner": _corner,
    "lost-by": _lost_by,
    "joined-ma": _joined_ma,
    "gain-to": _gain_to,
    "middle-to": _middle_to,
    "short-ma": _short_ma,
}
