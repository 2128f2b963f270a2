"""Numbers that any family may be about: levels of points, and what a finding compared."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Final

from levelhead.planning.trial import Trial
from levelhead.verdicts.told.finding import Finding

__all__ = ["READERS", "nominal"]

_LINE_LEVEL_DBU: Final = 4.0


def nominal(trial: Trial, address: str) -> float:
    """Nominal level of a point that is not silent."""
    level = trial.solution.levels(address).nominal
    assert level is not None, f"{address} is silent"
    return level


def _lost(trial: Trial, ends: list[str], _: object) -> float:
    return nominal(trial, ends[0]) - nominal(trial, ends[1])


def _step(trial: Trial, ends: list[str], _: object) -> float:
    return nominal(trial, ends[1]) - nominal(trial, ends[0])


def _headroom(trial: Trial, address: str, _: object) -> float:
    headroom = trial.solution.levels(address).headroom
    assert headroom is not None
    return headroom


def _found(trial: Trial, code: str, at: str | None) -> Finding:
    """The finding of a code, at an address if one is given, else the worst."""
    for each in trial.judgement.findings:
        if each.code == code and at in (None, each.where):
            return each
    raise AssertionError(f"no finding {code} at {at or 'any place'}")


def _margin(trial: Trial, code: str, at: str | None) -> float:
    margin = _found(trial, code, at).margin
    assert margin is not None
    return margin


def _compared(trial: Trial, named: list[str], at: str | None) -> float:
    """The value of a number that a finding compared, by the name that it has there."""
    code, name = named
    finding = _found(trial, code, at)
    values = {each.name: each.value for each in finding.why}
    value = values.get(name)
    assert value is not None, f"{code} compares {sorted(values)}"
    return value


READERS: Final[Mapping[str, Callable[[Trial, Any, Any], float]]] = {
    "lost": _lost,
    "step": _step,
    "headroom": _headroom,
    "nominal": lambda trial, address, _: nominal(trial, address),
    "below-line-level": lambda trial, address, _: _LINE_LEVEL_DBU - nominal(trial, address),
    "margin": _margin,
    "over": lambda trial, code, at: -_margin(trial, code, at),
    "compared": _compared,
}
