"""Cables and adaptors."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from levelhead.gear.compile.parts import pin_place
from levelhead.gear.compile.standing import Standing
from levelhead.gear.figures import Figure, RawFigure
from levelhead.gear.model import SOCKET, TypeEntry
from levelhead.gear.plan import CablePlan, PinPlace

__all__ = ["compile_cable"]

_USUAL_LENGTH: Final = "3 m"
# What the contacts and joints of both plugs add to a conductor. Recalled: connector standards
# allow some 5 to 20 mohm for a contact when new, most are better.
_CONTACT: Final[RawFigure] = {
    "value": "5 mohm",
    "range": ["2 mohm", "20 mohm"],
    "source": "from memory",
}


def compile_cable(type_id: str, entry: TypeEntry) -> CablePlan:
    """Plan of a cable or adaptor type; an adaptor has conductors of no length."""
    ends = entry.ends or {}
    source = entry.source if entry.wire is None else entry.wire.source or entry.source
    standing = Standing(type_id, source, {}, {})
    return CablePlan(
        type_id=type_id,
        label=entry.label,
        ends=entry.connectors,
        sockets=frozenset(end for end, text in ends.items() if text.endswith(SOCKET)),
        joins=tuple(_joins(entry)),
        usual_length_m=standing.figure(
            entry.usual_length or _USUAL_LENGTH, "m", "usual-length"
        ).value,
        **_conductors(entry, standing),
    )


def _joins(entry: TypeEntry) -> Iterator[tuple[PinPlace, PinPlace]]:
    for start, ends in (entry.map or {}).items():
        for end in [ends] if isinstance(ends, str) else ends:
            yield pin_place(start), pin_place(end)


def _conductors(entry: TypeEntry, standing: Standing) -> dict[str, Figure | None]: ...
