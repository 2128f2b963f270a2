"""Where each channel of a list goes: its own number, the next free input, or a question."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from levelhead.exchange.lists.building import Builder
from levelhead.exchange.lists.desks import Desk, desks_of, has_one_switch
from levelhead.exchange.lists.meanings import LEAVE_OUT
from levelhead.exchange.lists.model import Channel, Choice, Guess, Question
from levelhead.exchange.lists.phrases import words_of
from levelhead.gear.book import GearBook
from levelhead.show.edits import Edit, Plug, Retype, Unplug, apply
from levelhead.show.model import Link, Show

__all__ = ["ListPlan", "Placing"]


@dataclass(frozen=True, slots=True)
class ListPlan:
    """What a list makes of a show.

    ``edits`` are what is understood, ``questions`` what has to be asked besides those of the list,
    ``guesses`` what was taken for the show itself (its desk), ``left`` the rows that are not built.
    ``is_own`` says that it was our own input list come back; ``new`` are then its new rows.
    """

    edits: tuple[Edit, ...]
    questions: tuple[Question, ...] = ()
    guesses: tuple[Guess, ...] = ()
    notes: tuple[str, ...] = ()
    left: tuple[Channel, ...] = ()
    is_own: bool = False
    new: tuple[str, ...] = ()


@dataclass(slots=True)
class Placing:
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
                self.notes.append(f"{self._called(desk)} has no {name} input at channel {new}")
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
        wants = f"'{channel.name}' wants channel {there[0]} of {self._called(desk)}"
        ask = f"{wants}, where {called} is plugged"
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

    def _called(self, desk: Desk) -> str:
        return self.base.items[desk.item].called

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
        self.notes += self._barred(apply(show, builder.edits)[0])
        return ListPlan(
            (*first, *before, *builder.edits),
            tuple(self.questions.values()),
            guesses,
            tuple(dict.fromkeys((*self.notes, *builder.notes))),
            tuple(self.left),
        )

    def _barred(self, after: Show) -> list[str]:
        """Rows that want no phantom power, at a desk whose one switch gives it to all."""
        return [
            f"{channel.where}: '{channel.name}' shall have no 48 V, but "
            f"{self._called(desk)} has one switch for all its inputs, and others need it: channel "
            f"{', '.join(map(str, numbers))} gets it too. Take a desk that switches it by the "
            "channel"
            for channel, desk, numbers in self.placed
            if channel.bars_phantom
            and has_one_switch(self.book, desk.type)
            and after.settings.get(f"{desk.item}.phantom") == "on"
        ]

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
