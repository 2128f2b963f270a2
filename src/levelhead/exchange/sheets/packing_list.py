"""The packing list: everything by kind, cables with their spares, mains leads and batteries."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator
from typing import Final

from levelhead.exchange.paperwork.work import Paperwork, figure_text, listed
from levelhead.exchange.sheet.plan import SheetPlan
from levelhead.exchange.sheet.values import Column
from levelhead.exchange.sheets.cable_list import SPARE_RULE, needed_cables, spares_for
from levelhead.gear.model import CELLS
from levelhead.rig.model import RigItem

__all__ = ["PACKING_LIST"]

COLUMNS: Final = (
    Column("count", "How many", 0.8, "right"),
    Column("what", "What", 4.0),
    Column("which", "Which", 4.0),
    Column("kind", "Kind", 1.0),
)
_GROUPS: Final = {
    "microphone": "Microphones",
    "instrument": "Instruments",
    "player": "Players and recorders",
    "box": "Boxes",
    "mixer": "Mixers",
    "processor": "Processors",
    "amplifier": "Amplifiers",
    "loudspeaker": "Loudspeakers and headphones",
    "feed": "From the house, not packed",
}
_CABLES: Final = "Cables and adaptors, spares included"
_BATTERIES: Final = "Batteries, fresh or charged, spares included"
_POWER: Final = "Mains leads and supplies, spares included"
_OUTLETS: Final = "Plugs at each outlet: bring strips and extension leads"
_LEADS: Final = {
    "mains": "Mains lead, three-pole, with protective earth",
    "class-2": "Mains lead or power supply, two-pole (double insulated)",
    "charger": "Charger or power supply",
}


def _rows(work: Paperwork) -> Iterator[dict[str, str]]:
    yield from _items(work)
    for needed in needed_cables(work):
        length = "" if needed.length_m is None else f", {figure_text(needed.length_m)} m"
        spare = f"{needed.spares} spare among them" if needed.spares else ""
        yield _row(_CABLES, needed.count + needed.spares, f"{needed.plan.label}{length}", spare)
    yield from _batteries(work)
    yield from _power(work)


def _row(kind: str, count: int, what: str, which: str) -> dict[str, str]:
    return {"kind": kind, "count": str(count), "what": what, "which": which}


def _items(work: Paperwork) -> Iterator[dict[str, str]]:
    """Items of one type together, kind by kind."""
    found: dict[str, list[RigItem]] = defaultdict(list)
    for item in work.rig.items.values():
        found[item.plan.type_id].append(item)
    kinds = list(_GROUPS)
    for items in sorted(found.values(), key=lambda each: kinds.index(each[0].plan.kind)):
        plan = items[0].plan
        which = listed(work.called(item) for item in items)
        yield _row(_GROUPS[plan.kind], len(items), plan.label, which)


def _power(work: Paperwork) -> Iterator[dict[str, str]]:
    leads: dict[str, list[str]] = defaultdict(list)
    for item in work.rig.items.values():
        ways = {way.kind for way in item.plan.powered_by}
        if item.plan.kind == "feed":
            continue
        if {"battery", "mains"} <= ways:
            leads["charger"].append(work.called(item))
        elif item.plan.earth in _LEADS:
            leads[item.plan.earth].append(work.called(item))
    for kind, names in leads.items():
        spare = 0 if kind == "charger" else spares_for(len(names))
        which = listed(names) + (f"; {spare} spare" if spare else "")
        yield _row(_POWER, len(names) + spare, _LEADS[kind], which)
    for outlet, names in _plugs(work).items():
        yield _row(_OUTLETS, len(names), outlet, listed(names))


def _batteries(work: Paperwork) -> Iterator[dict[str, str]]:
    """Batteries by what shops call them; of packs that are charged only the volts are known."""
    counts: Counter[str] = Counter()
    users: dict[str, list[str]] = defaultdict(list)
    for item in work.rig.items.values():
        for what, count in _cells(item):
            counts[what] += count
            users[what].append(f"{work.called(item)} ({count})")
    for what, count in counts.items():
        yield _row(_BATTERIES, 2 * count, what, f"{listed(users[what])}; as many spares")


def _cells(item: RigItem) -> Iterator[tuple[str, int]]:
    """Kind and count of what an item takes."""
    for each in item.plan.batteries:
        yield f"Battery, {CELLS[each.cell]} ({each.cell})", each.count
    ways = {way.kind: way for way in item.plan.powered_by}
    pack = ways.get("battery")
    if pack is not None and pack.minimum and not item.plan.batteries and "mains" not in ways:
        yield f"Charged pack of {figure_text(pack.minimum.value)} V", 1


def _plugs(work: Paperwork) -> dict[str, list[str]]:
    """What hangs on each outlet, to pack strips and extension leads by."""
    found: dict[str, list[str]] = defaultdict(list)
    for item in work.rig.items.values():
        if work.feeding(item):
            found[work.feeding(item)].append(work.called(item))
    return found


def _note(_: Paperwork) -> str:
    return (
        f"{SPARE_RULE} Mains leads likewise; for each battery in use another one. Wireless sets "
        "differ: look which battery yours take. Not known here, add by hand: stands, clips, tape, "
        "strips and extension leads."
    )


PACKING_LIST: Final = SheetPlan(
    name="packing-list",
    title="Packing list",
    about="everything by kind, with cables, mains leads, power supplies, batteries and spares",
    columns=COLUMNS,
    rows=_rows,
    note=_note,
    group_by="kind",
    has_ticks=True,
)
