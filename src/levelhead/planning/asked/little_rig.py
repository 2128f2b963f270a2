"""The small show behind one question: two items, what feeds the first, what follows the second."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final

from levelhead.errors import AskError
from levelhead.gear.book import GearBook
from levelhead.gear.connectors import mates
from levelhead.gear.model import UsualEntry
from levelhead.gear.plan import ItemPlan, PortPlan
from levelhead.gear.plan.ways import block_of, generators, hears, leaving_port, upstream_port
from levelhead.planning.typed.candidates import Candidate
from levelhead.quantity.decibels import dbu_from_volts
from levelhead.quantity.formatting import format_level
from levelhead.quantity.levels import Level
from levelhead.quantity.parsing import parse, parse_si
from levelhead.rig.usual import BESIDE_M, is_taken_unasked, usual_cable
from levelhead.show.model import Cable, Item, Link, Show, Source

__all__ = ["Question", "QuestionRig", "build_question_rig", "own_level"]

_FEED: Final = "feed-line"
_FEED_UNBALANCED: Final = "feed-line-unbalanced"  # for sockets where a balanced feed loses a leg
_UNBALANCED: Final = frozenset({"jack-ts", "phono", "mini-ts"})
_VOICE: Final = "voice-singer"


@dataclass(frozen=True, slots=True)
class Question:
    """What was asked. ``settings`` are controls by their address in the question's show.

    ``at`` is the level that goes into the first item, or that it makes or hears itself. An address,
    as ``type.port``, says which of the gear that the words fit is meant.
    """

    from_text: str
    to_text: str
    cable: str | None = None
    length_m: float | None = None
    at: str | None = None
    settings: Mapping[str, str] = field(default_factory=dict)
    from_address: str | None = None
    to_address: str | None = None


@dataclass(frozen=True, slots=True)
class QuestionRig:
    """A show made for a question, with the addresses of the two ports and the link between them."""

    show: Show
    from_: str
    to: str
    link: Link


def build_question_rig(
    book: GearBook, question: Question, from_: Candidate, to: Candidate
) -> QuestionRig:
    """Make the show of a question.

    Raises
    ------
    AskError
        The level does not suit the first item.
    GearError
        No such cable.
    """
    return _Builder(book, question, from_, to).build()


class _Builder:
    """Items, links and sources as they come together."""

    def __init__(self, book: GearBook, question: Question, from_: Candidate, to: Candidate) -> None:
        self.book, self.question, self.from_, self.to = book, question, from_, to
        self.first = from_.type_id
        self.second = to.type_id if to.type_id != self.first else f"{self.first}-2"
        self.plan = from_.plan(book)
        self.items: dict[str, Item] = {}
        self.links: list[Link] = []
        self.sources: dict[str, Source] = {}

    def build(self) -> QuestionRig:
        self._add(self.first, self.first, own_level(self.plan, self.question.at))
        self._add(self.second, self.to.type_id)
        self._add_what_feeds()
        link = self._link()
        self.links.append(link)
        self._add_what_follows()
        show = Show(
            "question",
            items=self.items,
            sources=self.sources,
            links=tuple(self.links),
            settings=self._settings(),
            is_excerpt=True,
        )
        return QuestionRig(
            show, f"{self.first}.{self.from_.port}", f"{self.second}.{self.to.port}", link
        )

    def _add(self, name: str, type_id: str, figures: Mapping[str, str] | None = None) -> None:
        self.items[name] = Item(
            name, type_id, _short_name(self.book, type_id), figures=figures or {}
        )

    def _settings(self) -> dict[str, str]:
        named = {f"{self.first}.{name}": value for name, value in self.from_.settings.items()}
        named |= {f"{self.second}.{name}": value for name, value in self.to.settings.items()}
        return named | dict(self.question.settings)

    # --- before the first item ---

    def _add_what_feeds(self) -> None:
        usual = self.book.entry(self.first).usual
        if hears(self.plan):
            self._add_voice(usual, self.first)
            return
        fed_at = upstream_port(self.plan, self.from_.port)
        if fed_at is None:
            return
        is_meant = usual.fed_at in (None, block_of(self.plan, fed_at)[0].block)
        if usual.fed_by is not None and is_meant and self.question.at is None:
            type_id, _, port = usual.fed_by.partition(".")
            self._feed(type_id, port, self.first, fed_at)
        else:
            self._feed_line(self.first, fed_at, self.question.at)

    def _feed_line(self, item: str, fed_at: str, at: str | None) -> None:
        """A line feed, unbalanced where a balanced one would lose a leg."""
        fed = block_of(self.book.plan(self.items[item].type, {}, {}), fed_at)[1]
        is_unbalanced = bool(fed.signals) or fed.socket in _UNBALANCED
        figures = {} if at is None else {"generator.level": _in_dbu(at)}
        self._feed(_FEED_UNBALANCED if is_unbalanced else _FEED, "out", item, fed_at, figures)

    def _add_voice(self, usual: UsualEntry, at: str) -> None:
        """What a microphone hears, at the level of the question or at its usual distance."""
        type_id = usual.source or _VOICE
        air = self.book.plan(type_id, {}, {}).air
        if air is None:
            return
        distance_m = air.distance_m
        if isinstance(usual.distance, str):
            distance_m = parse_si(usual.distance, "m")
        if self.question.at is not None:
            distance_m = air.at_m * air.level_pa.value / parse_si(self.question.at, "Pa")
        label = _short_name(self.book, type_id)
        self.sources["voice"] = Source("voice", type_id, at, distance_m, label)

    def _feed(
        self,
        type_id: str,
        port: str,
        item: str,
        fed_at: str,
        figures: Mapping[str, str] | None = None,
    ) -> None:
        """An item plugged into a port of one that is there, and what it needs to have a signal."""
        name = "feed" if "feed" not in self.items else "feed-2"
        self._add(name, type_id, figures)
        plan = self.book.plan(type_id, {}, {})
        start = block_of(plan, port)[1]
        end = block_of(self.book.plan(self.items[item].type, {}, {}), fed_at)[1]
        ends = {"a": f"{name}.{port}", "b": f"{item}.{fed_at}"}
        self.links.append(Link(ends, self._usual(start, end, BESIDE_M)))
        upstream = upstream_port(plan, port)
        if hears(plan):
            self._add_voice(self.book.entry(type_id).usual, name)
        elif upstream is not None and name == "feed":
            self._feed_line(name, upstream, None)

    # --- between the two, and behind ---

    def _usual(self, from_: PortPlan, to: PortPlan, length_m: float | None) -> tuple[Cable, ...]:
        cable = usual_cable(self.book, from_, to)
        return () if cable is None else (Cable(cable.type_id, length_m),)

    def _link(self) -> Link:
        """The link asked about: a Y lead from a stereo socket to a pair, else the usual cable."""
        start = block_of(self.plan, self.from_.port)[1]
        end = block_of(self.to.plan(self.book), self.to.port)[1]
        near, far = f"{self.first}.{self.from_.port}", f"{self.second}.{self.to.port}"
        length_m = self.question.length_m
        if self.question.cable is not None:
            return Link({"a": near, "b": far}, (Cable(self.question.cable, length_m),))
        inserted = self._insert_lead(start, end)
        if inserted is not None:
            back = f"{self.second}.{leaving_port(self.to.plan(self.book), self.to.port)}"
            return Link({"a": near, "send": far, "return": back}, (Cable(inserted, length_m),))
        fan = _fan(self.book, start, end)
        if fan is not None:
            right = f"{far.removesuffix('-left')}-right"
            return Link({"a": near, "left": far, "right": right}, (Cable(fan, length_m),))
        return Link({"a": near, "b": far}, self._usual(start, end, length_m))

    def _insert_lead(self, start: PortPlan, end: PortPlan) -> str | None:
        """A lead from an insert to what is inserted and back, where that has a way out."""
        back = leaving_port(self.to.plan(self.book), self.to.port) if end.role == "in" else None
        if start.role != "insert" or back is None:
            return None
        out = block_of(self.to.plan(self.book), back)[1]
        meets = {"a": start.socket, "send": end.socket, "return": out.socket}
        return _lead_of_three(self.book, meets)

    def _add_what_follows(self) -> None:
        """A box without power of its own does nothing until something hangs on its output."""
        usual = self.book.entry(self.to.type_id).usual
        plan = self.to.plan(self.book)
        if usual.into is None:
            return
        type_id, _, port = usual.into.partition(".")
        block, asked = block_of(plan, self.to.port)
        outputs = [name for name, each in block.plan.ports.items() if each.drives]
        leaving = usual.by or next(iter(outputs), None)
        if leaving is None or type_id in self.items or asked.gives:
            return
        self._add(type_id, type_id)
        start = block.plan.ports[leaving]
        end = block_of(self.book.plan(type_id, {}, {}), port)[1]
        ends = {"a": f"{self.second}.{block.address(leaving)}", "b": f"{type_id}.{port}"}
        self.links.append(Link(ends, self._usual(start, end, None)))


def _short_name(book: GearBook, type_id: str) -> str:
    """What the trade calls it: the first of its words."""
    entry = book.entry(type_id)
    return entry.words[0] if entry.words else entry.label


def own_level(plan: ItemPlan, at: str | None) -> dict[str, str]:
    """The level of a generator, where the item has one and a level was given."""
    generator = next(generators(plan), None)
    if at is None or generator is None:
        return {}
    if generator.unit == "V":
        return {"generator.level": _in_dbu(at)}
    if not isinstance(parse(at), Level) or "FS" not in at:
        raise AskError(
            f"'{at}' is no level of a digital player",
            where=plan.label,
            expected="a level in dBFS",
            remedy="Write for example --at '-12 dBFS', or set its volume with --set.",
        )
    return {"generator.level": at}


def _in_dbu(at: str) -> str:
    return format_level(float(dbu_from_volts(parse_si(at, "V"))), "dBu", 2)


def _fan(book: GearBook, start: PortPlan, end: PortPlan) -> str | None:
    """A lead from one stereo socket to a left and a right one."""
    if start.signals != ("left", "right") or not end.name.endswith("-left"):
        return None
    return _lead_of_three(book, {"a": start.socket, "left": end.socket, "right": end.socket})


def _lead_of_three(book: GearBook, meets: Mapping[str, str]) -> str | None:
    """The first lead of the book with these ends, each with a plug for its socket."""
    for type_id in book.of_kind("cable"):
        ends = book.sketch(type_id).ends
        is_like = set(ends) == set(meets) and is_taken_unasked(book, type_id)
        if is_like and all(mates(meets[end], str(plug)) is not None for end, plug in ends.items()):
            return type_id
    return None
