"""The packing list: everything by kind, cables with their spares, mains leads and batteries."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator
from typing import Final

from levelhead.exchange.cable_list import SPARE_RULE, needed_cables, spares_for
from levelhead.exchange.paperwork import Paperwork, figure_text
from levelhead.exchange.plan import SheetPlan
from levelhead.exchange.sheet import Column
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
_POWER: Final = "Mains leads and batteries"
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
        which = ", ".join(work.called(item) for item in items)
        yield _row(_GROUPS[plan.kind], len(items), plan.label, which)


def _power(work: Paperwork) -> Iterator[dict[str, str]]:
    leads: dict[str, list[str]] = defaultdict(list)
    batteries: Counter[float] = Counter()
    users: dict[float, list[str]] = defaultdict(list)
    for item in work.rig.items.values():
        if item.plan.kind == "feed":
            continue
        ways = {way.kind: way for way in item.plan.powered_by}
        if {"battery", "mains"} <= ways.keys():
            leads["charger"].append(work.called(item))
        elif item.plan.earth in _LEADS:
            leads[item.plan.earth].append(work.called(item))
        elif "battery" in ways and ways["battery"].minimum is not None:
            volts = ways["battery"].minimum.value
            batteries[volts] += 1
            users[volts].append(work.called(item))
    for kind, names in leads.items():
        spare = 0 if kind == "charger" else spares_for(len(names))
        which = ", ".join(names) + (f"; {spare} spare" if spare else "")
        yield _row(_POWER, len(names) + spare, _LEADS[kind], which)
    for outlet, names in _plugs(work).items():
        yield _row(_POWER, len(names), f"Plugs at {outlet}", ", ".join(names))
    for volts, count in batteries.items():
        which = ", ".join(users[volts]) + "; as many spares"
        yield _row(_POWER, 2 * count, f"Battery or set of {figure_text(volts)} V", which)


def _plugs(work: Paperwork) -> dict[str, list[str]]:
    """What hangs on each outlet, to pack strips and extension leads by."""
    found: dict[str, list[str]] = defaultdict(list)
    for item in work.rig.items.values():
        if work.feeding(item):
            found[work.feeding(item)].append(work.called(item))
    return found


def _note(_: Paperwork) -> str:
    return (
        f"{SPARE_RULE} Mains leads likewise; a fresh battery or set of batteries for each in use, "
        "and as many spares. Not known here, add by hand: stands, clips, tape, batteries of "
        "wireless transmitters, extension leads."
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
