"""Names of sockets as short as they can be said on paper: ``ch1``, ``ch1, mic``, ``st1, left``.

A strip with one input of a kind needs no more than its own name; of several, the words that tell
them apart. A socket of the item itself keeps its label whole.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Final

from levelhead.rig.model import RigPort

__all__ = ["apart", "socket_name", "strip_name"]

_OUTWARD: Final = frozenset({"out", "loudspeaker", "through"})


def apart(label: str, others: Iterable[str]) -> str:
    """The words of a label that tell it from others; none where there are none to tell it from.

    >>> apart("mic input", ["line input with gain"]), apart("bus output", [])
    ('mic', '')
    >>> apart("stereo line input left", ["stereo line input right"])
    'left'
    >>> apart("line input", ["line input with gain"])
    'line input'
    """
    words = label.split()
    rest = [other.split() for other in others if other != label]
    if not rest:
        return ""
    shared = 0
    while all(each[: shared + 1] == words[: shared + 1] for each in rest) and shared < len(words):
        shared += 1
    for count in range(shared + 1, len(words) + 1):
        if all(each[:count] != words[:count] for each in rest):
            return " ".join(words[shared:count])
    return label


def strip_name(port: RigPort) -> str:
    """A socket among those of its strip that go the same way: ``ch1``, ``ch1, mic``."""
    alike = (each for each in _labels(port) if each[1] == (port.plan.role in _OUTWARD))
    return _joined(port, [label for label, _ in alike])


def socket_name(port: RigPort, plugged: Iterable[RigPort]) -> str:
    """A socket beside those of its item that are in use; both ways where a strip is used so."""
    is_outward = port.plan.role in _OUTWARD
    strip = [each for each in plugged if each.block.name == port.block.name]
    if all((each.plan.role in _OUTWARD) == is_outward for each in strip):
        return strip_name(port)
    return _joined(port, [label for label, _ in _labels(port)])


def _labels(port: RigPort) -> Iterator[tuple[str, bool]]:
    """Labels of its strip's ports, each with whether a signal leaves there."""
    for each in port.block.plan.ports.values():
        yield each.label, each.role in _OUTWARD


def _joined(port: RigPort, labels: Iterable[str]) -> str:
    if not port.block.name:
        return port.plan.label
    words = apart(port.plan.label, labels)
    return f"{port.block.name}, {words}" if words else port.block.name
