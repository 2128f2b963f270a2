"""From one show to another as edits, and in the crew's words.

What stayed is left alone: a renamed item is renamed and not taken out and put in, a link between
the same sockets gets other cables in its place. Links stand in an order, which edits keep.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import Final

from levelhead.errors import EditError
from levelhead.exchange.longest_run import longest_rising
from levelhead.show.addresses import item_of
from levelhead.show.edits import (
    AddItem,
    AddSource,
    AddSupply,
    Aim,
    Annotate,
    ChangeSource,
    ChangeSupply,
    Edit,
    Hang,
    Lay,
    Lock,
    Move,
    Plug,
    Power,
    Prioritise,
    Recable,
    Relabel,
    Remove,
    RemoveSource,
    RemoveSupply,
    Rename,
    RenameSource,
    RenameSupply,
    Retitle,
    Retype,
    Set,
    SetArea,
    SetFigure,
    SetMeasured,
    SetPins,
    SetRoom,
    SetStock,
    StandNear,
    SwitchOn,
    Unlock,
    Unplug,
    apply,
)
from levelhead.show.model import Item, Link, Show, Source
from levelhead.show.wording import sentence

__all__ = ["changes_in_words", "differences", "differences_in_place"]

_Key = tuple[frozenset[tuple[str, str]], str]


def differences(old: Show, new: Show) -> tuple[Edit, ...]:
    """Edits that turn one show into another: ``apply(old, differences(old, new))[0] == new``.

    Of the two readings, that items and things were renamed, and that they were exchanged, the one
    with fewer edits is taken.

    Examples
    --------
    >>> from levelhead.show.model import Item
    >>> before = Show("Hall", items={"vox": Item("vox", "mic", "Anna")})
    >>> after = Show("Hall", items={"vox-1": Item("vox-1", "mic", "Anna", note="Spare")})
    >>> differences(before, after)
    (Rename(item='vox', new_id='vox-1'), Annotate(item='vox-1', note='Spare'))
    """
    exchanged = tuple(_edits(old, new, renames=()))
    renames = tuple(_renames(old, new))
    if not renames:
        return exchanged
    try:
        renamed = tuple(_edits(old, new, renames=renames))
    except EditError:  # an outlet has the address of what the new name would be
        return exchanged
    return min(renamed, exchanged, key=len)


def differences_in_place(old: Show, new: Show) -> tuple[Edit, ...]:
    """The same but for the order of links, which means nothing to a crew."""
    in_order = {_key(link): number for number, link in enumerate(old.links)}
    links = sorted(new.links, key=lambda link: in_order.get(_key(link), len(in_order)))
    return differences(old, replace(new, links=tuple(links)))


def changes_in_words(old: Show, new: Show) -> tuple[str, ...]:
    """What changed from one show to another, as the crew says it; the order of links counts not."""
    told, show = [], old
    for edit in differences_in_place(old, new):
        told.append(sentence(edit, show))
        show, _ = apply(show, [edit])
    return tuple(told)


class _Bench:
    """A show under way, and the edits that were applied to it."""

    def __init__(self, show: Show) -> None:
        self.show = show
        self.edits: list[Edit] = []

    def do(self, *edits: Edit) -> None:
        for edit in edits:
            self.show, _ = apply(self.show, [edit])
            self.edits.append(edit)


def _edits(old: Show, new: Show, *, renames: Sequence[Edit]) -> Sequence[Edit]:
    bench = _Bench(old)
    if (old.name, old.date, old.version) != (new.name, new.date, new.version):
        bench.do(Retitle(new.name, new.date, new.version))
    bench.do(*renames)
    for step in _STEPS:
        bench.do(*step(bench.show, new))
    return bench.edits


# ---------------------------------------------------------------- names


def _renames(old: Show, new: Show) -> Iterator[Edit]:
    """Names that went and came for what is otherwise the same."""
    for was, now in _pairs(
        old.supplies, new.supplies, lambda one, other: replace(one, id=other.id) == other
    ):
        yield RenameSupply(was, now)
    for was, now in _pairs(old.items, new.items, _is_same_item):
        yield Rename(was, now)
    for was, now in _pairs(old.sources, new.sources, _is_same_source):
        yield RenameSource(was, now)


def _pairs(old: object, new: object, is_same: Callable[..., bool]) -> Iterator[tuple[str, str]]:
    gone = {name: each for name, each in old.items() if name not in new}  # type: ignore[attr-defined, operator]
    come = {name: each for name, each in new.items() if name not in old}  # type: ignore[attr-defined, operator]
    for was, one in gone.items():
        for now, other in list(come.items()):
            if is_same(one, other):
                del come[now]
                yield was, now
                break


def _is_same_item(one: Item, other: Item) -> bool:
    """One type, and one label where there are labels."""
    return one.type == other.type and one.label == other.label


def _is_same_source(one: Source, other: Source) -> bool:
    return one.type == other.type and one.label == other.label


# ---------------------------------------------------------------- step by step


def _added(show: Show, new: Show) -> Iterator[Edit]:
    """Supplies, items and sources that are new; items where they stand in the list."""
    for name, supply in new.supplies.items():
        if name not in show.supplies:
            yield AddSupply(supply)
        elif show.supplies[name] != supply:
            yield ChangeSupply(supply)
    order = list(show.items)
    for number, (name, item) in enumerate(new.items.items()):
        if name not in show.items:
            before = list(new.items)[number - 1] if number else None
            place = 0 if before is None else order.index(before) + 1
            yield AddItem(item, None if place == len(order) else place)
            order.insert(place, name)
    gone = show.items.keys() - new.items.keys()
    for name, source in new.sources.items():
        if name not in show.sources:
            yield AddSource(source)
        elif item_of(show.sources[name].at) in gone:  # else it would go with its microphone
            yield ChangeSource(source)


def _removed(show: Show, new: Show) -> Iterator[Edit]:
    gone = [name for name in show.items if name not in new.items]
    yield from (Remove(name) for name in gone)
    for name, source in show.sources.items():
        if name not in new.sources and item_of(source.at) not in gone:
            yield RemoveSource(name)


def _sources(show: Show, new: Show) -> Iterator[Edit]:
    for name, source in new.sources.items():
        if show.sources[name] != source:
            yield ChangeSource(source)


def _key(link: Link) -> _Key:
    return frozenset(link.ends.items()), link.plugged


def _links(show: Show, new: Show) -> Iterator[Edit]:
    """What is unplugged, what is plugged at its place in the list, and other cables and pins."""
    place = {_key(link): number for number, link in enumerate(new.links)}
    staying = [link for link in show.links if _key(link) in place]
    kept = {
        place[_key(staying[each])]
        for each in longest_rising([place[_key(link)] for link in staying])
    }
    for link in show.links:
        if place.get(_key(link)) not in kept:
            yield Unplug(link)
    before = {_key(link): link for link in show.links}
    count = len(kept)
    for number, link in enumerate(new.links):
        if number not in kept:
            yield Plug(link, None if number == count else number)
            count += 1
    for number in sorted(kept):
        yield from _changed_link(before[_key(new.links[number])], new.links[number])


def _changed_link(was: Link, now: Link) -> Iterator[Edit]:
    end = next(iter(now.ends.values()))
    if was.via != now.via:
        yield Recable(end, now.via)
    if dict(was.pins) != dict(now.pins):
        yield SetPins(end, now.pins)
    if was.beside != now.beside:
        yield Lay(end, now.beside)


def _items(show: Show, new: Show) -> Iterator[Edit]:
    for name, item in new.items.items():
        yield from _changed_item(show.items[name], item)


def _changed_item(was: Item, now: Item) -> Iterator[Edit]:
    name = now.id
    changed = (
        (was.type != now.type, Retype(name, now.type)),
        (was.label != now.label, Relabel(name, now.label)),
        (was.note != now.note, Annotate(name, now.note)),
        (was.need != now.need, Prioritise(name, now.need)),
        (was.at != now.at, Move(name, now.at)),
        (was.aim != now.aim, Aim(name, now.aim)),
        (was.fixings != now.fixings, Hang(name, now.fixings)),
        (was.switched != now.switched, SwitchOn(name, now.switched)),
        (was.near != now.near, StandNear(name, now.near)),
        (was.supply != now.supply, Power(name, now.supply)),
    )
    yield from (edit for differs, edit in changed if differs)
    for figure in was.figures.keys() - now.figures.keys():
        yield SetFigure(name, figure, None)
    for figure, value in now.figures.items():
        if was.figures.get(figure) != value:
            yield SetFigure(name, figure, value)


def _controls(show: Show, new: Show) -> Iterator[Edit]:
    """Settings and locks; what goes goes first, so that no address stands in another's way."""
    yield from (Unlock(each) for each in sorted(show.locks - new.locks))
    yield from (Set(each, None) for each in show.settings if each not in new.settings)
    for address, value in new.settings.items():
        if show.settings.get(address) != value:
            yield Set(address, value)
    yield from (Lock(each) for each in sorted(new.locks - show.locks))


def _rest(show: Show, new: Show) -> Iterator[Edit]:
    yield from (RemoveSupply(name) for name in show.supplies if name not in new.supplies)
    yield from (SetStock(thing, None) for thing in show.stock if thing not in new.stock)
    for thing, count in new.stock.items():
        if show.stock.get(thing) != count:
            yield SetStock(thing, count)
    if show.room != new.room:
        yield SetRoom(new.room)
    yield from (SetArea(name, None) for name in show.areas if name not in new.areas)
    yield from (
        SetArea(name, area) for name, area in new.areas.items() if show.areas.get(name) != area
    )
    yield from (SetMeasured(name, None) for name in show.measured if name not in new.measured)
    for name, volts in new.measured.items():
        if show.measured.get(name) != volts:
            yield SetMeasured(name, volts)


_STEPS: Final = (_added, _removed, _sources, _links, _items, _controls, _rest)
