"""The patch: box by box and socket by socket, what is plugged there and where it comes out."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Final

from levelhead.exchange.paperwork.work import Lead, Paperwork
from levelhead.exchange.sheet.plan import SheetPlan
from levelhead.exchange.sheet.values import LOOK_AT, Column
from levelhead.rig.model import RigPort

__all__ = ["PATCH"]

COLUMNS: Final = (
    Column("socket", "Socket", 2.4),
    Column("lead", "Lead", 0.7, "right"),
    Column("far", "Other end", 4.0),
    Column("cable", "Cable", 3.0),
    Column("length", "Length", 0.9, "right", "m"),
    LOOK_AT,
    Column("box", "Box", 1.0),
)
_SEVERAL: Final = 2  # plugs from which on an item has a list of its own


def _rows(work: Paperwork) -> Iterator[dict[str, str]]:
    plugs = Counter(port.item.id for lead in work.leads for port in lead.ports)
    boxes = [item for item in work.rig.items if plugs[item] >= _SEVERAL]
    boxes.sort(key=lambda item: item not in work.mixers)  # keeps the order of the show
    for box in boxes:
        for port in work.rig.ports.values():
            if port.item.id == box and port.address in work.lead_at:
                yield _row(work, port, work.lead_at[port.address])


def _row(work: Paperwork, port: RigPort, lead: Lead) -> dict[str, str]:
    return {
        "box": work.called(port.item),
        "socket": work.socket(port),
        "lead": str(lead.number),
        "far": "; ".join(work.end(other) for other in lead.others(port.address)),
        "cable": lead.cable,
        "length": lead.length,
        "note": work.mark(lead.link.ends.values()),
    }


PATCH: Final = SheetPlan(
    name="patch",
    title="Patch",
    about="box by box and socket by socket: what is plugged, and where its other end is",
    columns=COLUMNS,
    rows=_rows,
    note=lambda _: (
        "Items with two plugs or more; whatever has one stands at its other end. A lead has the "
        "same number on its labels and in all lists."
    ),
    group_by="box",
    has_ticks=True,
    cautions=lambda work: work.cautions,
)
