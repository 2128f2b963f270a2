"""Cables and adaptors worked out from the links: how many of which length, what for, and spares."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

from levelhead.exchange.paperwork.work import Lead, Paperwork, figure_text, numbers_text
from levelhead.exchange.sheet.plan import SheetPlan
from levelhead.exchange.sheet.values import Column
from levelhead.gear.plan import CablePlan
from levelhead.show.lengths import checked_cable

__all__ = ["CABLE_LIST", "SPARE_RULE", "Needed", "needed_cables", "spares_for"]

FOR_EVERY: Final = 8  # in use, one spare; common practice
SPARE_RULE: Final = (
    f"Spares: one for every {FOR_EVERY} of a kind in use or part of {FOR_EVERY}, in the longest "
    "length in use, which serves for all shorter ones (common practice)."
)
COLUMNS: Final = (
    Column("cable", "Cable or adaptor", 4.0),
    Column("length", "Length", 0.9, "right", "m"),
    Column("count", "In use", 0.8, "right"),
    Column("spare", "Spare", 0.8, "right"),
    Column("stock", "In stock", 0.8, "right"),
    Column("missing", "Missing", 0.9, "right"),
    Column("leads", "Lead, into", 4.0),
    Column("kind", "Kind", 1.0),
)
_CABLES: Final = "Cables and leads"
_ADAPTORS: Final = "Adaptors"


@dataclass(slots=True)
class Needed:
    """Cables of one type and length: the leads they are in, spares wanted, and what there is.

    ``in_stock`` and ``missing`` are ``None`` where the show says nothing about it.
    """

    plan: CablePlan
    length_m: float | None
    leads: list[Lead] = field(default_factory=list)
    assumed: int = 0
    spares: int = 0
    in_stock: int | None = None
    missing: int | None = None

    @property
    def count(self) -> int:
        """How many are in use."""
        return len(self.leads)


def spares_for(count: int) -> int:
    """Spares for so many in use.

    >>> [spares_for(count) for count in (0, 1, 8, 9)]
    [0, 1, 1, 2]
    """
    return math.ceil(count / FOR_EVERY)


def needed_cables(work: Paperwork) -> tuple[Needed, ...]:
    """All cables of the links, cables before adaptors, then by label and length."""
    found: dict[tuple[str, float | None], Needed] = {}
    for lead in work.leads:
        for piece in lead.pieces:
            key = (piece.plan.type_id, piece.length_m)
            needed = found.setdefault(key, Needed(piece.plan, piece.length_m))
            needed.leads.append(lead)
            needed.assumed += piece.is_assumed
    rows = sorted(
        found.values(),
        key=lambda each: (each.length_m is None, each.plan.label, each.length_m or 0.0),
    )
    for group in _by_type(rows).values():
        _put_spares(group, _stock_lengths_m(work, group[0].plan.type_id))
    return tuple(rows)


def _by_type(rows: Sequence[Needed]) -> Mapping[str, list[Needed]]:
    groups: dict[str, list[Needed]] = defaultdict(list)
    for row in rows:
        groups[row.plan.type_id].append(row)
    return groups


def _stock_lengths_m(work: Paperwork, type_id: str) -> list[float] | None:
    """Length of each piece of a type in stock; ``None`` where the stock lists no cable at all."""
    book, stock = work.rig.book, work.rig.show.stock
    cables = {thing: checked_cable(thing) for thing in stock}
    known = {each.type for each in cables.values()}
    if not any(each in book.ids and book.entry(each).ends is not None for each in known):
        return None
    return [
        math.inf if cable.length_m is None else cable.length_m
        for thing, cable in cables.items()
        if cable.type == type_id
        for _ in range(stock[thing])
    ]


def _put_spares(rows: Sequence[Needed], stock_m: list[float] | None) -> None:
    """Spares of a type go to its longest row; a piece in stock to the longest that it reaches."""
    longest = rows[-1]
    longest.spares = spares_for(sum(row.count for row in rows))
    if stock_m is None:
        return
    left = list(stock_m)
    for row in reversed(rows):
        reaching = [each for each in left if each >= (row.length_m or 0.0)]
        row.in_stock, row.missing = len(reaching), 0
        left = [each for each in left if each not in reaching]
    longest.missing = max(0, longest.spares - (longest.in_stock or 0))


def _rows(work: Paperwork) -> Iterator[dict[str, str]]:
    for needed in needed_cables(work):
        yield {
            "kind": _ADAPTORS if needed.length_m is None else _CABLES,
            "cable": needed.plan.label,
            "length": "" if needed.length_m is None else figure_text(needed.length_m),
            "count": str(needed.count),
            "spare": str(needed.spares or ""),
            "stock": _told(needed.in_stock),
            "missing": _told(needed.missing),
            "leads": _uses(work, needed),
        }


def _told(count: int | None) -> str:
    """A count; a dash where nobody said, nothing where there is none."""
    return "–" if count is None else str(count or "")


def _uses(work: Paperwork, needed: Needed) -> str:
    """Lead numbers by the item that they go into: ``1–4 into Desk; 9 into Hall amplifier``."""
    into: dict[str, list[int]] = defaultdict(list)
    for lead in needed.leads:
        into[work.called(lead.ports[-1].item)].append(lead.number)
    words = "; ".join(f"{numbers_text(numbers)} into {item}" for item, numbers in into.items())
    if not needed.assumed:
        return words
    return f"{words} (length not given, the usual one taken: {needed.assumed})"


def _note(work: Paperwork) -> str:
    rows = needed_cables(work)
    cables = sum(row.count for row in rows if row.length_m is not None)
    adaptors = sum(row.count for row in rows if row.length_m is None)
    counted = f"In use: {_counted(cables, 'cable')}, {_counted(adaptors, 'adaptor')}."
    return f"{counted} {_shortfall(rows)} {SPARE_RULE}"


def _shortfall(rows: Sequence[Needed]) -> str:
    """What of the spares has to be found before the day."""
    spares = _counted(sum(row.spares for row in rows), "spare")
    if rows and all(row.in_stock is None for row in rows):
        return (
            f"To bring besides: {spares}; the show lists no cables in stock, so nothing is called "
            "missing."
        )
    missing = sum(row.missing or 0 for row in rows)
    lacks = f"{missing} {'is' if missing == 1 else 'are'} missing in stock: buy or borrow"
    if not missing:
        return f"To bring besides: {spares}, all of them in stock."
    return (
        f"To bring besides: {spares}, of which {lacks}. "
        "In stock is what is beside the gear in use, at the longest length that it serves."
    )


def _counted(count: int, what: str) -> str:
    """A count with its noun.

    >>> _counted(0, "adaptor"), _counted(1, "cable")
    ('no adaptors', '1 cable')
    """
    return f"{count or 'no'} {what}{'' if count == 1 else 's'}"


CABLE_LIST: Final = SheetPlan(
    name="cable-list",
    title="Cables and adaptors",
    about="cables and adaptors by type and length, what they are for, spares, what stock lacks",
    columns=COLUMNS,
    rows=_rows,
    note=_note,
    group_by="kind",
    has_ticks=True,
    is_wide=True,
)
