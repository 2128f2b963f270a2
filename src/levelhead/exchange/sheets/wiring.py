"""The wiring drawing as a sheet: every socket in panel order, every cable by its number."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from levelhead.exchange.paperwork.work import Paperwork
from levelhead.exchange.sheet.pictured import Pictured
from levelhead.exchange.sheet.plan import SheetPlan
from levelhead.exchange.sheet.values import Column
from levelhead.rig.model import RigPort

__all__ = ["WIRING"]

_TAKES: Final = frozenset({"in", "insert"})
COLUMNS: Final = (
    Column("box", "Item", 2.0),
    Column("side", "Takes or gives", 1.2),
    Column("socket", "Socket", 2.0),
    Column("lead", "Lead", 0.7, "right"),
    Column("far", "Other end", 3.0),
    Column("length", "Length", 0.9, "right", "m"),
    Column("cable", "Cable", 2.4),
)


def _rows(work: Paperwork) -> Iterator[dict[str, str]]:
    for item in work.rig.items.values():
        for port in work.rig.ports.values():
            if port.item.id == item.id:
                yield _row(work, port)


def _row(work: Paperwork, port: RigPort) -> dict[str, str]:
    row = {
        "box": work.called(port.item),
        "side": "takes" if port.plan.role in _TAKES else "gives",
        "socket": work.socket(port),
    }
    lead = work.lead_at.get(port.address)
    if lead is None:
        return {**row, "far": "free"}
    return {
        **row,
        "lead": str(lead.number),
        "far": "; ".join(work.end(other) for other in lead.others(port.address)),
        "cable": lead.cable,
        "length": lead.length,
    }


def _pictures(work: Paperwork) -> tuple[Pictured, ...]:
    show = work.rig.show.name
    solution = work.check.trial.solution
    return (Pictured("wiring", f"Wiring of {show}", solution, work.check.findings),)


WIRING: Final = SheetPlan(
    name="wiring",
    title="Wiring",
    about="for who plugs: sockets in the order of the panel, each cable with its number",
    columns=COLUMNS,
    rows=_rows,
    note=lambda _: (
        "Sockets stand in the order of the panel; a hollow one is free. The number at both ends "
        "of a lead is that on its labels. Thick: loudspeaker. Dotted: digital. Dashed: back into "
        "something before it. Where a lead leaves a part of the drawing, its other end is named."
    ),
    is_wide=True,
    is_on_request=True,
    pictures=_pictures,
    has_words_only_in_lists=True,
)
