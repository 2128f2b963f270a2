"""Numbers of the phantom power."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Final

from levelhead.planning.trial import Trial
from levelhead.show.addresses import item_of

__all__ = ["READERS"]


def _supply(trial: Trial, item: str, _: object) -> float:
    arrival = trial.solution.phantom_at(item)
    return 0.0 if arrival is None else arrival.volts


def _direct_ma(trial: Trial, address: str, _: object) -> float:
    direct = trial.solution.dc_at(address)
    assert direct is not None
    return 1000 * direct.current_a


def _direct_v(trial: Trial, address: str, _: object) -> float:
    direct = trial.solution.dc_at(address)
    assert direct is not None
    return abs(direct.common_v) + abs(direct.volts) / 2


def _let_go_mj(trial: Trial, address: str, _: object) -> float:
    direct = trial.solution.dc_at(address)
    assert direct is not None
    return 1000 * direct.let_go_j


def _supply_ma(trial: Trial, item: str, _: object) -> float:
    """Current that all inputs of an item feed."""
    fed = (trial.solution.dc_at(each) for each in trial.solution.rig.ports if item_of(each) == item)
    return 1000 * sum(each.current_a for each in fed if each is not None)


READERS: Final[Mapping[str, Callable[[Trial, Any, Any], float]]] = {
    "supply": _supply,
    "direct-ma": _direct_ma,
    "direct-v": _direct_v,
    "let-go-mj": _let_go_mj,
    "supply-ma": _supply_ma,
}
