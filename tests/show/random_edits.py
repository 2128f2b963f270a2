"""Random edits for the property tests: one that probably fits a show, and some that do."""

from __future__ import annotations

from random import Random

from levelhead.errors import EditError
from levelhead.show import edits as e
from levelhead.show.edits import Edit
from levelhead.show.model import Beside, Link, Near, Show
from tests.show.random_shows import (
    CONTROLS,
    IDS,
    LABELS,
    NOTES,
    PLACES_M,
    TYPES,
    VALUES,
    chance,
    choice,
    random_area,
    random_item,
    random_pins,
    random_room,
    random_source,
    random_supply,
    random_via,
    random_volts,
)


def random_edit(random: Random, show: Show) -> Edit:
    """An edit that probably fits the show."""
    items = list(show.items) or ["none"]
    item = choice(random, items)
    control = f"{item}.{choice(random, CONTROLS)}"
    if show.settings and chance(random, 50):
        control = choice(random, list(show.settings))
    link = choice(random, show.links) if show.links else Link({"a": "x.y", "b": "x.z"})
    end = choice(random, list(link.ends.values()))
    source = choice(random, list(show.sources) or ["none"])
    supply = choice(random, list(show.supplies) or ["none"])
    new = choice(random, (*IDS, "new-1", "new-2"))
    made: tuple[Edit, ...] = (
        e.Plug(
            Link(
                {"a": f"{item}.new{random.randrange(9)}", "b": f"{choice(random, items)}.to"},
                random_via(random),
            )
        ),
        e.Plug(link, random.randrange(len(show.links) + 1)),
        e.Unplug(link),
        e.Unplug(link),
        e.Recable(end, random_via(random)),
        e.SetPins(end, random_pins(random)),
        e.Lay(end, choice(random, ((), (Beside("mains-leads"), Beside("mains-leads", 0.5))))),
        e.Set(control, choice(random, (*VALUES, None))),
        e.Set(control, choice(random, (*VALUES, None))),
        e.Lock(control),
        e.Unlock(choice(random, sorted(show.locks) or [control])),
        e.AddItem(
            random_item(random, new, list(show.supplies)), random.randrange(len(show.items) + 1)
        ),
        e.AddItem(random_item(random, new, [])),
        e.Remove(item),
        e.Rename(item, new),
        e.Retype(item, choice(random, TYPES)),
        e.Relabel(item, choice(random, LABELS)),
        e.Annotate(item, choice(random, NOTES)),
        e.Prioritise(item, choice(random, ("must", "nice", None))),
        e.Move(item, choice(random, PLACES_M)),
        e.Aim(item, choice(random, PLACES_M)),
        e.Power(item, choice(random, [None, *show.supplies])),
        e.SetFigure(item, choice(random, ("z", "ch.power.gain")), choice(random, (*VALUES, None))),
        e.AddSource(random_source(random, choice(random, ("anna", "bo")), items), 0),
        e.RemoveSource(source),
        e.ChangeSource(random_source(random, source, items)),
        e.RenameSource(source, new),
        e.AddSupply(random_supply(random, choice(random, ("left", "right")))),
        e.RemoveSupply(supply),
        e.ChangeSupply(random_supply(random, supply)),
        e.RenameSupply(supply, new),
        e.SetStock(
            choice(random, ("cable-xlr 10 m", "lead 30 cm", "di-active")),
            choice(random, (None, 0, 3)),
        ),
        e.SetRoom(random_room(random)),
        e.Hang(item, choice(random, (1, 2, None))),
        e.SwitchOn(item, choice(random, (1, 2, None))),
        e.StandNear(item, choice(random, ((), (Near("mains-transformer", 0.5),)))),
        e.SetMeasured("tingle", choice(random, (None, random_volts(random, items)))),
        e.SetArea("stalls", choice(random, (None, random_area(random, "stalls")))),
        e.Retitle(
            choice(random, ("Hall", "012")),
            choice(random, (None, "2026-01-31")),
            1 + random.randrange(3),
        ),
    )
    return choice(random, made)


def edited(random: Random, show: Show, count: int) -> list[Edit]:
    """Edits that fit the show one after the other."""
    fitting: list[Edit] = []
    for _ in range(count):
        edit = random_edit(random, show)
        try:
            show, _ = e.apply(show, [edit])
        except EditError:
            continue
        fitting.append(edit)
    return fitting
