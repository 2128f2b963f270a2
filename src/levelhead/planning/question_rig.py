"""The small show behind one question: two items, what feeds the first, and the cable between them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from levelhead.errors import AskError
from levelhead.gear.book import GearBook
from levelhead.gear.connectors import mates
from levelhead.gear.plan import BlockInstance, ItemPlan, PortPlan
from levelhead.planning.names import Candidate
from levelhead.quantity.formatting import format_level
from levelhead.quantity.levels import Level, Reference, dbu_from_volts
from levelhead.quantity.parsing import parse, parse_si
from levelhead.rig.cabling import usual_cable
from levelhead.show.model import Cable, Item, Link, Show, Source

__all__ = ["QuestionRig", "build_question_rig"]

_FEEDS: Final = ("feed-line-unbalanced", "feed-line")  # the first whose cable keeps the level whole
_VOICE: Final = "voice-singer"
_UNBALANCED: Final = frozenset({"jack-ts", "phono", "mini-ts"})


@dataclass(frozen=True, slots=True)
class QuestionRig:
    """A show made for a question, with the addresses of the two ports and the link between them."""

    show: Show
    from_: str
    to: str
    link: Link
    fed_at: str | None


def _block_of(plan: ItemPlan, port: str) -> tuple[BlockInstance, PortPlan]:
    for block in plan.blocks:
        for name, port_plan in block.plan.ports.items():
            if block.address(name) == port:
                return block, port_plan
    raise AskError(
        f"no port '{port}'",
        where=plan.type_id,
        expected="a port of this type",
        remedy=f"List them with: levelhead gear {plan.type_id}",
    )


def _upstream_port(plan: ItemPlan, port: str) -> str | None:
    """The input whose signal leaves by this port: the one it is joined to, or its path's origin."""
    block, port_plan = _block_of(plan, port)
    if port_plan.joined is not None:
        return block.address(port_plan.joined)
    if block.plan.parts:
        inputs = [name for name, each in block.plan.ports.items() if each.role == "in"]
        return block.address(inputs[0]) if inputs else None
    for candidate in plan.blocks:
        for path in candidate.plan.paths:
            if (
                path.to_port is None
                or path.to_port.port != port_plan.name
                or candidate.name != block.name
            ):
                continue
            for origin in path.origins:
                if origin.port is not None:
                    return candidate.address(origin.port.port)
                if origin.kind == "mix":
                    return _first_line_input(plan)
    return None


def _first_line_input(plan: ItemPlan) -> str | None:
    """An input that reaches the mix at line level: the first of a strip that takes one."""
    for block in plan.blocks:
        for name, port in block.plan.ports.items():
            if port.role == "in" and port.socket != "xlr-f":
                return block.address(name)
    return None


def _hears(plan: ItemPlan) -> bool:
    return any(
        origin.kind == "air" for block in plan.blocks for path in block.plan.paths for origin in path.origins
    )  # fmt: skip


def build_question_rig(
    book: GearBook,
    from_: Candidate,
    to: Candidate,
    *,
    cable: str | None,
    length_m: float | None,
    at: str | None,
    settings: Mapping[str, str],
) -> QuestionRig:
    """Make the show of a question.

    Parameters
    ----------
    at
        Level that goes into the first item (or that it makes itself): ``+4 dBu``, ``110 dB SPL``.
    settings
        Settings by address in this show, e.g. ``laptop.volume``.

    Raises
    ------
    AskError
        The level does not suit the first item, or no such cable.
    """
    first = from_.type_id
    second = to.type_id if to.type_id != first else f"{first}-2"
    plan = book.plan(first, {}, {})
    items = {
        first: Item(first, first, _short_name(book, first), figures=_own_level(plan, at)),
        second: Item(second, to.type_id, _short_name(book, to.type_id)),
    }
    links: list[Link] = []
    sources: dict[str, Source] = {}
    fed_at = None
    if _hears(plan):
        voice = book.plan(_VOICE, {}, {}).air
        assert voice is not None
        distance_m = voice.distance_m
        if at is not None:
            distance_m = voice.at_m * voice.level_pa.value / parse_si(at, "Pa")
        sources["voice"] = Source("voice", _VOICE, first, distance_m, "singer")
    else:
        fed_at = _upstream_port(plan, from_.port)
        if fed_at is not None:
            feed, feed_link = _feed(book, plan, fed_at, first, at)
            items["feed"] = feed
            links.append(feed_link)
    link = _link(book, plan, from_, to, first, second, cable, length_m)
    links.append(link)
    wanted = {
        **{f"{first}.{name}": value for name, value in from_.settings.items()},
        **{f"{second}.{name}": value for name, value in to.settings.items()},
        **settings,
    }
    show = Show("question", items=items, sources=sources, links=tuple(links), settings=wanted)
    return QuestionRig(show, f"{first}.{from_.port}", f"{second}.{to.port}", link, fed_at)


def _short_name(book: GearBook, type_id: str) -> str:
    """What the trade calls it: the first of its words."""
    entry = book.entry(type_id)
    return entry.words[0] if entry.words else entry.label


def _own_level(plan: ItemPlan, at: str | None) -> dict[str, str]:
    """The level of a generator, where the item has one and a level was given."""
    generators = [
        origin.generator
        for block in plan.blocks
        for path in block.plan.paths
        for origin in path.origins
        if origin.generator is not None
    ]
    if at is None or not generators:
        return {}
    if generators[0].unit == "FS":
        if not isinstance(parse(at), Level) or "FS" not in at:
            raise AskError(
                f"'{at}' is no level of a digital player",
                where=plan.label,
                expected="a level in dBFS",
                remedy="Write for example --at '-12 dBFS', or set its volume with --set.",
            )
        return {"generator.level": at}
    volts = parse_si(at, "V")
    return {"generator.level": format_level(float(dbu_from_volts(volts)), Reference.DBU.value, 2)}


def _feed(
    book: GearBook, plan: ItemPlan, fed_at: str, first: str, at: str | None
) -> tuple[Item, Link]:
    """A line-level signal into the first item."""
    _, port = _block_of(plan, fed_at)
    feed = _FEEDS[0] if port.socket in _UNBALANCED else _FEEDS[1]
    figures = {} if at is None else {"generator.level": _feed_level(at)}
    feed_plan = book.plan(feed, {}, {})
    _, out = _block_of(feed_plan, "out")
    cable = usual_cable(book, out.socket, port.socket)
    via = () if cable is None else (Cable(cable.type_id, 3.0),)
    return Item("feed", feed, figures=figures), Link(
        {"a": "feed.out", "b": f"{first}.{fed_at}"}, via
    )


def _feed_level(at: str) -> str:
    return format_level(float(dbu_from_volts(parse_si(at, "V"))), Reference.DBU.value, 2)


def _link(
    book: GearBook,
    plan: ItemPlan,
    from_: Candidate,
    to: Candidate,
    first: str,
    second: str,
    cable: str | None,
    length_m: float | None,
) -> Link:
    """The link between the two ports: a Y lead from a stereo socket to a pair, else the usual cable."""
    _, start = _block_of(plan, from_.port)
    _, end = _block_of(book.plan(to.type_id, {}, {}), to.port)
    fan = None if cable is not None else _fan(book, start, end)
    if fan is not None:
        right = f"{to.port.removesuffix('-left')}-right"
        ends = {
            "a": f"{first}.{from_.port}",
            "left": f"{second}.{to.port}",
            "right": f"{second}.{right}",
        }
        return Link(ends, (Cable(fan, length_m),))
    ends = {"a": f"{first}.{from_.port}", "b": f"{second}.{to.port}"}
    if cable is not None:
        return Link(ends, (Cable(cable, length_m),))
    usual = usual_cable(book, start.socket, end.socket)
    return Link(ends, () if usual is None else (Cable(usual.type_id, length_m),))


def _fan(book: GearBook, start: PortPlan, end: PortPlan) -> str | None:
    """A lead from one stereo socket to a left and a right one."""
    if start.signals != ("left", "right") or not end.name.endswith("-left"):
        return None
    for type_id in book.ids:
        ends = book.entry(type_id).ends
        if ends and set(ends) == {"a", "left", "right"} and mates(start.socket, ends["a"]):
            if mates(end.socket, ends["left"]) is not None:
                return type_id
    return None
