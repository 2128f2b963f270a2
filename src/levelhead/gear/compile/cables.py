"""Cables and adaptors."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from levelhead.gear.compile.parts import part_plans, pin_place
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
    ends, wire = entry.ends or {}, entry.wire
    source = entry.source if wire is None else wire.source or entry.source
    standing = Standing(type_id, source, {}, {})

    def per_m(name: str, unit: str) -> Figure | None:
        raw = None if wire is None else getattr(wire, name.replace("-", "_"))
        return standing.optional(raw, unit, f"wire.{name}")

    contact = _CONTACT if wire is None or wire.contact is None else wire.contact
    length = standing.figure(entry.usual_length or _USUAL_LENGTH, "m", "usual-length")
    return CablePlan(
        type_id=type_id,
        label=entry.label,
        ends=entry.connectors,
        sockets=frozenset(end for end, text in ends.items() if text.endswith(SOCKET)),
        joins=tuple(_joins(entry)),
        contact_ohm=standing.figure(contact, "ohm", "wire.contact"),
        core_ohm_per_m=per_m("core", "ohm/m"),
        screen_ohm_per_m=per_m("screen", "ohm/m"),
        core_core_f_per_m=per_m("core-core", "F/m"),
        core_screen_f_per_m=per_m("core-screen", "F/m"),
        usual_length_m=length.value,
        parts=tuple(part_plans(entry, standing)),
        carries=entry.carries,
        reach_m=standing.optional(entry.reach, "m", "reach"),
    )


def _joins(entry: TypeEntry) -> Iterator[tuple[PinPlace, PinPlace]]:
    for start, ends in (entry.map or {}).items():
        for end in [ends] if isinstance(ends, str) else ends:
            yield pin_place(start), pin_place(end)
