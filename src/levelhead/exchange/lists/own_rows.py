"""Our own input list come back from a spreadsheet, beside what the show prints now."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from levelhead.exchange.lists.model import Question
from levelhead.exchange.lists.tables import Table, own_heading
from levelhead.exchange.paperwork.socket_names import strip_name
from levelhead.exchange.sheets.input_list import input_list
from levelhead.gear.book import GearBook
from levelhead.planning.check import Check
from levelhead.planning.trial import try_show
from levelhead.rig.model import Rig
from levelhead.show.edits import Edit, Plug, Unplug
from levelhead.show.model import Link, Show

__all__ = ["OwnChanges", "OwnRow", "Printed", "printed_rows"]

Row = Mapping[str, str]


@dataclass(frozen=True, slots=True)
class OwnRow:
    """A row of the list that came back: its cells by their keys, and where it stands."""

    where: str
    cells: Row
    address: str | None  # the socket that its mixer and input name

    @property
    def content(self) -> tuple[str, str]:
        """What goes in there: source, and gear."""
        return self.cells.get("source", ""), self.cells.get("through", "")


@dataclass(frozen=True, slots=True)
class Printed:
    """The input list as the show prints it now: rows by the socket, the rig, headings by key."""

    rows: Mapping[str, Row]
    rig: Rig
    labels: Mapping[str, str]
    sockets: Mapping[tuple[str, str], str]

    def read(self, table: Table) -> list[OwnRow]:
        """Rows of a table that has its headings."""
        at = own_heading(table)
        if at is None:
            return []
        keys = {label: key for key, label in self.labels.items()}
        heads = [keys.get(cell, "") for cell in table.rows[at]]
        found, mixer = [], ""
        for number in range(at + 1, len(table.rows)):
            row = table.rows[number]
            cells = {key: row[i] if i < len(row) else "" for i, key in enumerate(heads) if key}
            mixer = cells.get("mixer") or mixer  # said once above its rows, or in each of them
            if not cells.get("input"):
                continue
            address = self.sockets.get((mixer, cells["input"]))
            found.append(OwnRow(table.where(number), cells, address))
        return found


@dataclass(slots=True)
class OwnChanges:
    """Edits, in an order in which they fit; rows that are new; what is asked and told."""

    printed: Printed
    show: Show
    book: GearBook
    answers: Mapping[str, str]
    unplugs: list[Link] = field(default_factory=list)
    plugs: list[Plug] = field(default_factory=list)
    changes: list[Edit] = field(default_factory=list)
    new: list[OwnRow] = field(default_factory=list)
    questions: list[Question] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)

    @property
    def edits(self) -> tuple[Edit, ...]:
        """Changes of what stays where it is, then plugs out, then plugs in."""
        unplugs = (Unplug(link) for link in dict.fromkeys(self.unplugs))
        return (*self.changes, *unplugs, *self.plugs)


def printed_rows(show: Show, book: GearBook) -> Printed:
    """The rows that the show prints now."""
    trial = try_show(show, book)
    judgement = trial.judgement
    sheet = input_list(Check(judgement.verdict, judgement.findings, (), trial))
    rig = trial.solution.rig
    sockets = dict(_sockets(rig))
    rows = {sockets[row["mixer"], row["input"]]: row for row in sheet.rows}
    return Printed(rows, rig, {each.key: each.label for each in sheet.columns}, sockets)


def _sockets(rig: Rig) -> Iterator[tuple[tuple[str, str], str]]:
    """Addresses of inputs by the words that the sheet has for them, and by their whole labels.

    Ports behind one hole share their words; the one that is plugged comes last and counts.
    """
    inputs = [port for port in rig.ports.values() if port.plan.role == "in"]
    inputs.sort(key=lambda port: port.link is not None)
    whole = (f"{port.block.name}, {port.plan.label}".removeprefix(", ") for port in inputs)
    short = (strip_name(port) for port in inputs)
    for names in (whole, short):
        for port, socket in zip(inputs, names, strict=True):
            for mixer in (port.item.label, f"{port.item.label} ({port.item.id})"):
                yield (mixer, socket), port.address
