"""How many plugs and boxes lie between sockets, whichever way signals go."""

from __future__ import annotations

from collections import deque
from collections.abc import Mapping

from levelhead.rig.model import Rig

__all__ = ["plug_steps"]


def plug_steps(rig: Rig, item: str) -> Mapping[str, int]:
    """Steps from an item to each socket that hangs together with it.

    A step leads over a link, or from socket to socket of one item; those of the item itself are no
    step away. An item that the rig does not have reaches nothing.
    """
    together = _together(rig)
    steps = {address: 0 for address, port in rig.ports.items() if port.item.id == item}
    waiting = deque(steps)
    while waiting:
        at = waiting.popleft()
        for address in together[at] - steps.keys():
            steps[address] = steps[at] + 1
            waiting.append(address)
    return steps


def _together(rig: Rig) -> Mapping[str, set[str]]:
    """Sockets that each is one step from: of its item, and at the other ends of its link."""
    sockets_of: dict[str, set[str]] = {}
    for address, port in rig.ports.items():
        sockets_of.setdefault(port.item.id, set()).add(address)
    found: dict[str, set[str]] = {}
    for group in (*sockets_of.values(), *(set(link.ports) for link in rig.links)):
        for address in group:
            found.setdefault(address, set()).update(group)
    return found
