"""What changed between two states of a show, one line each, short enough to be written by hand.

``Move DI of the bass from ch7 mic to ch11 mic``: unplugging and plugging again is one act, and
what was set on one strip stands in one line.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from levelhead.exchange.differences import differences_in_place
from levelhead.exchange.paperwork.named import Named
from levelhead.show.addresses import item_of, strip_of
from levelhead.show.edits import Edit, Plug, Set, Unplug, apply
from levelhead.show.lengths import cable_text
from levelhead.show.model import Link, Show
from levelhead.show.wording import sentence

__all__ = ["Change", "cables_changed", "crew_changes"]


@dataclass(frozen=True, slots=True)
class Change:
    """One line for the crew with the edits that it stands for."""

    line: str
    edits: tuple[Edit, ...]


def crew_changes(old: Show, new: Show) -> tuple[Change, ...]:
    """Everything that changed, in the order in which it can be done.

    Examples
    --------
    >>> from levelhead.show.model import Item
    >>> desk = Item("desk", "mixer-compact", "Desk")
    >>> before = Show("Hall", items={"desk": desk}, settings={"desk.ch1.gain": "30 dB"})
    >>> after = Show("Hall", items={"desk": desk}, settings={"desk.ch1.phantom": "on"})
    >>> for change in crew_changes(before, after):
    ...     print(change.line)
    Desk, ch1: gain back to its default (was 30 dB), phantom now on
    """
    steps: list[tuple[Edit, Show]] = []
    show = old
    for edit in differences_in_place(old, new):
        steps.append((edit, show))
        show, _ = apply(show, [edit])
    return tuple(_folded(steps, show))


def _folded(steps: Sequence[tuple[Edit, Show]], last: Show) -> Iterator[Change]:
    plugs = [edit for edit, _ in steps if isinstance(edit, Plug)]
    done: set[int] = set()
    for number, (edit, show) in enumerate(steps):
        if number in done:
            continue
        if isinstance(edit, Set):
            alike = [
                (at, each)
                for at, (each, _) in enumerate(steps)
                if isinstance(each, Set) and strip_of(each.address) == strip_of(edit.address)
            ]
            done |= {at for at, _ in alike}
            sets = tuple(each for _, each in alike)
            yield Change(_strip_line(sets, show), sets)
            continue
        again = _plugged_again(edit, plugs) if isinstance(edit, Unplug) else None
        if isinstance(edit, Unplug) and again is not None:
            done.add(next(at for at, (each, _) in enumerate(steps) if each is again))
            plugs.remove(again)
            yield Change(_move_line(edit.link, again.link, last), (edit, again))
        else:
            yield Change(Named(show).sentence(sentence(edit, show)), (edit,))


def _strip_line(sets: Sequence[Set], show: Show) -> str:
    """``Desk, ch1: gain 34 dB (was 40 dB), phantom now off``."""
    strip = strip_of(sets[0].address)
    return f"{_in_words(strip, show)}: {', '.join(_set_words(each, show) for each in sets)}"


def _set_words(edit: Set, show: Show) -> str:
    control, before = edit.address.rpartition(".")[2], show.settings.get(edit.address)
    was = f" (was {before})" if before is not None else ""
    if edit.value is None:
        return f"{control} back to its default{was}"
    now = "now " if edit.value in ("on", "off") else ""
    return f"{control} {now}{edit.value}{'' if now else was}"


def _in_words(address: str, show: Show) -> str:
    """An address by the label of its item: ``Desk, ch1 mic``."""
    item_id, _, local = address.partition(".")
    item = show.items.get(item_id)
    called = item.called if item is not None else item_id
    return f"{called}, {local.replace('.', ' ')}" if local else called


def _plugged_again(edit: Unplug, plugs: Sequence[Plug]) -> Plug | None:
    """The plugging that puts one end of the same lead into another socket of the same item."""
    for plug in plugs:
        ends, others = edit.link.ends, plug.link.ends
        if edit.link.via != plug.link.via or ends.keys() != others.keys():
            continue
        moved = [end for end in ends if ends[end] != others[end]]
        if len(moved) == 1 and item_of(ends[moved[0]]) == item_of(others[moved[0]]):
            return plug
    return None


def _move_line(was: Link, now: Link, show: Show) -> str:
    """``Move DI of the bass from ch7 mic to ch11 mic on Desk``."""
    end = next(end for end in was.ends if was.ends[end] != now.ends[end])
    kept = next(address for name, address in was.ends.items() if name != end)
    item = show.items.get(item_of(kept))
    mover = item.called if item is not None else kept
    where = show.items.get(item_of(was.ends[end]))
    places = [each.partition(".")[2].replace(".", " ") for each in (was.ends[end], now.ends[end])]
    on = where.called if where is not None else item_of(was.ends[end])
    return f"Move {mover} from {places[0]} to {places[1]} on {on}"


def cables_changed(old: Show, new: Show) -> tuple[tuple[str, int], ...]:
    """Cables and adaptors of the links: how many more (or fewer) of each are needed."""
    before, after = (
        Counter(cable_text(cable) for link in show.links for cable in link.via)
        for show in (old, new)
    )
    names = sorted(before.keys() | after.keys())
    return tuple(
        (name, after[name] - before[name]) for name in names if after[name] != before[name]
    )
