"""What people type, matched to gear: ``amp speaker out``, ``stereo line input of mixer``."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import Final, Literal

from levelhead.gear.book import GearBook
from levelhead.gear.plan import BlockInstance, ItemPlan
from levelhead.gear.plan.ways import block_of
from levelhead.planning.typed.conditions import Condition, read_text
from levelhead.planning.typed.fitting import fitness, switch_settings
from levelhead.planning.typed.named_gear import NamedGear, gear_named
from levelhead.planning.typed.phrases import (
    PORT_WEIGHT,
    STRAY,
    best_phrase,
    is_number,
    numbered,
    port_words,
    positions,
    socket_words,
    switch_words,
    vocabulary,
    words_of_port,
)
from levelhead.planning.typed.words import tokens, words_in_turn

__all__ = [
    "LEAST",
    "ROLES",
    "Candidate",
    "Side",
    "find_candidates",
    "find_sources",
    "matched",
    "nearest_types",
    "tokens",
]

Side = Literal["from", "to"]

_THROUGH: Final = "through"
ROLES: Final[Mapping[Side, frozenset[str]]] = {
    "from": frozenset({"out", "through", "loudspeaker"}),
    "to": frozenset({"in"}),
}
_DRIVES_LOUDSPEAKERS: Final = tokens("loudspeaker output")  # said alone, that of an amplifier
_SIGNALS: Final = frozenset({"insert"}).union(*ROLES.values())

_CHANNEL_WEIGHT: Final = 3.0  # of a socket named without its gear

_SOCKET_WEIGHT: Final = 0.7  # of a word for the connector
_KNOWN_WEIGHT: Final = 0.4  # of a word by which the type goes, in another of its names
_HEAD_WEIGHT: Final = 0.3  # of the last word as the gear's own, where others are strange
_SPOKEN_WEIGHT: Final = 0.5  # of a word for the socket that names a switch as well: bridge

_LEAST_OF_GEAR: Final = 0.5  # one word of a name, with one stray beside it


LEAST: Final = 1.0
_OUTRIGHT: Final = 10.0  # score of what was named as the book has it
_WRONG_WAY: Final = 1.5  # cost of a socket that gives where one that takes is asked for, or back
_BARE_ROLES: Final[Mapping[Side, frozenset[str]]] = {
    "from": frozenset({"out", "insert"}),
    "to": frozenset({"in"}),
}
_SENDING: Final = frozenset(
    {"aux", "send", "main", "master", "bus", "insert"}
)  # words for outputs of a desk
_OTHER_GEAR: Final = 2.0  # cost of a socket of other gear than was named
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
    if tokens(text) == _DRIVES_LOUDSPEAKERS:
        text = f"amplifier {text}"
    wanted = _Wanted(book, _in_turn(text), side, tuple(conditions))
    asked = wanted.asked
    found: list[Candidate] = []
    for type_id in book.ids:
        sketch = book.sketch(type_id)
        if sketch.ends or sketch.sounds:
            continue
        score, left = best_phrase(asked, sketch.phrases, wanted.in_turn)
        if score > 0:
            known = wanted.known(sketch.label, sketch.phrases)
            found += _of_type(wanted, type_id, score, left, known)
        if sketch.mixes and _names_a_socket(asked, side):
            found += _of_channels(wanted, type_id)
    found = _without_others(wanted, gear_named(book, text), found)
    found.sort(key=lambda each: -each.score)  # of equals, the one that the book lists first
    return [each for each in found if each.score >= _LEAST_OF_GEAR]


def _without_others(
    wanted: _Wanted, named: NamedGear | None, found: Sequence[Candidate]
) -> list[Candidate]:
    """Candidates, those behind that are other gear than was named in front."""
    if named is None:
        return list(found)
    kept = []
    for each in found:
        block, port = block_of(each.plan(wanted.book), each.port)
        met = wanted.asked - each.unmet
        is_other = named.is_other(each.type_id, met, port_words(block, port))
        kept.append(replace(each, score=each.score - _OTHER_GEAR) if is_other else each)
    return kept


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

    def known(self, label: str, phrases: tuple[str, ...]) -> frozenset[str]:
        """Words by which a type goes; a number only before the word that it counts there."""
        counted = {number for number, _ in numbered(label, phrases) & set(pairwise(self.in_turn))}
        words = vocabulary(label, phrases)
        return frozenset(each for each in words if each in counted or not is_number(each))

    def counted(self, words: frozenset[str]) -> frozenset[str]:
        """Words of a socket, numbers only where the next word that was typed is one as well."""
        pairs = (pair for pair in pairwise(self.in_turn) if is_number(pair[0]))
        strange = {number for number, behind in pairs if behind not in words}
        return words - strange

    def settings(self, plan: ItemPlan, block: BlockInstance) -> dict[str, str]:
        """Settings that conditions name, where the gear has such a switch."""
        found: dict[str, str] = {}
        for each in self.conditions:
            found |= switch_settings(self.book, plan, block, each)
        return found


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
            score, _ = best_phrase(asked, sketch.phrases)
            found += [(score, type_id)] if score > 0 else []
    found.sort(key=lambda each: -each[0])  # of equals, the one that the book lists first
    return [type_id for _, type_id in found[:count]]


def _named_outright(book: GearBook, text: str, side: Side) -> list[Candidate]:
    """Sockets of ``type.port``, of a bare ``type``, or of either with words for the rest."""
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
    wanted = _Wanted(book, asked, side, read.conditions)
    if dot:
        return _just_that(wanted, type_id, address)
    if words and "-" not in name:
        return []  # a word of the trade that is an id as well, such as "laptop"
    found = _of_type(wanted, type_id, _OUTRIGHT, wanted.asked, frozenset())
    return sorted(found, key=lambda each: -each.score)


def _just_that(wanted: _Wanted, type_id: str, address: str) -> list[Candidate]:
    """The socket of an address; words beside it say how its switches stand."""
    settings, spoken = positions(wanted.book.plan(type_id, {}, {}), wanted.asked)
    plan = wanted.book.plan(type_id, settings, {})
    sketch = wanted.book.sketch(type_id)
    known = spoken | wanted.known(sketch.label, sketch.phrases)
    return [
        Candidate(
            type_id,
            address,
            f"{plan.label}: {port.label}",
            _OUTRIGHT,
            settings | wanted.settings(plan, block),
            wanted.asked - known - port_words(block, port),
        )
        for block in plan.blocks
        for name, port in block.plan.ports.items()
        if block.address(name) == address
    ]


def find_sources(book: GearBook, text: str) -> list[Candidate]:
    """Voices and instruments in the air that the text may mean, best first; they have no port."""
    asked = tokens(text)
    found = []
    for type_id in book.ids:
        if book.sketch(type_id).sounds:
            sketch = book.sketch(type_id)
            score, left = best_phrase(asked, sketch.phrases)
            total, unmet = (
                score - STRAY * len(left),
                left - vocabulary(sketch.label, sketch.phrases),
            )
            found.append(Candidate(type_id, "", sketch.label, total, unmet=unmet))
    found.sort(key=lambda each: -each.score)
    return [each for each in found if each.score >= LEAST]


def _of_type(
    wanted: _Wanted, type_id: str, score: float, left: frozenset[str], known: frozenset[str]
) -> list[Candidate]:
    """Sockets of one type.

    ``left`` are words that its phrase does not say, ``known`` all others by which it goes.
    """
    plan = wanted.book.plan(type_id, {}, {})
    settings, spoken = positions(plan, wanted.asked)
    if settings:  # a position may have a socket of its own, such as that of a bridged output
        plan = wanted.book.plan(type_id, settings, {})
    rest = left - spoken
    # through sockets come last, what the gear's own name says as well and main outputs come first
    found: dict[tuple[str, str], tuple[tuple[bool, int, bool], Candidate]] = {}
    for block in plan.blocks:
        for name, port in block.plan.ports.items():
            words = wanted.counted(port_words(block, port))
            is_named = words & left and port.role in _SIGNALS
            is_right = port.role in ROLES[wanted.side] or port.channels > 0  # a network: both ways
            is_right |= port.role in words & wanted.asked  # an insert that is called so: both ways
            if not (is_right or is_named) or (block.block, name) in found:
                continue
            met = (words | socket_words(port.socket)) & rest
            unmet = rest - met - known
            total = score + len(spoken & left) + PORT_WEIGHT * len(met & words)
            total += _SOCKET_WEIGHT * len(met - words) + _KNOWN_WEIGHT * len(rest - met - unmet)
            total += _SPOKEN_WEIGHT * len(words & spoken)
            total -= STRAY * len(unmet) + (0.0 if is_right else _WRONG_WAY)
            total += _HEAD_WEIGHT if unmet and wanted.in_turn[-1] in wanted.asked - left else 0.0
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
            is_aside = wanted.side == "from" and port.role == "out" and "main" not in words
            found[block.block, name] = ((port.role == _THROUGH, -echo, is_aside), candidate)
    return [each for _, each in sorted(found.values(), key=lambda each: each[0])]


def _names_a_socket(asked: frozenset[str], side: Side) -> bool:
    """Whether words can stand for a socket of a desk without naming the desk."""
    if side == "to":
        return len(asked) >= _BARE_SOCKET and "input" in asked
    return bool(asked & _SENDING)


def _of_channels(wanted: _Wanted, type_id: str) -> list[Candidate]:
    """Inputs of a type's mixed channels, or its outputs, that have all the words typed.

    Words for its switches need not be among them. Who says no more than "line input", "mic input
    with phantom", or "aux send", stands before a desk.
    """
    book, asked, side = wanted.book, wanted.asked, wanted.side
    entry = book.entry(type_id)
    bare = asked - switch_words(entry, asked)

    def fits(words: frozenset[str]) -> bool:
        return bare <= words and _names_a_socket(asked & words, side)

    strips = entry.blocks.items()
    if not any(
        fits(words_of_port(block, name, port.label or name, port.words) | socket_words(port.socket))
        for block, strip in strips
        for name, port in strip.ports.items()
    ):
        return []  # and need not be planned, which takes its time for a large desk
    found: dict[tuple[str, str], Candidate] = {}
    plan = book.plan(type_id, {}, {})
    settings, spoken = positions(plan, asked)
    for block in plan.blocks:
        is_channel = side == "from" or (block.mixes and block.name != block.block)
        for name, port in block.plan.ports.items() if is_channel else ():
            if port.role in _BARE_ROLES[side] and fits(
                words := port_words(block, port) | socket_words(port.socket)
            ):
                total = _CHANNEL_WEIGHT * len(asked & words) + len(spoken - words)
                total += fitness(book, plan, block, port, wanted.conditions)
                label = f"{plan.label}: {port.label}"
                set_ = settings | wanted.settings(plan, block)
                each = Candidate(plan.type_id, block.address(name), label, total, set_)
                found.setdefault((block.block, name), each)
    return list(found.values())
