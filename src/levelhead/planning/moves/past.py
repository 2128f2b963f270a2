"""Leads past a box that is left out: they reach as far as both that it joined."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from levelhead.gear.plan import CablePlan
from levelhead.show.model import Cable, Link

__all__ = ["lead_past"]

_JOIN: Final = {"xlr-f", "xlr-m"}  # cables whose one end goes into the other of the next
_BESIDE_M: Final = 2.0  # so short a lead joins what stands together and moves: common practice


def lead_past(into: Link, out: Link, cable: CablePlan, ends: Mapping[str, str]) -> Link:
    """The two leads plugged into each other where that goes; else one as long as both."""
    beside, pieces = (*into.beside, *out.beside), (*into.via, *out.via)
    is_one_kind = {each.type for each in pieces} == {cable.type_id}
    if into.via and out.via and is_one_kind and set(cable.ends.values()) == _JOIN:
        return Link(dict(ends), pieces, beside=beside)
    lengths = [each.length_m for each in (into, out) if each.length_m is not None]
    far = [each for each in lengths if each > _BESIDE_M]
    length_m = max(sum(far), *lengths) if lengths else None
    return Link(dict(ends), (Cable(cable.type_id, length_m),), beside=beside)
