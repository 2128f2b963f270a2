"""Voices and instruments of a show, in front of the items that hear them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Final

from levelhead.errors import ShowError
from levelhead.gear.figures import measured, read_figure
from levelhead.gear.names import did_you_mean
from levelhead.gear.plan import AirPlan
from levelhead.rig.locating import Resolving
from levelhead.rig.model import RigItem, RigSource
from levelhead.show.model import Source

__all__ = ["place_sources"]

_SOUND_M_PER_S: Final = 343.2  # in air of 20 degrees: ISO 9613-1


def place_sources(resolving: Resolving, items: Mapping[str, RigItem]) -> Iterator[RigSource]:
    """Every source of a show, in front of its microphone."""
    for source in resolving.show.sources.values():
        if resolving.is_lost(source.at):
            continue
        where = resolving.locate.where("sources", source.id)
        with resolving.collecting(where):
            yield from _placed(source, resolving, items, where)


def _placed(
    source: Source, resolving: Resolving, items: Mapping[str, RigItem], where: str
) -> Iterator[RigSource]:
    air = resolving.book.plan(source.type, {}, {}).air
    if air is None:
        raise ShowError(
            f"'{source.type}' makes no sound in the air",
            where=where,
            expected="a voice or an instrument",
            remedy="List them with: levelhead gear --kind voice",
        )
    if source.level is not None:
        air = _own_level(air, source.level, where)
    usual_m = air.distance_m if source.distance_m is None else source.distance_m
    heard_m = {source.at: usual_m, **source.also}
    nearest_m = min(heard_m.values())
    for at, away_m in heard_m.items():
        item_id = _listener(at, items, where)
        later_s = (away_m - nearest_m) / _SOUND_M_PER_S
        yield RigSource(source.id, source.label or source.id, item_id, air, away_m, later_s)


def _own_level(air: AirPlan, level: str, where: str) -> AirPlan:
    """The source as loud as somebody found it, at 1 m."""
    figure = read_figure(measured(level), unit="Pa", source="measured", where=where)
    return replace(air, level_pa=figure, at_m=1.0)


def _listener(at: str, items: Mapping[str, RigItem], where: str) -> str:
    """The item at an address, which has to hear."""
    item_id = at.partition(".")[0]
    if item_id not in items or not _hears(items[item_id]):
        raise ShowError(
            f"'{at}' is no microphone of this show",
            where=where,
            expected="an item with a microphone",
            remedy=did_you_mean(item_id, [each for each in items if _hears(items[each])])
            or "Name the item that hears this source.",
        )
    return item_id


def _hears(item: RigItem) -> bool:
    return any(origin.kind == "air" for _, path in item.paths() for origin in path.origins)
