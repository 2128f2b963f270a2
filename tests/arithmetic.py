"""Reckoning by hand: expressions of the tables of tests, with the words of the trade.

``lg`` and ``ln`` are logarithms, ``par`` resistances in parallel, ``db`` and ``dbp`` ratios of
volts and of power in decibels, ``dbu``, ``dbv`` and ``volts`` levels, ``sumdb`` the power sum of
levels, ``a_of_...`` what A-weighting takes off a spectrum, ``ear_keeps`` and ``copy_db`` are about
combs, ``j`` is the imaginary unit. Nothing here
is taken from the program.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from typing import Any, Final

__all__ = ["reckoned"]

_DBU_V: Final = math.sqrt(0.6)  # 1 mW in 600 ohm


def _parallel(*ohms: complex) -> complex:
    return 1 / sum(1 / each for each in ohms)


def _sum_db(*levels: float) -> float:
    return 10 * math.log10(sum(10 ** (each / 10) for each in levels))


def _a_weight(hz: float) -> float:
    """A-weighting, IEC 61672-1:2013, equation E.1; its gain at 1 kHz taken out. [power]"""
    f2 = hz * hz
    poles = (f2 + 20.6**2) * (f2 + 12194.0**2)
    poles *= math.sqrt((f2 + 107.7**2) * (f2 + 737.9**2))
    return (1.2589 * 12194.0**2 * f2 * f2 / poles) ** 2


def _a_of_white_db() -> float:
    """What A-weighting takes off noise that is flat from 20 Hz to 20 kHz. [dB]"""
    hertz = [20 + 10 * step for step in range(1998)]
    return 10 * math.log10(sum(_a_weight(each) for each in hertz) / len(hertz))


# Simulated programme signal, thirds of octaves from 20 Hz: IEC 60268-1:1985, Table II
_PROGRAMME_DB: Final = (
    -13.5, -10.2, -7.4, -5.2, -3.5, -2.3, -1.4, -0.9, -0.5, -0.2, -0.1, 0, 0, 0, 0, 0, 0, -0.1,
    -0.3, -0.6, -1.0, -1.6, -2.5, -3.7, -5.1, -7.0, -9.4, -11.9, -14.8, -18.2, -21.6,
)  # fmt: skip


def _a_of_programme_db() -> float:
    """What A-weighting takes off the simulated programme. [dB]"""
    hertz = [10 ** ((13 + number) / 10) for number in range(31)]
    return _a_of_lines_db([10 ** (each / 20) for each in _PROGRAMME_DB], hertz)


def _a_of_earths_db(mains_hz: float) -> float:
    """What it takes off the voltage between two earths. [dB]

    Harmonics that fall with the power of 1.5, even ones 20 dB below: from memory.
    """
    orders = range(1, 21)
    volts = [n**-1.5 * (1 if n % 2 else 0.1) for n in orders]
    return _a_of_lines_db(volts, [n * mains_hz for n in orders])


def _a_rate_of_earths(mains_hz: float) -> float:
    """``2 pi f`` times each line of such a voltage, all of it 1 V, A-weighted. [V/s]"""
    orders = range(1, 21)
    volts = [n**-1.5 * (1 if n % 2 else 0.1) for n in orders]
    whole = sum(v * v for v in volts)
    lines = zip(volts, orders, strict=True)
    rates = ((v * math.tau * n * mains_hz) ** 2 * _a_weight(n * mains_hz) for v, n in lines)
    return math.sqrt(sum(rates) / whole)


def _a_of_lines_db(volts: Sequence[float], hertz: Sequence[float]) -> float:
    weighted = sum(v * v * _a_weight(hz) for v, hz in zip(volts, hertz, strict=True))
    return 10 * math.log10(weighted / sum(v * v for v in volts))


def _ear_keeps(apart_ms: float) -> float:
    """How much of a comb an ear tells apart, mean of thirds from 500 Hz to 4 kHz.

    Equal density over a critical band of ``24.7 (4.37 f / kHz + 1)``: Glasberg and Moore 1990.
    """
    turns = [
        math.pi * 24.7 * (4.37 * 10 ** (third / 10) / 1000 + 1) * apart_ms / 1000
        for third in range(27, 37)
    ]
    return sum(abs(math.sin(each) / each) for each in turns) / len(turns)


def _copy_db(swing: float) -> float:
    """Level of a copy that makes a power swing by so much about its mean: 2 g / (1 + g^2)."""
    return 20 * math.log10((1 - math.sqrt(1 - swing**2)) / swing)


_WORDS: Final[Mapping[str, Callable[..., Any] | complex]] = {
    "lg": math.log10,
    "ln": math.log,
    "exp": math.exp,
    "sqrt": math.sqrt,
    "hypot": math.hypot,
    "abs": abs,
    "min": min,
    "max": max,
    "pi": math.pi,
    "j": 1j,
    "par": _parallel,
    "db": lambda ratio: 20 * math.log10(abs(ratio)),
    "dbp": lambda ratio: 10 * math.log10(ratio),
    "dbu": lambda volts: 20 * math.log10(volts / _DBU_V),
    "dbv": lambda volts: 20 * math.log10(volts),
    "volts": lambda dbu: _DBU_V * 10 ** (dbu / 20),
    "sumdb": _sum_db,
    "ear_keeps": _ear_keeps,
    "copy_db": _copy_db,
    "a_of_white": _a_of_white_db,
    "a_of_programme": _a_of_programme_db,
    "a_of_earths": _a_of_earths_db,
    "a_rate_of_earths": _a_rate_of_earths,
}


def reckoned(expression: str | float) -> float:
    """Value of an expression.

    >>> round(reckoned("par(8, 8)"), 3), round(reckoned("volts(4)"), 3)
    (4.0, 1.228)
    """
    if isinstance(expression, int | float):
        return float(expression)
    words = {"__builtins__": {}, **_WORDS}
    value = eval(expression, words)  # noqa: S307 -- text of our own tables
    assert abs(complex(value).imag) < 1e-9
    return float(complex(value).real)
