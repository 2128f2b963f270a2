"""The sheet of changes: one line each, to be handed round or written into older paper by hand."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Final

from levelhead.exchange.paperwork.named import Named
from levelhead.exchange.printed.crew_changes import cables_changed
from levelhead.exchange.printed.since import Dated, Held, Since
from levelhead.exchange.sheet.values import Column, Sheet, SheetHead
from levelhead.show.model import Show

__all__ = [
    "CHANGES",
    "cables_words",
    "changed_sheet",
    "changes_sheet",
    "exchange_lines",
    "group_words",
    "time_words",
]

CHANGES: Final = "changes"
EXCHANGE: Final = "Paper to exchange (when it was printed, and by whom)"
COLUMNS: Final = (
    Column("line", "Change", 8.0),
    Column("when", "When", 1.6),
    Column("who", "Who", 1.6),
    Column("since", "Since", 1.0),
)


def changed_sheet(head: SheetHead, found: Sequence[Since]) -> Sheet:
    """What to do with the paper that lies there, then the changes of all states it was made of."""
    groups = [(group_words(each), each.changes) for each in found if each.is_stale]
    note = f"What changed up to state {head.fingerprint}."
    return changes_sheet(head, [(EXCHANGE, _exchanges(found)), *groups], note)


def _exchanges(found: Sequence[Since]) -> list[Dated]:
    """A line for whatever is to be thrown away or put in."""
    stale = [each for since in found for each in since.sheets if not each.is_current]
    return [
        Dated(f"{each.title}: {line}", each.printed.at, each.printed.person)
        for each in stale
        for line in exchange_lines(each)
    ]


def exchange_lines(sheet: Held) -> tuple[str, ...]:
    """What to do with the paper of a sheet that is out of date."""
    if sheet.pages is not None:
        return sheet.pages.lines
    state = sheet.printed.fingerprint
    return (f"throw away all with fingerprint {state}, put in the whole sheet",)


def changes_sheet(
    head: SheetHead, groups: Sequence[tuple[str, Sequence[Dated]]], note: str
) -> Sheet:
    """The sheet: changes under what they are counted from.

    Parameters
    ----------
    head
        Of the show as it is now.
    groups
        Headings such as ``Since 17:05 (a1b2c3d4): input list, patch``, with their changes.
    note
        What stands above.
    """
    rows = tuple(
        {
            "line": each.line,
            "when": time_words(each.at),
            "who": each.person,
            "since": heading,
        }
        for heading, changes in groups
        for each in changes
    )
    return Sheet(
        name=CHANGES,
        title="Changes",
        head=head,
        columns=COLUMNS,
        rows=rows,
        note=note,
        group_by="since" if any(heading for heading, _ in groups) else None,
        has_ticks=True,
        is_wide=False,
        nothing="Nothing changed.",
    )


def group_words(since: Since) -> str:
    """What changes are counted from, and on which sheets they are missing."""
    stale = [each.title for each in since.sheets if not each.is_current]
    on = f". Not yet on paper of then: {', '.join(stale)}" if stale else ""
    return f"Since {time_words(since.at)}, state {since.fingerprint}{on}"


def time_words(at: datetime | None) -> str:
    """A time as a crew says it, in the time of this place; empty where nobody knows."""
    return "" if at is None else at.astimezone().strftime("%d %b %H:%M")


def cables_words(old: Show, new: Show, named: Named) -> str:
    """Cables that the changes take or leave over."""
    changed = cables_changed(old, new)
    words = (f"{abs(by)} {_more(by)}: {named.thing(name)}" for name, by in changed)
    return "; ".join(words)


def _more(by: int) -> str:
    return "more" if by > 0 else "fewer"
