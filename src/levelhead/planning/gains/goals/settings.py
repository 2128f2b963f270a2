"""Goals about settings, once levels are right: quiet, without pads, and near unity."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from levelhead.planning.gains.goals.search import SLACK_DB, Search
from levelhead.planning.gains.goals.switch_costs import noise_costs
from levelhead.planning.gains.thresholds import NOISE_HEARD_DB

__all__ = ["fewest_pads", "highest_volumes", "least_noise", "nearest_unity"]


def least_noise(search: Search, free: Mapping[int, int]) -> list[float]:
    """Noise of each end, A-weighted and lowest in sum. [dB]

    A recorder in a ``free`` group goes as high over its noise as it may; then the group stays.
    """
    cost = noise_costs(search.model)
    ends, noise_db = list[int](), list[float]()
    for end, noise in zip(search.model.ends, search.model.noises, strict=True):
        variable = search.programme.level(noise, search.at)
        cost[variable] = 1.0
        ends.append(variable)
        off = free.get(end.group) if end.kind == "recorder" else None
        if off is not None:
            cost[off] = cost.get(off, 0.0) - 1.0
    best = search.least("noise", cost)
    for variable in ends:
        value = float(best.values[variable])
        noise_db.append(value)
        search.programme.hold({variable: 1.0}, value + NOISE_HEARD_DB)
    for off in free.values():
        value = float(best.values[off])
        search.programme.hold({off: 1.0}, value)
        search.programme.hold({off: -1.0}, -value)
    return noise_db


def fewest_pads(search: Search) -> None:
    """A pad goes in only where a goal so far asks for it."""
    options = dict.fromkeys(range(len(search.model.knobs.knobs), len(search.model.knobs)), 1.0)
    if any(search.at[each] > SLACK_DB for each in options):
        best = search.programme.least(options)
        search.at = best.values[: len(search.model.settings)]
    search.programme.hold(options, sum(round(float(search.at[each])) for each in options))


def highest_volumes(search: Search) -> None:
    """What turns a source down before its meter goes as high as its own output allows.

    Digital volumes and transmitters, and attenuators of players and receivers.
    """
    metered = np.zeros(len(search.model.knobs), dtype=bool)
    for mark in search.model.marks:
        if mark.alone is not None:
            metered |= search.model.levels[mark.point].slopes.any(axis=0)
    cost = {
        number: -1.0
        for number, knob in enumerate(search.model.knobs.knobs)
        if not knob.is_locked
        and (
            knob.kind in {"volume", "transmitter"}
            or (knob.kind == "attenuator" and metered[number])
        )
    }
    if cost:
        best = search.programme.least(cost)
        search.at = best.values[: len(search.model.settings)]
        search.programme.hold(cost, best.cost)


def nearest_unity(search: Search) -> None:
    """Faders where they resolve best."""
    cost = {}
    for number, knob in enumerate(search.model.knobs.knobs):
        if knob.has_unity and not knob.is_locked:
            away = search.programme.variable()
            search.programme.row({number: 1.0, away: -1.0}, high=0.0)
            search.programme.row({number: 1.0, away: 1.0}, low=0.0)
            cost[away] = 1.0
    best = search.least("faders", cost)
    if cost:
        search.programme.hold(cost, best.cost)
