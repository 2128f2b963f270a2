"""Changes that somebody made in our own input list, as edits of the show that it came from.

Rows go by their socket, then by what is plugged there. What is computed (where a knob stands, what
to look at) is not read back.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Final, TypeAlias

from levelhead.exchange.lists.meanings import LEAVE_OUT
from levelhead.exchange.lists.model import Choice, Question
from levelhead.exchange.lists.numbers import decimal
from levelhead.exchange.lists.own_names import rename, type_called
from levelhead.exchange.lists.own_rows import OwnChanges, OwnRow, Printed
from levelhead.exchange.lists.tables import Table
from levelhead.gear.book import GearBook
from levelhead.rig.settings import setting_text
from levelhead.show.addresses import item_of, strip_of
from levelhead.show.edits import (
    Plug,
    Recable,
    Set,
)
from levelhead.show.model import Cable, Link, Show

__all__ = ["changes_of"]

_ON: Final = frozenset({"on", "(on)", "yes", "x", "48 v", "48v", "+48", "y"})
_COMPUTED: Final = ("lead", "knob", "note")
_NEAR: Final = 0.05  # figures are printed to a tenth


_Phantom: TypeAlias = dict[str, list[tuple[bool, bool]]]
"""For each switch its rows: whether one was changed, and whether it wants phantom power."""


def changes_of(
    table: Table, printed: Printed, show: Show, book: GearBook, answers: Mapping[str, str]
) -> OwnChanges:
    """Compare the rows that came back with those that the show prints.

    Parameters
    ----------
    table : Table
        That has the headings of our input list.
    printed : Printed
        What the show prints now.
    """
    found = OwnChanges(printed, show, book, answers)
    rows = [each for row in printed.read(table) if (each := _placed(found, row)) is not None]
    origins = dict(_origins(rows, printed))
    phantom: _Phantom = {}
    for row in rows:
        origin = origins.get(row.where)
        if origin is None:
            found.new.append(row)
            continue
        _compare(found, row, origin, phantom)
    _switch_phantom(found, phantom)
    _ask_gone(found, set(printed.rows) - set(origins.values()))
    _check_free(found)
    return found


def _placed(found: OwnChanges, row: OwnRow) -> OwnRow | None:
    """A row with its socket; where its input has a name of no socket it is asked about."""
    if row.address is not None:
        return row
    key = f"input {row.cells['input']}"
    answer = found.answers.get(key)
    if answer in found.printed.rig.ports:
        return replace(row, address=answer)
    if answer != LEAVE_OUT:
        free = [
            address
            for address in found.printed.sockets.values()
            if found.show.link_at(address) is None and address.endswith(".mic")
        ]
        choices = [Choice(each, each) for each in dict.fromkeys(free)][:3]
        choices.append(Choice(LEAVE_OUT, "leave it out"))
        ask = f"No input is called '{row.cells['input']}': which socket is meant?"
        found.questions.append(Question(key, ask, (row.where,), tuple(choices)))
    return None


def _origins(rows: list[OwnRow], printed: Printed) -> Iterator[tuple[str, str]]:
    """The socket of the show that each row was printed for, by the place of the row.

    First rows that are where they were, then rows whose content was elsewhere, then rows whose
    socket is theirs though its content was rewritten.
    """
    left = dict(printed.rows)
    waiting = []
    for row in rows:
        base = left.get(row.address or "")
        if base is not None and _content(base) == row.content:
            del left[str(row.address)]
            yield row.where, str(row.address)
        else:
            waiting.append(row)
    rest = []
    for row in waiting:
        same = [address for address, base in left.items() if _content(base) == row.content]
        if len(same) == 1 and row.address is not None:
            del left[same[0]]
            yield row.where, same[0]
        else:
            rest.append(row)
    for row in rest:
        if row.address in left:
            del left[str(row.address)]
            yield row.where, str(row.address)


def _content(row: Mapping[str, str]) -> tuple[str, str]:
    return row.get("source", ""), row.get("through", "")


def _compare(found: OwnChanges, row: OwnRow, origin: str, phantom: _Phantom) -> None:
    """A row of our own list against what was printed: its plug, lead, gain and phantom power."""
    base = found.printed.rows[origin]
    link = found.show.link_at(origin)
    if link is None:
        return
    via = _via(found, row, base, link)
    if row.address != origin:
        end = {origin: str(row.address)}
        ends = {name: end.get(at, at) for name, at in link.ends.items()}
        found.unplugs.append(link)
        found.plugs.append(Plug(replace(link, ends=ends, via=via)))
    elif via != link.via:
        found.changes.append(Recable(origin, via))
    rename(found, row, base, origin)
    _gain(found, row, base)
    control = _control(found, str(row.address), "phantom")
    if control is not None:
        was = found.printed.rows.get(str(row.address), {}).get("phantom", "")
        now = row.cells.get("phantom", "")
        is_changed = now.lower() != was.lower() or row.address != origin
        phantom.setdefault(control, []).append((is_changed, now.lower() in _ON))
    for key in _COMPUTED:
        if key in row.cells and row.address == origin and row.cells[key] != base.get(key, ""):
            label = found.printed.labels.get(key, key)
            found.notes.append(f"{row.where}: '{label}' is computed, what was written is not read")


def _via(found: OwnChanges, row: OwnRow, base: Mapping[str, str], link: Link) -> tuple[Cable, ...]:
    """Cables of the row: another type by its label, another length."""
    via = link.via
    cable, length = row.cells.get("cable", ""), row.cells.get("length", "")
    if "cable" in row.cells and cable != base.get("cable", ""):
        type_id = type_called(found, cable, "cable")
        if type_id is None or len(via) > 1:
            found.notes.append(f"{row.where}: no cable of the gear book is called '{cable}'")
        else:
            via = (Cable(type_id, via[0].length_m if via else None),)
    if "length" in row.cells and _differ(length, base.get("length", "")):
        length_m = decimal(length)
        if len(via) != 1 or not length_m or length_m <= 0:
            found.notes.append(f"{row.where}: the length '{length}' fits no single cable")
        else:
            via = (Cable(via[0].type, length_m),)
    return via


def _differ(one: str, other: str) -> bool:
    a, b = decimal(one), decimal(other)
    if a is None or b is None:
        return one.strip() != other.strip()
    return abs(a - b) > _NEAR


# --- controls ---


def _control(found: OwnChanges, address: str, name: str) -> str | None:
    """Address of a control of the strip, or of the item where it is common to all."""
    for stem in (strip_of(address), item_of(address)):
        if f"{stem}.{name}" in found.printed.rig.controls:
            return f"{stem}.{name}"
    return None


def _gain(found: OwnChanges, row: OwnRow, base: Mapping[str, str]) -> None:
    text = row.cells.get("gain", "")
    value = decimal(text.removeprefix("begin with").strip())
    there = decimal(base.get("gain", "").removeprefix("begin with").strip())
    if (
        "gain" not in row.cells
        or value is None
        or (there is not None and abs(value - there) <= _NEAR)
    ):
        return
    control = _control(found, str(row.address), "gain") or _control(found, str(row.address), "trim")
    plan = found.printed.rig.controls[control] if control else None
    if control is None or plan is None or not plan.low <= value <= plan.high:
        found.notes.append(f"{row.where}: the input has no gain of {value:g} dB")
        return
    found.changes.append(Set(control, setting_text(value, plan)))


def _switch_phantom(found: OwnChanges, phantom: Mapping[str, list[tuple[bool, bool]]]) -> None:
    """One row is enough to switch on; off where no row of the switch wants it any more."""
    for control, rows in phantom.items():
        is_on = found.printed.rig.setting(control) == "on"
        changed = {wants for is_changed, wants in rows if is_changed} - {is_on}
        if not changed:
            continue
        if is_on and any(wants for _, wants in rows):
            found.notes.append(f"{control} stays on: other inputs of the list want it")
        else:
            found.changes.append(Set(control, "off" if is_on else "on"))


# --- what is gone, and what stands in the way ---


def _ask_gone(found: OwnChanges, gone: set[str]) -> None:
    for address in found.printed.rows:
        if address not in gone:
            continue
        key = f"gone {address}"
        answer = found.answers.get(key)
        link = found.show.link_at(address)
        if answer == "unplug" and link is not None:
            found.unplugs.append(link)
        elif answer != "keep":
            row = found.printed.rows[address]
            called = row.get("source") or row.get("through") or address
            choices = (Choice("unplug", "unplug it"), Choice("keep", "leave it plugged"))
            ask = f"{row['input']} ({called}) is not on the list any more: unplug it?"
            found.questions.append(Question(key, ask, (address,), choices))


def _check_free(found: OwnChanges) -> None:
    """A plug that would go into a socket that keeps its own is taken back."""
    gone = {at for link in found.unplugs for at in link.ends.values()}
    taken: set[str] = set()
    for plug in list(found.plugs):
        ends = set(plug.link.ends.values())
        stuck = [at for at in ends if at in taken or (found.show.link_at(at) and at not in gone)]
        if stuck:
            found.plugs.remove(plug)
            found.unplugs = [
                link for link in found.unplugs if len(set(link.ends.values()) & ends) == 0
            ]
            found.notes.append(f"{stuck[0]} is taken: what the list puts there stays where it is")
        taken |= ends
