"""What people type, matched to gear: ``amp speaker out``, ``stereo line input of mixer``."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Final, Literal

from levelhead.gear.book import GearBook
from levelhead.gear.model import TypeEntry
from levelhead.gear.plan import BlockInstance, ItemPlan, PortPlan
from levelhead.rig.model import Rig, RigPort

__all__ = [
    "Candidate",
    "Side",
    "find_candidates",
    "find_ports",
    "find_sources",
    "nearest_types",
    "tokens",
]

Side = Literal["from", "to"]

_THROUGH: Final = "through"
_ROLES: Final[Mapping[Side, frozenset[str]]] = {
    "from": frozenset({"out", "through", "loudspeaker"}),
    "to": frozenset({"in"}),
}
_SIGNALS: Final = frozenset().union(*_ROLES.values())
_SAME_WORD: Final = {
    "speaker": "loudspeaker",
    "speakers": "loudspeaker",
    "loudspeakers": "loudspeaker",
    "amp": "amplifier",
    "mic": "microphone",
    "mics": "microphone",
    "out": "output",
    "outputs": "output",
    "in": "input",
    "inputs": "input",
    "headphone": "headphones",
    "phones": "headphones",
    "active": "active",
    "console": "mixer",
    "desk": "mixer",
    "keys": "keyboard",
}
_NO_MEANING: Final = frozenset(
    {"of", "the", "a", "an", "to", "into", "from", "on", "with", "s", "and"}
)
_WORD: Final = re.compile(r"[a-z0-9+\-]+")
_TYPE_WEIGHT: Final = 2.0
_CHANNEL_WEIGHT: Final = 3.0  # of a socket named without its gear
_PORT_WEIGHT: Final = 1.5
_STRAY: Final = 1.2  # cost of a typed word that nothing of the candidate says
_SPARE: Final = 0.15  # cost of a word of the type that was not typed
_LEAST: Final = 1.0
_OUTRIGHT: Final = 10.0  # score of what was named as the book has it
_WRONG_WAY: Final = 1.5  # cost of a socket that gives where one that takes is asked for, or back
_BARE_SOCKET: Final = 2  # words that name a socket of whatever has it: line input, mic input


@dataclass(frozen=True, slots=True)
class Candidate:
    """A port of a gear type that what was typed may mean; switches that it names are set."""

    type_id: str
    port: str
    label: str
    score: float
    settings: Mapping[str, str] = field(default_factory=dict)

    @property
    def address(self) -> str:
        """``type.port``, for lists and links."""
        return f"{self.type_id}.{self.port}"


def tokens(text: str) -> frozenset[str]:
    """Words of a phrase, one spelling each, without those that say nothing.

    >>> sorted(tokens("the amp's speaker out"))
    ['amplifier', 'loudspeaker', 'output']
    """
    words = _WORD.findall(text.lower().replace("'s", ""))
    return frozenset(_SAME_WORD.get(word, word) for word in words if word not in _NO_MEANING)


def find_candidates(book: GearBook, text: str, side: Side) -> list[Candidate]:
    """Ports of gear types that the text may mean, best first.

    The best of a type's phrases counts, then what is left of the words against the phrases of its
    ports and of its switches' positions. An address means just that socket, a type its own ones.
    """
    named = _named_outright(book, text.strip(), side)
    if named:
        return named
    asked = tokens(text)
    found: list[Candidate] = []
    for type_id in book.ids:
        sketch = book.sketch(type_id)
        if sketch.ends or sketch.sounds:
            continue
        score, left = _best_phrase(asked, sketch.phrases)
        if score > 0:
            found += _of_type(book.plan(type_id, {}, {}), score, asked, left, side)
        if side == "to" and sketch.mixes and _names_an_input(asked):
            found += _of_channels(book, type_id, asked)
    found.sort(key=lambda each: -each.score)  # of equals, the one that the book lists first
    return [each for each in found if each.score >= _LEAST]


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
    """Sockets of ``type.port``, or of a bare ``type``, written as the book has them."""
    type_id, dot, address = text.partition(".")
    if type_id not in book or book.sketch(type_id).ends or book.sketch(type_id).sounds:
        return []
    plan = book.plan(type_id, {}, {})
    if not dot:
        return _of_type(plan, _OUTRIGHT, frozenset(), frozenset(), side)
    return [
        Candidate(type_id, address, f"{plan.label}: {port.label}", _OUTRIGHT)
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


def _best_phrase(asked: frozenset[str], phrases: Iterable[str]) -> tuple[float, frozenset[str]]:
    """Score of the phrase that says most of what was asked, and the words it leaves."""
    best, left = 0.0, asked
    for phrase in phrases:
        words = tokens(phrase)
        met = words & asked
        score = _TYPE_WEIGHT * len(met) - _SPARE * len(words - asked)
        if met and score > best:
            best, left = score, asked - met
    return best, left


def _of_type(
    plan: ItemPlan, score: float, asked: frozenset[str], left: frozenset[str], side: Side
) -> list[Candidate]:
    settings, spoken = _positions(plan, asked)
    rest = left - spoken
    found: dict[tuple[str, str], tuple[bool, Candidate]] = {}  # through sockets come last
    for block in plan.blocks:
        for name, port in block.plan.ports.items():
            is_named = _port_words(block, port) & left and port.role in _SIGNALS
            if (port.role in _ROLES[side] or is_named) and (block.block, name) not in found:
                met = _port_words(block, port) & left
                total = score + len(spoken) + _PORT_WEIGHT * len(met) - _STRAY * len(rest - met)
                total -= 0.0 if port.role in _ROLES[side] else _WRONG_WAY
                label = f"{plan.label}: {port.label}"
                candidate = Candidate(plan.type_id, block.address(name), label, total, settings)
                found[block.block, name] = (port.role == _THROUGH, candidate)
    return [each for _, each in sorted(found.values(), key=lambda each: each[0])]


def _names_an_input(asked: frozenset[str]) -> bool:
    return len(asked) >= _BARE_SOCKET and "input" in asked


def _of_channels(book: GearBook, type_id: str, asked: frozenset[str]) -> list[Candidate]:
    """Inputs of a type's mixed channels that have all the words, but for those of its switches.

    Who says no more than "line input", or "mic input with phantom", stands before a row of them,
    on a desk.
    """
    entry = book.entry(type_id)
    bare = asked - _switch_words(entry, asked)

    def fits(words: frozenset[str]) -> bool:
        return bare <= words and _names_an_input(asked & words)

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
        is_channel = block.mixes and block.name != block.block
        for name, port in block.plan.ports.items() if is_channel else ():
            if port.role == "in" and fits(words := _port_words(block, port)):
                total = _CHANNEL_WEIGHT * len(asked & words) + len(spoken - words)
                label = f"{plan.label}: {port.label}"
                each = Candidate(plan.type_id, block.address(name), label, total, settings)
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
                        spoken |= words
    return settings, spoken
