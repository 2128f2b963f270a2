"""What people type, matched to gear: ``amp speaker out``, ``stereo line input of mixer``."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Final, Literal

from levelhead.gear.book import GearBook
from levelhead.gear.model import TypeEntry
from levelhead.gear.plan import BlockInstance, ItemPlan, PortPlan
from levelhead.planning.conditions import Condition, read_text
from levelhead.planning.fitting import fitness, switch_settings
from levelhead.planning.typed_words import tokens, words_in_turn
from levelhead.rig.model import Rig, RigPort

__all__ = [
    "Candidate",
    "Side",
    "find_candidates",
    "find_ports",
    "find_sources",
    "matched",
    "nearest_types",
    "socket_words",
    "tokens",
]

Side = Literal["from", "to"]

_THROUGH: Final = "through"
_ROLES: Final[Mapping[Side, frozenset[str]]] = {
    "from": frozenset({"out", "through", "loudspeaker"}),
    "to": frozenset({"in"}),
}
_SIGNALS: Final = frozenset().union(*_ROLES.values())
_TYPE_WEIGHT: Final = 2.0
_CHANNEL_WEIGHT: Final = 3.0  # of a socket named without its gear
_PORT_WEIGHT: Final = 1.5
_SOCKET_WEIGHT: Final = 0.7  # of a word for the connector
_KNOWN_WEIGHT: Final = 0.4  # of a word by which the type goes, in another of its names
_CONNECTOR_WORDS: Final[Mapping[str, frozenset[str]]] = {
    "xlr": frozenset({"xlr"}),
    "combo": frozenset({"xlr", "jack", "combo"}),
    "jack": frozenset({"jack", "trs", "ts"}),
    "mini": frozenset({"minijack", "trs"}),
    "phono": frozenset({"phono"}),
    "usb": frozenset({"usb"}),
    "hdmi": frozenset({"hdmi"}),
}
_SPOKEN_WEIGHT: Final = 0.5  # of a word for the socket that names a switch as well: bridge
_OUT_OF_TURN: Final = 0.8
_LEAST_OF_GEAR: Final = 0.5  # one word of a name, with one stray beside it
_STRAY: Final = 1.2  # cost of a typed word that nothing of the candidate says
_SPARE: Final = 0.15  # cost of a word of the type that was not typed
_LEAST: Final = 1.0
_OUTRIGHT: Final = 10.0  # score of what was named as the book has it
_WRONG_WAY: Final = 1.5  # cost of a socket that gives where one that takes is asked for, or back
_BARE_ROLES: Final[Mapping[Side, frozenset[str]]] = {
    "from": frozenset({"out"}),
    "to": frozenset({"in"}),
}
_SENDING: Final = frozenset({"aux", "send", "main", "master", "bus"})  # words for outputs of a desk
_BARE_SOCKET: Final = 2  # words that name a socket of whatever has it: line input, mic input


@dataclass(frozen=True, slots=True)
class Candidate:
    """A port of a gear type that what was typed may mean.

    ``settings`` are switches that were named; ``unmet`` are words that say nothing of it.
    """

    type_id: str
    port: str
    label: str
    score: float
    settings: Mapping[str, str] = field(default_factory=dict)
    unmet: frozenset[str] = frozenset()

    @property
    def address(self) -> str:
        """``type.port``, for lists and links."""
        return f"{self.type_id}.{self.port}"

    def plan(self, book: GearBook) -> ItemPlan:
        """The type with its switches as they were named."""
        return book.plan(self.type_id, dict(self.settings), {})


def find_candidates(book: GearBook, text: str, side: Side) -> list[Candidate]:
    """Ports of gear types that the text may mean, best first.

    The best of a type's phrases counts, then what is left of the words against the phrases of its
    ports and of its switches' positions. Conditions among the words decide between equals. An
    address means just that socket; a type, with or without words for a socket, its own ones.
    """
    named = _named_outright(book, text.strip(), side)
    if named:
        return named
    read = read_text(text)
    return matched(book, read.rest, side, read.conditions)


def matched(
    book: GearBook, text: str, side: Side, conditions: Sequence[Condition] = ()
) -> list[Candidate]:
    """As :func:`find_candidates`, of a text whose conditions were taken out."""
    named = _named_outright(book, text.strip(), side)
    if named:
        return named
    wanted = _Wanted(book, _in_turn(text), side, tuple(conditions))
    asked = wanted.asked
    found: list[Candidate] = []
    for type_id in book.ids:
        sketch = book.sketch(type_id)
        if sketch.ends or sketch.sounds:
            continue
        score, left = _best_phrase(asked, sketch.phrases, wanted.in_turn)
        if score > 0:
            known = _vocabulary(sketch.label, sketch.phrases)
            found += _of_type(wanted, type_id, score, left, known)
        if sketch.mixes and _names_a_socket(asked, side):
            found += _of_channels(wanted, type_id)
    found.sort(key=lambda each: -each.score)  # of equals, the one that the book lists first
    return [each for each in found if each.score >= _LEAST_OF_GEAR]


def _in_turn(text: str) -> tuple[str, ...]:
    return tuple(token for token, _ in words_in_turn(text))


@dataclass(frozen=True, slots=True)
class _Wanted:
    """What is looked for."""

    book: GearBook
    in_turn: tuple[str, ...]
    side: Side
    conditions: tuple[Condition, ...]

    @property
    def asked(self) -> frozenset[str]:
        """The words, in no order."""
        return frozenset(self.in_turn)

    def settings(self, plan: ItemPlan, block: BlockInstance) -> dict[str, str]:
        """Settings that conditions name, where the gear has such a switch."""
        found: dict[str, str] = {}
        for each in self.conditions:
            found |= switch_settings(self.book, plan, block, each)
        return found


@lru_cache(maxsize=1024)
def _vocabulary(label: str, phrases: tuple[str, ...]) -> frozenset[str]:
    """All words by which a type goes."""
    return frozenset().union(*(tokens(each) for each in (label, *phrases)))


def nearest_types(book: GearBook, text: str, count: int = 2) -> list[str]:
    """Gear types that share a word with a text that fits none, those that share most first.

    >>> from levelhead.gear.book import load_book
    >>> nearest_types(load_book(), "church organ mic")
    ['keyboard-stereo', 'mic-vocal-dynamic']
    """
    asked = tokens(text)
    found: list[tuple[float, str]] = []
    for type_id in book.ids:
        sketch = book.sketch(type_id)
        if not (sketch.ends or sketch.sounds):
            score, _ = _best_phrase(asked, sketch.phrases)
            found += [(score, type_id)] if score > 0 else []
    found.sort(key=lambda each: -each[0])  # of equals, the one that the book lists first
    return [type_id for _, type_id in found[:count]]


def _named_outright(book: GearBook, text: str, side: Side) -> list[Candidate]:
    """Sockets of ``type.port``, of a bare ``type``, or of ``type`` with words for its socket."""
    name, _, words = text.partition(" ")
    type_id, dot, address = name.partition(".")
    if type_id not in book or book.sketch(type_id).ends or book.sketch(type_id).sounds:
        return []
    if dot and not words:
        plan = book.plan(type_id, {}, {})
        return [
            Candidate(type_id, address, f"{plan.label}: {port.label}", _OUTRIGHT)
            for block in plan.blocks
            for name, port in block.plan.ports.items()
            if block.address(name) == address
        ]
    read = read_text(words)
    asked = _in_turn(read.rest)
    if dot or (words and "-" not in name):
        return []  # a word of the trade that is an id as well, such as "laptop"
    wanted = _Wanted(book, asked, side, read.conditions)
    found = _of_type(wanted, type_id, _OUTRIGHT, wanted.asked, frozenset())
    return sorted(found, key=lambda each: -each.score)


def find_sources(book: GearBook, text: str) -> list[Candidate]:
    """Voices and instruments in the air that the text may mean, best first; they have no port."""
    asked = tokens(text)
    found = []
    for type_id in book.ids:
        if book.sketch(type_id).sounds:
            score, left = _best_phrase(asked, book.sketch(type_id).phrases)
            total = score - _STRAY * len(left)
            found.append(Candidate(type_id, "", book.entry(type_id).label, total))
    found.sort(key=lambda each: -each.score)
    return [each for each in found if each.score >= _LEAST]


def find_ports(rig: Rig, text: str, side: Side) -> list[RigPort]:
    """Sockets of a show's own items that the text may mean, best first, free ones before taken.

    Items go by their ids, labels and types. An address means just that socket.
    """
    if text in rig.ports:
        return [rig.ports[text]]
    asked = tokens(text)
    found: list[tuple[float, bool, RigPort]] = []
    for item in rig.items.values():
        entry = rig.book.entry(item.plan.type_id)
        phrases = (item.id.replace("-", " "), item.label, entry.label.partition(",")[0])
        score, left = _best_phrase(asked, (*phrases, *entry.words))
        for port in rig.ports.values() if score > 0 else ():
            if port.item.id == item.id and port.plan.role in _ROLES[side]:
                words = _port_words(port.block, port.plan) | tokens(port.block.name)
                met = words & left
                total = score + _PORT_WEIGHT * len(met) - _STRAY * len(left - met)
                found.append((-total, _is_taken(rig, port), port))
    found.sort(key=lambda each: each[:2])
    return [port for total, _, port in found if -total >= _LEAST]


def _is_taken(rig: Rig, port: RigPort) -> bool:
    """Whether a plug is in it, or in another input of its strip."""
    beside = (rig.ports[port.sibling(name)] for name in port.block.plan.ports)
    strip = [each for each in beside if port.block.name and each.plan.role == "in"]
    return port.link is not None or (
        port.plan.role == "in" and any(each.link is not None for each in strip)
    )


def _best_phrase(
    asked: frozenset[str], phrases: Iterable[str], in_turn: tuple[str, ...] = ()
) -> tuple[float, frozenset[str]]:
    """Score of the phrase that says most of what was asked, and the words it leaves.

    A phrase in another order counts less: a mixer's line input is not that of a line mixer.
    """
    best, left = 0.0, asked
    for phrase in phrases:
        words = tokens(phrase)
        met = words & asked
        score = _TYPE_WEIGHT * len(met) - _SPARE * len(words - asked)
        if met and score > best and in_turn and not _is_in_turn(phrase, met, in_turn):
            score -= _OUT_OF_TURN
        if met and score > best:
            best, left = score, asked - met
    return best, left


def _is_in_turn(phrase: str, met: frozenset[str], in_turn: tuple[str, ...]) -> bool:
    """Whether the words that were typed stand in the order of the phrase."""
    places = [in_turn.index(word) for word, _ in words_in_turn(phrase) if word in met]
    return places == sorted(places)


def _of_type(
    wanted: _Wanted, type_id: str, score: float, left: frozenset[str], known: frozenset[str]
) -> list[Candidate]:
    """Sockets of one type.

    ``left`` are words that its phrase does not say, ``known`` all others by which it goes.
    """
    plan = wanted.book.plan(type_id, {}, {})
    settings, spoken = _positions(plan, wanted.asked)
    if settings:  # a position may have a socket of its own, such as that of a bridged output
        plan = wanted.book.plan(type_id, settings, {})
    rest = left - spoken
    # through sockets come last, what the gear's own name says as well comes first
    found: dict[tuple[str, str], tuple[tuple[bool, int], Candidate]] = {}
    for block in plan.blocks:
        for name, port in block.plan.ports.items():
            words = _port_words(block, port)
            is_named = words & left and port.role in _SIGNALS
            is_right = port.role in _ROLES[wanted.side]
            if not (is_right or is_named) or (block.block, name) in found:
                continue
            met = (words | socket_words(port.socket)) & rest
            unmet = rest - met - known
            total = score + len(spoken) + _PORT_WEIGHT * len(met & words)
            total += _SOCKET_WEIGHT * len(met - words) + _KNOWN_WEIGHT * len(rest - met - unmet)
            total += _SPOKEN_WEIGHT * len(words & spoken)
            total -= _STRAY * len(unmet) + (0.0 if is_right else _WRONG_WAY)
            total += fitness(wanted.book, plan, block, port, wanted.conditions)
            candidate = Candidate(
                type_id,
                block.address(name),
                f"{plan.label}: {port.label}",
                total,
                settings | wanted.settings(plan, block),
                unmet,
            )
            echo = len(words & wanted.asked - left)
            found[block.block, name] = ((port.role == _THROUGH, -echo), candidate)
    return [each for _, each in sorted(found.values(), key=lambda each: each[0])]


@lru_cache(maxsize=64)
def socket_words(socket: str) -> frozenset[str]:
    """What people call a connector: ``xlr``, ``jack``, ``minijack``, ``phono``."""
    return _CONNECTOR_WORDS.get(socket, _CONNECTOR_WORDS.get(socket.partition("-")[0], frozenset()))


def _names_a_socket(asked: frozenset[str], side: Side) -> bool:
    """Whether words can stand for a socket of a desk without naming the desk."""
    if side == "to":
        return len(asked) >= _BARE_SOCKET and "input" in asked
    return bool(asked & _SENDING)


def _of_channels(wanted: _Wanted, type_id: str) -> list[Candidate]:
    """Inputs of a type's mixed channels, or its outputs, that have all the words typed.

    Words for its switches need not be among them. Who says no more than "line input", "mic input with phantom", or "aux send", stands before a
    desk.
    """
    book, asked, side = wanted.book, wanted.asked, wanted.side
    entry = book.entry(type_id)
    bare = asked - _switch_words(entry, asked)

    def fits(words: frozenset[str]) -> bool:
        return bare <= words and _names_a_socket(asked & words, side)

    strips = entry.blocks.items()
    if not any(
        fits(_words_of_port(block, name, port.label or name, port.words))
        for block, strip in strips
        for name, port in strip.ports.items()
    ):
        return []  # and need not be planned, which takes its time for a large desk
    found: dict[tuple[str, str], Candidate] = {}
    plan = book.plan(type_id, {}, {})
    settings, spoken = _positions(plan, asked)
    for block in plan.blocks:
        is_channel = side == "from" or (block.mixes and block.name != block.block)
        for name, port in block.plan.ports.items() if is_channel else ():
            if port.role in _BARE_ROLES[side] and fits(words := _port_words(block, port)):
                total = _CHANNEL_WEIGHT * len(asked & words) + len(spoken - words)
                total += fitness(book, plan, block, port, wanted.conditions)
                label = f"{plan.label}: {port.label}"
                set_ = settings | wanted.settings(plan, block)
                each = Candidate(plan.type_id, block.address(name), label, total, set_)
                found.setdefault((block.block, name), each)
    return list(found.values())


def _switch_words(entry: TypeEntry, asked: frozenset[str]) -> frozenset[str]:
    """Words that name positions of a type's switches, such as phantom power."""
    controls = [*entry.controls.values()]
    controls += [each for block in entry.blocks.values() for each in block.controls.values()]
    said = (
        tokens(phrase) for each in controls for words in each.words.values() for phrase in words
    )
    return frozenset().union(*(words for words in said if words <= asked))


def _port_words(block: BlockInstance, port: PortPlan) -> frozenset[str]:
    return _words_of_port(block.block, port.name, port.label, port.words)


@lru_cache(maxsize=4096)
def _words_of_port(block: str, name: str, label: str, words: tuple[str, ...]) -> frozenset[str]:
    phrases = (label, name.replace("-", " "), block, *words)
    return frozenset().union(*(tokens(phrase) for phrase in phrases))


def _positions(plan: ItemPlan, asked: frozenset[str]) -> tuple[dict[str, str], frozenset[str]]:
    """Switch positions that the text names by one of their phrases."""
    settings, spoken = {}, frozenset[str]()
    for block in plan.blocks:
        if block.name and block.name != f"{block.block}1":
            continue
        for name, control in block.plan.controls.items():
            best = 0
            for option, phrases in control.words.items():
                for phrase in phrases:
                    words = tokens(phrase)
                    if words and words <= asked and len(words) > best:
                        best = len(words)
                        settings[block.address(name)] = option
                        spoken |= words | tokens(control.label) & asked
    return settings, spoken
