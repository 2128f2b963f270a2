"""The stage plan as a sheet: what stands where, its lines to the box, its mains."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from levelhead.exchange.paperwork.work import Paperwork, figure_text, joined_words, listed
from levelhead.exchange.sheet.pictured import Pictured, Stage
from levelhead.exchange.sheet.plan import SheetPlan
from levelhead.exchange.sheet.values import Column
from levelhead.rig.model import RigItem
from levelhead.show.model import Place
from levelhead.verdicts.read.reach import is_for_the_stage

__all__ = ["STAGE"]

NEAR_M: Final = 4.0  # round what plays: what stands further away is not on the stage
_PLAYS: Final = frozenset({"microphone", "instrument"})
COLUMNS: Final = (
    Column("thing", "What", 2.4),
    Column("place", "Place", 1.7, unit="m: right, into the hall"),
    Column("lines", "Lines", 4.4),
    Column("mains", "Mains", 2.0),
    Column("where", "Where", 1.0),
)
ON: Final = "On the stage"
AWAY: Final = "Further away"
NOWHERE: Final = "Without a place"


def _places(work: Paperwork) -> dict[str, Place]:
    items = work.rig.show.items.values()
    return {each.id: each.at for each in items if each.at is not None}


def _on_stage(work: Paperwork) -> tuple[str, ...]:
    """Items with a place on the stage: what plays and what is for the players, and all near it."""
    places = _places(work)
    core = [places[item] for item in places if _is_core(work, item)]
    if not core:
        return tuple(places)
    return tuple(item for item, at in places.items() if _is_near(at, core))


def _is_core(work: Paperwork, item: str) -> bool:
    return work.rig.items[item].plan.kind in _PLAYS or is_for_the_stage(work.rig, item)


def _is_near(at: Place, core: Sequence[Place]) -> bool:
    """Within a rectangle round what plays, with room at each side."""
    return all(
        min(each[axis] for each in core) - NEAR_M
        <= at[axis]
        <= max(each[axis] for each in core) + NEAR_M
        for axis in (0, 1)
    )


# ---------------------------------------------------------------- what is written


def _rows(work: Paperwork) -> Iterator[dict[str, str]]:
    places, stage = _places(work), set(_on_stage(work))
    groups: dict[str, list[dict[str, str]]] = {ON: [], AWAY: [], NOWHERE: []}
    for item in work.rig.items.values():
        at = places.get(item.id)
        where = NOWHERE if at is None else (ON if item.id in stage else AWAY)
        groups[where].append(
            {
                "where": where,
                "thing": joined_words([work.called(item), *_heard(work, item)]),
                "place": "" if at is None else ", ".join(map(figure_text, at[:2])),
                "lines": listed(_lines(work, item)),
                "mains": work.feeding(item),
            }
        )
    for rows in groups.values():
        yield from rows


def _heard(work: Paperwork, item: RigItem) -> list[str]:
    """Who sounds in front of it."""
    found = (source.label for source in work.rig.sources if source.at.partition(".")[0] == item.id)
    return [each for each in found if each.casefold() not in work.called(item).casefold()]


def _lines(work: Paperwork, item: RigItem) -> Iterator[str]:
    """Where its lines go; of what takes only, where they come from."""
    ports = [port for port in work.rig.ports.values() if port.item.id == item.id]
    gives = [port for port in ports if port.plan.gives and port.address in work.lead_at]
    takes = [port for port in ports if port.address in work.lead_at and port not in gives]
    word, told = ("to", gives) if gives else ("from", takes)
    if item.id in work.mixers:
        return
    for port in told:
        ends = (work.end(other) for other in work.lead_at[port.address].others(port.address))
        yield f"{word} {listed(ends)}"


# ---------------------------------------------------------------- what is drawn


def _pictures(work: Paperwork) -> tuple[Pictured, ...]:
    items = _on_stage(work)
    if not items:
        return ()
    stage = Stage(
        items,
        tuple(dict.fromkeys(_drawn_lines(work, items))),
        {item: tuple(_inputs(work, item)) for item in items},
        _drops(work, items),
    )
    words = f"Stage plan of {work.rig.show.name}: {len(items)} things from above"
    return (Pictured("stage", words, work.check.trial.solution, stage=stage),)


def _drawn_lines(work: Paperwork, items: Sequence[str]) -> Iterator[tuple[str, str]]:
    """Leads between things on the plan, from what gives to what takes."""
    for lead in work.leads:
        gives = [port.item.id for port in lead.ports if port.plan.gives]
        takes = [port.item.id for port in lead.ports if not port.plan.gives]
        for one in gives:
            yield from ((one, other) for other in takes if one in items and other in items)


def _inputs(work: Paperwork, item: str) -> Iterator[str]:
    """Inputs of boxes and desks that a thing feeds: what a line alone does not tell."""
    for lead in work.leads:
        if any(port.item.id == item and port.plan.gives for port in lead.ports):
            taken = (port for port in lead.ports if work.is_input(port))
            yield from (f"to {work.end(port)}" for port in taken)


def _drops(work: Paperwork, items: Sequence[str]) -> dict[str, tuple[str, ...]]:
    drops: dict[str, tuple[str, ...]] = {}
    for item in items:
        name = work.feeding(work.rig.items[item])
        if name:
            drops[name] = (*drops.get(name, ()), item)
    return drops


def _note(work: Paperwork) -> str:
    if not _places(work):
        return (
            "No places given: nothing in the show says where things stand, so no plan is drawn. "
            "Give each item its place (at: [right, into the hall, up], in metres), or drag it "
            "there on the plan of the app."
        )
    return (
        "Seen from above, the hall at the top; metres from the middle of the stage's edge. Lines "
        "are leads; what would cover another is moved aside, the table has the places. A mains "
        "drop stands in the middle of what it feeds, not where the outlet is."
    )


STAGE: Final = SheetPlan(
    name="stage",
    title="Stage plan",
    about="what stands where, seen from above: places, microphones, wedges, mains drops, lines",
    columns=COLUMNS,
    rows=_rows,
    note=_note,
    group_by="where",
    is_wide=True,
    is_on_request=True,
    pictures=_pictures,
)
