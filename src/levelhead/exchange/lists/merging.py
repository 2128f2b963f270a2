"""A list as edits of a show: a new desk with everything, or what a show that is there lacks."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from pathlib import PurePath
from typing import Final

from levelhead.exchange.lists.desks import desks_of, fitting_desk, has_one_switch
from levelhead.exchange.lists.model import Channel, Guess
from levelhead.exchange.lists.own_list import changes_of
from levelhead.exchange.lists.own_rows import printed_rows
from levelhead.exchange.lists.placing import ListPlan, Placing
from levelhead.exchange.lists.reading import ReadList
from levelhead.exchange.lists.tables import Table, own_table
from levelhead.gear.book import GearBook, load_book
from levelhead.show.checks import LONGEST_LABEL
from levelhead.show.edits import AddItem, Edit, apply
from levelhead.show.model import Item, Show

__all__ = ["ListPlan", "list_edits", "list_show", "plan_list", "show_name"]

_DESK: Final = "desk"
_NEW_NAME: Final = "A list that came in"


def list_edits(
    read: ReadList,
    show: Show | None = None,
    answers: Mapping[str, str] | None = None,
    *,
    book: GearBook | None = None,
) -> tuple[Edit, ...]:
    """What a list makes of a show, as edits; rows with open questions are left out.

    Parameters
    ----------
    read : ReadList
        From ``read_list``.
    show : Show or None
        The show that it goes into; ``None`` for an empty one, which gets a desk as well.
    answers : mapping of str to str, optional
        Answers to questions of the list and of :func:`plan_list`, by their keys.

    Raises
    ------
    ListError
        An answer means nothing.
    """
    return plan_list(read, show, answers, book=book).edits


def list_show(read: ReadList, plan: ListPlan) -> Show:
    """The new show that a list makes, named after its file."""
    return apply(Show(show_name(read)), plan.edits)[0]


def show_name(read: ReadList) -> str:
    """A name for a new show, made of the name of the list's file."""
    name = PurePath(read.name).stem.replace("-", " ").replace("_", " ").strip()
    return (name[:1].upper() + name[1:])[:LONGEST_LABEL] or _NEW_NAME


def plan_list(
    read: ReadList,
    show: Show | None = None,
    answers: Mapping[str, str] | None = None,
    *,
    book: GearBook | None = None,
) -> ListPlan:
    """The same with questions, guesses and notes; arguments and errors as of :func:`list_edits`."""
    book = book or load_book()
    if answers:
        read = read.answered(answers)
    known = dict(read.answers)
    own = None if show is None else own_table(read.tables)
    if show is not None and own is not None:
        return _of_own_list(read, own, show, book, {**known, **(answers or {})})
    base, first, guesses = _with_desk(read, show or Show(_NEW_NAME), book)
    placing = Placing(base, book, known)
    for channel in read.channels:
        if channel.is_understood and not channel.is_spare:
            placing.take(channel)
        elif not channel.is_spare:
            placing.left.append(channel)
    return placing.plan(first, guesses, read.channels)


def _of_own_list(
    read: ReadList, table: Table, show: Show, book: GearBook, answers: Mapping[str, str]
) -> ListPlan:
    """Changes in our own input list; its new rows go the way of any list."""
    found = changes_of(table, printed_rows(show, book), show, book, answers)
    after = apply(show, found.edits)[0]
    placing = Placing(after, book, answers)
    fresh = {row.where for row in found.new}
    for channel in read.channels:
        if channel.where in fresh and channel.is_understood and not channel.is_spare:
            placing.take(channel)
        elif channel.where in fresh and not channel.is_spare:
            placing.left.append(channel)
    plan = placing.plan((), (), read.channels)
    return replace(
        plan,
        edits=(*found.edits, *plan.edits),
        questions=(*found.questions, *plan.questions),
        notes=(*found.notes, *plan.notes),
        is_own=True,
        new=tuple(sorted(fresh)),
    )


def _with_desk(
    read: ReadList, show: Show, book: GearBook
) -> tuple[Show, tuple[Edit, ...], tuple[Guess, ...]]:
    """The show, with a desk that fits if it has none."""
    if desks_of(show, book):
        return show, (), ()
    inputs = _inputs_of(read.channels)
    is_apart = any(each.bars_phantom for each in read.channels)
    type_id = fitting_desk(book, inputs, is_apart=is_apart)
    name = _DESK
    while name in show.items:
        name += "-1"
    edit = AddItem(Item(name, type_id, label=_DESK.capitalize()))
    why = "the smallest of the gear book that has them"
    if is_apart and not has_one_switch(book, type_id):
        why += " and switches 48 V by the channel, since the list wants none on some"
    guess = Guess("desk", type_id, f"{inputs} inputs", why)
    return apply(show, [edit])[0], (edit,), (guess,)


def _inputs_of(channels: Iterable[Channel]) -> int:
    listed = list(channels)
    highest = max((number for each in listed for number in each.numbers), default=0)
    loose = sum(each.count for each in listed if not each.numbers and not each.is_spare)
    return max(highest + loose, 1)
