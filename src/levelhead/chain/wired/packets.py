"""Networks and USB: many channels of numbers, both ways in one cable.

What leaves one socket as a channel arrives at the other as the channel of the same number; full
scale is full scale at both ends. How long that takes stands with the stages on both sides.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from levelhead.circuit.limits.currents import Driver
from levelhead.gear.plan import PACKETS
from levelhead.rig.model import Rig, RigLink, RigPort

__all__ = ["links_of_numbers", "packet_inputs", "packet_ways"]

_TWO = 2  # ends of such a cable


def links_of_numbers(rig: Rig) -> Iterator[tuple[RigPort, RigPort]]:
    """Both ends of every link that joins two sockets of one network or USB, each way."""
    for link in rig.links:
        ends = [rig.ports[each] for each in link.ports]
        if len(ends) == _TWO and _passes(link, ends):
            yield ends[0], ends[1]
            yield ends[1], ends[0]


def _passes(link: RigLink, ends: list[RigPort]) -> bool:
    kinds = {port.plan.carries for port in ends}
    return (
        len(kinds) == 1
        and kinds <= PACKETS
        and all(port.plan.channels for port in ends)
        and all(each.cable.carries in kinds for each in link.segments)
        and not link.changes
    )


def packet_inputs(rig: Rig) -> Iterator[str]:
    """Addresses of the channels that may arrive at each socket."""
    for one, other in links_of_numbers(rig):
        for channel in range(1, min(one.plan.channels, other.plan.channels) + 1):
            yield f"{other.address}.{channel}"


def packet_ways(
    rig: Rig, drivers: Mapping[Driver, int], sockets: Mapping[str, int]
) -> Iterator[tuple[int, int]]:
    """From every channel that is sent to where it arrives, as numbers of points."""
    for one, other in links_of_numbers(rig):
        sender = one.sibling(one.plan.joined or one.plan.name)
        for channel in range(1, min(one.plan.channels, other.plan.channels) + 1):
            source = drivers.get(Driver(sender, str(channel)))
            if source is not None:
                yield source, sockets[f"{other.address}.{channel}"]
