"""Labels to print and cut: one for each end of each lead, and one for each channel."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from levelhead.exchange.paperwork.work import Paperwork
from levelhead.exchange.sheet.plan import SheetPlan
from levelhead.exchange.sheet.values import Column
from levelhead.exchange.sheets.input_list import INPUT_LIST

__all__ = ["CABLE_LABELS", "CHANNEL_LABELS"]

_CABLE_COLUMNS: Final = (
    Column("number", "Lead", 1.0, "right"),
    Column("here", "This end", 4.0),
    Column("there", "Far end", 4.0),
    Column("cable", "Cable", 4.0),
)
_CHANNEL_COLUMNS: Final = (
    Column("channel", "Channel", 1.0),
    Column("source", "Source", 3.0),
    Column("through", "By", 3.0),
    Column("mixer", "Mixer", 2.0),
)


def _ends(work: Paperwork) -> Iterator[dict[str, str]]:
    for lead in work.leads:
        for port in lead.ports:
            far = "; ".join(work.end(other) for other in lead.others(port.address))
            yield {
                "number": str(lead.number),
                "here": work.end(port),
                "there": f"→ {far}",
                "cable": lead.words,
            }


def _channels(work: Paperwork) -> Iterator[dict[str, str]]:
    for row in INPUT_LIST.rows(work):
        channel = row["input"].partition(",")[0].removeprefix("ch")
        through = row["through"] if row["through"] != row["source"] else ""
        yield {
            "channel": channel,
            "source": row["source"],
            "through": through,
            "mixer": row["mixer"],
        }


CABLE_LABELS: Final = SheetPlan(
    name="cable-labels",
    title="Labels for cable ends",
    about="a label for each end of each lead: number, this end, far end",
    columns=_CABLE_COLUMNS,
    rows=_ends,
    is_label=True,
)
CHANNEL_LABELS: Final = SheetPlan(
    name="channel-labels",
    title="Labels for channels",
    about="a label for each channel in use: number and source",
    columns=_CHANNEL_COLUMNS,
    rows=_channels,
    is_label=True,
)
