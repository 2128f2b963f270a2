"""Voices and instruments of a show, in front of the items that hear them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from levelhead.errors import ShowError
from levelhead.gear.names import did_you_mean
from levelhead.rig.locating import Resolving
from levelhead.rig.model import RigItem, RigSource
from levelhead.show.model import Source

__all__ = ["place_sources"]


def place_sources(resolving: Resolving, items: Mapping[str, RigItem]) -> Iterator[RigSource]:
    """Every source of a show, in front of its microphone."""
    for source in resolving.show.sources.values():
        if resolving.is_lost(source.at):
            continue
        where = resolving.locate.where("sources", source.id)
        with resolving.collecting(where):
            yield _placed(source, resolving, items, where)


def _placed(
    source: Source, resolving: Resolving, items: Mapping[str, RigItem], where: str
) -> RigSource:
    air = resolving.book.plan(source.type, {}, {}).air
    if air is None:
        raise ShowError(
            f"'{source.type}' makes no sound in the air",
            where=where,
            expected="a voice or an instrument",
            remedy="List them with: levelhead gear --kind voice",
        )
    item_id = source.at.partition(".")[0]
    if item_id not in items or not _hears(items[item_id]):
        raise ShowError(
            f"'{source.at}' is no microphone of this show",
            where=where,
            expected="an item with a microphone",
            remedy=did_you_mean(item_id, items) or "Name the item that hears this source.",
        )
    distance_m = air.distance_m if source.distance_m is None else source.distance_m
    return RigSource(source.id, source.label or source.id, item_id, air, distance_m)


def _hears(item: RigItem) -> bool:
    return any(origin.kind == "air" for _, path in item.paths() for origin in path.origins)
