"""The flow drawing as a sheet: pictures on paper, in a spreadsheet who gives to whom."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from levelhead.exchange.paperwork.work import Lead, Paperwork, listed
from levelhead.exchange.sheet.pictured import Pictured
from levelhead.exchange.sheet.plan import SheetPlan
from levelhead.exchange.sheet.values import Column
from levelhead.rig.model import RigPort

__all__ = ["FLOW"]

COLUMNS: Final = (
    Column("item", "Item", 2.0),
    Column("kind", "Kind of gear", 2.0),
    Column("from", "Takes from", 3.0),
    Column("to", "Gives to", 3.0),
)


def _rows(work: Paperwork) -> Iterator[dict[str, str]]:
    for item in work.rig.items.values():
        ports = [port for port in work.rig.ports.values() if port.item.id == item.id]
        gives = [port for port in ports if port.plan.gives]
        takes = [port for port in ports if not port.plan.gives]
        yield {
            "item": work.called(item),
            "kind": item.plan.label,
            "from": _others(work, takes),
            "to": _others(work, gives),
        }


def _others(work: Paperwork, ports: list[RigPort]) -> str:
    leads: list[tuple[Lead, RigPort]] = [
        (work.lead_at[port.address], port) for port in ports if port.address in work.lead_at
    ]
    ends = (work.end(other) for lead, port in leads for other in lead.others(port.address))
    return listed(dict.fromkeys(ends))


def _pictures(work: Paperwork) -> tuple[Pictured, ...]:
    show = work.rig.show.name
    solution = work.check.trial.solution
    return (Pictured("flow", f"Signal flow of {show}", solution, work.check.findings),)


FLOW: Final = SheetPlan(
    name="flow",
    title="Signal flow",
    about="who gives to whom, from left to right, with findings in place",
    columns=COLUMNS,
    rows=_rows,
    note=lambda _: (
        "Thin: a signal lead. Thick: loudspeaker. Dotted: digital. Dashed: back into something "
        "before it. A number at a thick line: so many cables side by side. Where a lead leaves a "
        "part of the drawing, its other end is named."
    ),
    is_wide=True,
    is_on_request=True,
    pictures=_pictures,
    has_words_only_in_lists=True,
)
