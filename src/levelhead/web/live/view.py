"""What a page sees of an open show: tables by name, and what changed in them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final, NamedTuple

from levelhead.errors import LevelheadError
from levelhead.exchange.paperwork.input_rows import InputRow, Rows
from levelhead.exchange.paperwork.named import Named
from levelhead.exchange.rows.left_over import left_over
from levelhead.exchange.things import texts
from levelhead.rig.model import Rig, RigPort
from levelhead.show.fingerprint import fingerprint
from levelhead.show.history.steps import Step
from levelhead.show.lengths import cable_text
from levelhead.show.model import Link, Show
from levelhead.show.opened.open_show import OpenShow
from levelhead.show.opened.undoing import root_of
from levelhead.show.wording import sentence
from levelhead.web.views.plan_tables import PLAN_TABLES, plan_tables
from levelhead.web.views.pressed import in_the_app
from levelhead.web.views.table_names import with_names

__all__ = [
    "TABLES",
    "Shown",
    "Tables",
    "buttons_of",
    "difference",
    "error_json",
    "head_of",
    "shown_of",
    "step_words",
    "told_of",
]

TABLES: Final = ("rows", "outs", *texts.TABLES, *PLAN_TABLES)
_BEHIND: Final = frozenset({"mixer", "amplifier", "processor", "loudspeaker"})
Json = dict[str, Any]
Tables = dict[str, dict[str, Json]]


class Shown(NamedTuple):
    """A show as pages see it: its tables, and the rows of the input list as values."""

    show: Show
    rig: Rig | None
    rows: dict[str, InputRow]
    tables: Tables


def shown_of(show: Show, rig: Rig | None, before: Shown | None = None) -> Shown:
    """Every table that is shown; what is as it was ``before`` is not made again."""
    known = before if before is not None and (before.rig is None) == (rig is None) else None
    rows = {} if rig is None else Rows(rig).all()
    tables: Tables = {
        "rows": _rows(rows, before),
        "outs": {} if rig is None else _outs(rig, {row.item for row in rows.values()}),
        **(
            texts.texts_of(show)
            if known is None
            else texts.texts_after(show, known.show, known.tables)
        ),
        **plan_tables(show, rig),
    }
    before_tables = {} if before is None else before.tables
    is_as_before = known is not None and _are_called_alike(show, known.show)
    named = with_names(tables, Named(show, rig), before_tables, is_as_before=is_as_before)
    return Shown(show, rig, rows, named)


def _are_called_alike(show: Show, before: Show) -> bool:
    """Whether nothing was named, added or taken away: words of other rows are as they were."""
    return show.items is before.items and show.supplies is before.supplies


def _rows(rows: Mapping[str, InputRow], before: Shown | None) -> dict[str, Json]:
    known, made = ({}, {}) if before is None else (before.rows, before.tables["rows"])
    return {
        name: made[name] if known.get(name) == row else row.to_json() for name, row in rows.items()
    }


def _outs(rig: Rig, takers: set[str]) -> dict[str, Json]:
    """Every output socket behind the inputs: of what mixes, powers and plays; what hangs on it."""
    numbered, names = {link.number: link for link in rig.links}, Named(rig.show, rig)
    found: dict[str, Json] = {}
    for port in sorted(rig.ports.values(), key=_place_of_output):
        is_behind = port.item.plan.kind in _BEHIND or port.item.id in takers
        if port.plan.role == "in" or not is_behind:
            continue
        link = None if port.link is None else numbered.get(port.link)
        to = [] if link is None else _others(link.link, port.address)
        found[port.address] = {
            "label": port.label,
            "link": "" if link is None else texts.key_of_link(link.link),
            "to": to,
            "to_labels": [rig.ports[each].label for each in to if each in rig.ports],
            "cable": "" if link is None else " + ".join(map(cable_text, link.link.via)),
            "cable_label": "" if link is None else " + ".join(map(names.cable, link.link.via)),
        }
    return found


def _place_of_output(port: RigPort) -> tuple[bool, bool]:
    """Mains, then sends and the rest as on the panel; inserts, headphones and digital last."""
    is_late = "send" in port.plan.signals or not port.block.name or port.plan.is_digital
    return is_late, not port.block.name.startswith("main")


def _others(link: Link, address: str) -> list[str]:
    return [each for each in link.ends.values() if each != address]


def head_of(opened: OpenShow, rig: Rig | None, rows: Mapping[str, InputRow]) -> Json:
    """What stands above the tables for everybody: the show, what is left, the file."""
    show = opened.show
    return {
        "name": show.name,
        "date": show.date,
        "version": show.version,
        "file": opened.document.name,
        "fingerprint": "" if opened.dirty else fingerprint(show),
        "left": None if rig is None else left_over(rig, rows.values()).to_json(),
        "saved": not opened.dirty,
        "clash": _clash(opened, rig),
        "notes": list(opened.notes),
    }


def buttons_of(opened: OpenShow, person: str, rig: Rig | None = None) -> Json:
    """What undo and redo of a person would speak of."""
    steps, names = opened.steps, Named(opened.show, rig)
    return {
        "undo": _button(steps.to_undo(person), names),
        "redo": _button(steps.to_redo(person), names),
    }


def _button(step: Step | None, names: Named) -> Json | None:
    if step is None:
        return None
    return {"step": root_of(step), "words": step_words(step, names), "by": step.person}


def told_of(step: Step, names: Named) -> str:
    """A step as others are told of it."""
    before = {"do": "", "undo": "Taken back: ", "redo": "Taken again: "}[step.kind]
    return before + step_words(step, names)


def step_words(step: Step, names: Named) -> str:
    """What a step does, or what it takes back, in the crew's words."""
    change = step.back if step.kind == "undo" else step.change
    if isinstance(change, str):
        return "Change the text"
    first = names.sentence(sentence(change[0], names.show)) if change else "Nothing"
    more = len(change) - 1
    return f"{first}, and {more} more" if more > 0 else first


def _clash(opened: OpenShow, rig: Rig | None) -> Json | None:
    clash, names = opened.clash, Named(opened.show, rig)
    if clash is None:
        return None
    return {
        "cells": [
            {name: names.sentence(getattr(each, name)) for name in ("cell", "here", "file")}
            for each in clash.cells
        ],
        "error": None if clash.error is None else str(clash.error),
    }


def difference(before: Tables, after: Tables) -> Tables:
    """For each table that changed: rows that came or changed under ``set``, the order if it moved.

    Examples
    --------
    >>> difference({"stock": {"a": {"count": 1}}}, {"stock": {"a": {"count": 2}}})
    {'stock': {'set': {'a': {'count': 2}}}}
    """
    found: Tables = {}
    for name, rows in after.items():
        old = before.get(name, {})
        changed = {
            key: row
            for key, row in (() if old is rows else rows.items())
            if (was := old.get(key)) is not row and was != row
        }
        patch: Json = {"set": changed} if changed else {}
        if list(old) != list(rows):
            patch["order"] = list(rows)
        if patch:
            found[name] = patch
    return found


def error_json(error: LevelheadError) -> Json:
    """The four parts of an error, and those of each single one."""
    return {**_parts(error), "errors": [_parts(each) for each in error.errors]}


def _parts(error: LevelheadError) -> dict[str, str]:
    told = {name: str(getattr(error, name)) for name in ("what", "where", "expected")}
    return {**told, "remedy": in_the_app(error.remedy)}
