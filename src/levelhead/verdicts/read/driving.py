"""Who drives loudspeakers: what is switched on last and off first, whoever asks.

It follows from what is plugged, not from levels: a fader that is down now is up when it matters.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from levelhead.rig.model import Rig, RigItem
from levelhead.show.addresses import item_of
from levelhead.verdicts.read.reach import Reach

__all__ = ["drivers_by_loudspeaker", "drivers_in_turn"]


def drivers_in_turn(reach: Reach) -> tuple[tuple[RigItem, ...], ...]:
    """Items that drive loudspeakers, those that feed others in a turn before those.

    Within a turn they stand as in the show; what feeds one another in a loop has one turn. An
    amplifier drives whatever is plugged into its loudspeaker socket, a powered loudspeaker itself,
    a mixer with amplifiers its loudspeakers.
    """
    rig = reach.solution.rig
    found = set(_with_loudspeaker_lines(rig)).union(*drivers_by_loudspeaker(reach).values())
    behind = _reached(reach, found)
    before = {
        name: sum(name in behind[other] and other not in behind[name] for other in found)
        for name in found
    }
    return tuple(
        tuple(item for name, item in rig.items.items() if before.get(name) == turn)
        for turn in sorted(set(before.values()))
    )


def drivers_by_loudspeaker(reach: Reach) -> Mapping[int, frozenset[str]]:
    """By the point of each loudspeaker that nobody wears, ids of the items that drive it.

    Those are the last on the way to it that are switched on by themselves, on the mains or with
    batteries: the loudspeaker itself, or what leads to it through copper alone.
    """
    rig = reach.solution.rig
    switched = {name for name, item in rig.items.items() if item.plan.is_switched}
    return {
        number: frozenset(_last_switched(reach, number, switched))
        for number, point in reach.loudspeakers.items()
        if not rig.items[point.item].plan.is_worn
    }


def _last_switched(reach: Reach, loudspeaker: int, switched: set[str]) -> Iterator[str]:
    """Items on the ways back from a loudspeaker, each way as far as the first with a supply."""
    graph = reach.solution.graph
    addresses, is_through = graph.wiring.addresses, graph.is_through
    seen, ahead = {loudspeaker}, [loudspeaker]
    while ahead:
        point = ahead.pop()
        item = item_of(addresses[point])
        if item in switched:
            yield item
            continue
        for edge in graph.arriving_at(point).tolist():
            source = int(graph.columns.source[edge])
            if source not in seen and (is_through[edge] or item_of(addresses[source]) == item):
                seen.add(source)
                ahead.append(source)


def _with_loudspeaker_lines(rig: Rig) -> Iterator[str]:
    """Items on the mains with a plug in a loudspeaker socket, whatever is at its other end."""
    for port in rig.ports.values():
        is_line = port.plan.role == "loudspeaker" and port.link is not None
        if is_line and port.item.plan.is_on_mains:
            yield port.item.id


def _reached(reach: Reach, items: set[str]) -> Mapping[str, set[str]]:
    """By each of some items, those to which anything leads from it, itself among them."""
    at = [item_of(address) for address in reach.solution.graph.wiring.addresses]
    own: dict[str, list[int]] = {item: [] for item in items}
    for number, item in enumerate(at):
        if item in items:
            own[item].append(number)
    return {item: {at[number] for number in reach.onward(own[item])} for item in items}
