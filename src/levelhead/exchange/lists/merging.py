"""A list as edits of a show: a new desk with everything, or what a show that is there lacks."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import PurePath
from typing import Final

from levelhead.exchange.lists.building import Builder
from levelhead.exchange.lists.desks import Desk, desks_of, fitting_desk
from levelhead.exchange.lists.meanings import LEAVE_OUT
from levelhead.exchange.lists.model import Channel, Choice, Guess, Question
from levelhead.exchange.lists.phrases import words_of
from levelhead.exchange.lists.reading import ReadList
from levelhead.gear.book import GearBook, load_book
from levelhead.show.checks import LONGEST_LABEL
from levelhead.show.edits import AddItem, Edit, Plug, Retype, Unplug, apply
from levelhead.show.model import Item, Link, Show

__all__ = ["ListPlan", "list_edits", "list_show", "plan_list", "show_name"]

_DESK: Final = "desk"
_NEW_NAME: Final = "A list that came in"


@dataclass(frozen=True, slots=True)
class ListPlan:
    """What a list makes of a show.

    ``edits`` are what is understood, ``questions`` what has to be asked besides those of the list,
    ``guesses`` what was taken for the show itself (its desk), ``left`` the rows that are not built.
    """

    edits: tuple[Edit, ...]
    questions: tuple[Question, ...] = ()
    guesses: tuple[Guess, ...] = ()
    notes: tuple[str, ...] = ()
    left: tuple[Channel, ...] = ()


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
    base, first, guesses = _with_desk(read, show or Show(_NEW_NAME), book)
    merging = _Merging(base, book, known)
    for channel in read.channels:
        if channel.is_understood and not channel.is_spare:
            merging.take(channel)
        elif not channel.is_spare:
            merging.left.append(channel)
    return merging.plan(first, guesses, read.channels)


def _with_desk(
    read: ReadList, show: Show, book: GearBook
) -> tuple[Show, tuple[Edit, ...], tuple[Guess, ...]]:
    """The show, with a desk that fits if it has none."""
    if desks_of(show, book):
        return show, (), ()
    inputs = _inputs_of(read.channels)
    type_id = fitting_desk(book, inputs)
    name = _DESK
    while name in show.items:
        name += "-1"
    edit = AddItem(Item(name, type_id))
    guess = Guess(
        "desk", type_id, f"{inputs} inputs", "the smallest of the gear book that has them"
    )
    return apply(show, [edit])[0], (edit,), (guess,)


def _inputs_of(channels: Iterable[Channel]) -> int:
    listed = list(channels)
    highest = max((number for each in listed for number in each.numbers), default=0)
    loose = sum(each.count for each in listed if not each.numbers and not each.is_spare)
    return max(highest + loose, 1)


@dataclass(slots=True)
class _Merging:
    """One channel after another goes to its place; links that move are unplugged first."""

    base: Show
    book: GearBook
    answers: Mapping[str, str]
    unplugs: list[Link] = field(default_factory=list)
    plugs: list[Edit] = field(default_factory=list)
    changes: list[Edit] = field(default_factory=list)
    loose: list[Channel] = field(default_factory=list)
    placed: list[tuple[Channel, Desk, Sequence[int]]] = field(default_factory=list)
    questions: dict[str, Question] = field(default_factory=dict)
    left: list[Channel] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    kept: set[tuple[str, int]] = field(default_factory=set)

    def take(self, channel: Channel) -> None:
        """Find the place of a channel, or ask."""
        if not channel.numbers:
            known = self._known(channel)
            if known is None:
                self.loose.append(channel)
            else:
                self._change(channel, *known)
            return
        desk = self._desk_for(channel.numbers)
        if desk is None:
            self.notes.append(
                f"channel {', '.join(map(str, channel.numbers))} ({channel.name}): "
                "no desk has so many inputs; it is not plugged"
            )
            self.left.append(channel)
            return
        self.kept |= {(desk.item, number) for number in channel.numbers}
        there = [number for number in channel.numbers if not desk.is_free(number, self.base)]
        known = self._known(channel)
        if known is not None:
            self._moved(channel, desk, *known)
        elif not there:
            self.placed.append((channel, desk, channel.numbers))
        else:
            self._taken(channel, desk, there)

    def _desk_for(self, numbers: Sequence[int]) -> Desk | None:
        desks = [each for each in desks_of(self.base, self.book) if max(numbers) <= each.count]
        used = [each for each in desks if not each.is_free(numbers[0], self.base)]
        return next(iter([*used, *desks]), None)

    # --- what the show has already ---

    def _known(self, channel: Channel) -> tuple[Desk, list[int]] | None:
        """Where a thing of that name is plugged already."""
        wanted = words_of(channel.name)
        for desk in desks_of(self.base, self.book):
            found = [
                number
                for number in range(1, desk.count + 1)
                if wanted in self._names_at(desk, number)
            ]
            if found:
                return desk, found
        return None

    def _names_at(self, desk: Desk, number: int) -> list[tuple[str, ...]]:
        """What the things behind a channel are called."""
        names: list[str] = []
        for item in self._behind(desk, number):
            names += [item, self.base.items[item].label]
            names += [
                text
                for source in self.base.sources.values()
                if source.at.partition(".")[0] == item
                for text in (source.id, source.label)
            ]
        return [words for name in names if (words := words_of(name))]

    def _behind(self, desk: Desk, number: int) -> list[str]:
        """Items before a channel, nearest first, as far as each has but one plugged input."""
        found: list[str] = []
        links = [link for at in desk.sockets(number) if (link := self.base.link_at(at))]
        item = desk.item
        while links:
            others = [each for each in links[0].items if each != item and each not in found]
            if not others or self.book.entry(self.base.items[others[0]].type).kind == "mixer":
                break
            item = others[0]
            found.append(item)
            links = [
                link
                for link in self.base.links
                if item in link.items and not {desk.item, *found[:-1]} & link.items
            ]
        return found

    def _moved(self, channel: Channel, desk: Desk, from_: Desk, numbers: list[int]) -> None:
        """A thing that is there: its plugs go where the list has them, the rest stays."""
        self._change(channel, from_, numbers)
        if list(channel.numbers)[: len(numbers)] == numbers and desk.item == from_.item:
            return
        for old, new in zip(numbers, channel.numbers, strict=False):
            self._replug(from_, old, desk, new)

    def _replug(self, from_: Desk, old: int, desk: Desk, new: int) -> None:
        for address in from_.sockets(old):
            link = self.base.link_at(address)
            if link is None:
                continue
            name = address.rpartition(".")[2]
            target = next((at for at in desk.sockets(new) if at.endswith(f".{name}")), None)
            if target is None:
                self.notes.append(f"{desk.item} has no {name} input at channel {new}")
                continue
            ends = {end: target if at == address else at for end, at in link.ends.items()}
            self.unplugs.append(link)
            self.plugs.append(Plug(replace(link, ends=ends)))

    def _change(self, channel: Channel, desk: Desk, numbers: list[int]) -> None:
        """What the list says outright about a thing that is there; guesses change nothing."""
        guessed = {guess.about for guess in channel.guesses}
        behind = self._behind(desk, numbers[0])
        for about, type_id in (("microphone", channel.item), ("box", channel.box)):
            item = next((each for each in behind if self._is_like(each, about)), None)
            if item and type_id and about not in guessed and self.base.items[item].type != type_id:
                self.changes.append(Retype(item, type_id))
        builder = Builder(self.base, self.book)
        said = replace(channel, item=None, box=None, is_pair=False, side="")
        builder.switches(said, desk, numbers)
        self.changes += builder.edits
        self.notes += builder.notes

    def _is_like(self, item: str, about: str) -> bool:
        kind = self.book.entry(self.base.items[item].type).kind
        return kind == about

    def _taken(self, channel: Channel, desk: Desk, there: list[int]) -> None:
        """Another thing is plugged there."""
        address = desk.sockets(there[0])[0]
        key = f"taken {address}"
        answer = self.answers.get(key)
        if answer == "replace":
            for number in there:
                links = (self.base.link_at(at) for at in desk.sockets(number))
                self.unplugs += [link for link in links if link is not None]
            self.placed.append((channel, desk, channel.numbers))
            return
        if answer == "next":
            self.loose.append(replace(channel, numbers=()))
            return
        self.left.append(channel)
        if answer == LEAVE_OUT:
            return
        names = self._behind(desk, there[0])
        called = self.base.items[names[-1]].called if names else "another thing"
        ask = f"'{channel.name}' wants channel {there[0]} of {desk.item}, where {called} is plugged"
        self.questions[key] = Question(
            key,
            f"{ask}: what now?",
            (channel.where,),
            (
                Choice("replace", f"unplug {called}"),
                Choice("next", "the next input that is free"),
                Choice(LEAVE_OUT, "leave it out"),
            ),
        )

    # --- all together ---

    def plan(
        self, first: tuple[Edit, ...], guesses: tuple[Guess, ...], channels: Sequence[Channel]
    ) -> ListPlan:
        """Unplug, plug again, change, then add what is new."""
        unplugs = tuple(Unplug(link) for link in dict.fromkeys(self.unplugs))
        blocked = self._blocked()
        before = (*unplugs, *self.plugs, *self.changes)
        if blocked:
            self.notes += blocked
        show = apply(self.base, before)[0]
        builder = Builder(show, self.book)
        self._place_loose(show, channels)
        for channel, desk, numbers in self.placed:
            builder.add(channel, desk, numbers)
        return ListPlan(
            (*first, *before, *builder.edits),
            tuple(self.questions.values()),
            guesses,
            tuple(dict.fromkeys((*self.notes, *builder.notes))),
            tuple(self.left),
        )

    def _blocked(self) -> list[str]:
        """Moves into a channel whose own thing does not move away are taken back."""
        gone = {at for link in self.unplugs for at in link.ends.values()}
        notes = []
        for edit in list(self.plugs):
            assert isinstance(edit, Plug)  # noqa: S101 - only plugs are collected there
            stuck = [
                at
                for at in edit.link.ends.values()
                if at not in gone and self.base.link_at(at) is not None
            ]
            if stuck:
                self.plugs.remove(edit)
                old = next(
                    link
                    for link in self.unplugs
                    if set(link.ends.values()) - gone == set() and _is_moved(link, edit.link)
                )
                self.unplugs.remove(old)
                notes.append(
                    f"{stuck[0]} has a plug that the list does not move: nothing was moved there"
                )
        return notes

    def _place_loose(self, show: Show, channels: Sequence[Channel]) -> None:
        """Channels without a number go to the next inputs that are free, in order."""
        named = {number for each in channels for number in each.numbers if each.is_spare}
        for channel in self.loose:
            place = self._next_place(show, channel.count, named)
            if place is None:
                self.notes.append(f"{channel.name}: no input is free for it; it is not plugged")
                self.left.append(channel)
                continue
            desk, numbers = place
            self.kept |= {(desk.item, number) for number in numbers}
            self.placed.append((channel, desk, numbers))

    def _next_place(
        self, show: Show, count: int, named: set[int]
    ) -> tuple[Desk, Sequence[int]] | None:
        for desk in desks_of(show, self.book):
            kept = {number for item, number in self.kept if item == desk.item} | named
            free = list(desk.free(show, kept))
            for at in range(len(free) - count + 1):
                run = free[at : at + count]
                if run[-1] - run[0] == count - 1:
                    return desk, run
        return None


def _is_moved(old: Link, new: Link) -> bool:
    """Whether a link is another one with one end elsewhere."""
    return len(set(old.ends.values()) & set(new.ends.values())) == len(old.ends) - 1
