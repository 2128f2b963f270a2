"""Phrases of the gear book held against words that were typed: of a type, a socket, a switch."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import lru_cache
from itertools import pairwise
from typing import Final

from levelhead.gear.model import TypeEntry
from levelhead.gear.plan import BlockInstance, ItemPlan, PortPlan
from levelhead.planning.typed.words import tokens, words_in_turn

__all__ = [
    "PORT_WEIGHT",
    "STRAY",
    "best_phrase",
    "is_named",
    "is_number",
    "numbered",
    "port_words",
    "positions",
    "says_only_a_plug",
    "socket_words",
    "stray_cost",
    "switch_words",
    "vocabulary",
    "words_of_port",
]

_TYPE_WEIGHT: Final = 2.0
PORT_WEIGHT: Final = 1.5
STRAY: Final = 1.2  # cost of a typed word that nothing of the candidate says
_STRAY_WHOSE: Final = 0.65  # of a place or a person
_WHOSE: Final = tokens(
    "church chapel school hall village pub bar club venue house theatre classroom office court "
    "presenter preacher vicar pastor priest teacher guest speech wedding drama youth"
)
_SPARE: Final = 0.15  # cost of a word of the type that was not typed
_NUMBERS: Final = frozenset(["two", "three", "four", "five", "six", "eight"])
_SIDES: Final = frozenset({"stereo", "mono"})
_SIDED: Final = 1.0  # so much less is said by how many sides there are than by what it is
_SOCKET: Final = frozenset({"input", "output"})
_OF_ANY_GEAR: Final = tokens(
    "in out input output line aux main send return link through record stereo mono xlr jack trs "
    "phono minijack plug socket cord cable level"
)
_LABEL: Final = 0.02  # a label says it as well as what people call it; that goes first
_OUT_OF_TURN: Final = 2.0  # it says one word less
_CONNECTOR_WORDS: Final[Mapping[str, frozenset[str]]] = {
    "xlr": frozenset({"xlr"}),
    "combo": frozenset({"xlr", "jack", "combo"}),
    "jack": frozenset({"jack", "trs", "ts"}),
    "mini": frozenset({"minijack", "trs"}),
    "phono": frozenset({"phono"}),
    "usb": frozenset({"usb"}),
    "hdmi": frozenset({"hdmi"}),
}


def stray_cost(words: frozenset[str]) -> float:
    """What words cost that nothing of a candidate says; whose it is says little of what it is.

    >>> stray_cost(frozenset({"zither"})) > stray_cost(frozenset({"school"}))
    True
    """
    return STRAY * len(words - _WHOSE) + _STRAY_WHOSE * len(words & _WHOSE)


@lru_cache(maxsize=1024)
def vocabulary(label: str, phrases: tuple[str, ...]) -> frozenset[str]:
    """All words by which a type goes."""
    return frozenset().union(*(tokens(each) for each in (label, *phrases)))


def best_phrase(
    asked: frozenset[str], phrases: Iterable[str], in_turn: tuple[str, ...] = ()
) -> tuple[float, frozenset[str]]:
    """Score of the phrase that says most of what was asked, and the words it leaves.

    A phrase in another order counts less: a mixer's line input is not that of a line mixer.
    """
    best, left = 0.0, asked
    for place, phrase in enumerate(phrases):
        words = tokens(phrase)
        met = words & asked
        score = _TYPE_WEIGHT * len(met) - _SIDED * len(met & _SIDES) - _SPARE * len(words - asked)
        score -= 0.0 if place else _LABEL
        if met and score > best and in_turn and not _is_in_turn(phrase, met, in_turn):
            score -= _OUT_OF_TURN
        if met and score > best:
            best, left = score, asked - met
    return best, left


def is_named(met: frozenset[str], phrases: Iterable[str]) -> bool:
    """Whether words met name the gear: a plug or a socket alone does not, unless it is its name.

    >>> is_named(tokens("output"), ["digital output"]), is_named(tokens("line"), ["line feed"])
    (False, False)
    >>> is_named(tokens("phono output"), ["phono output"])
    True
    """
    return not met <= _OF_ANY_GEAR or any(met == tokens(each) for each in phrases)


def says_only_a_plug(text: str) -> bool:
    """Whether words name a plug, a socket or a lead, and no gear.

    >>> says_only_a_plug("aux cord"), says_only_a_plug("aux cord from phone")
    (True, False)
    """
    asked = tokens(text)
    return bool(asked) and asked <= _OF_ANY_GEAR


def _is_in_turn(phrase: str, met: frozenset[str], in_turn: tuple[str, ...]) -> bool:
    """Whether the words typed stand in the order of the phrase, with no socket between."""
    places = [in_turn.index(word) for word, _ in words_in_turn(phrase) if word in met]
    between = in_turn[places[0] : places[-1] + 1]
    return places == sorted(places) and not (_SOCKET & set(between)) - met


@lru_cache(maxsize=1024)
def numbered(label: str, phrases: tuple[str, ...]) -> frozenset[tuple[str, str]]:
    """Numbers by which a type goes, each with the word behind it: ``12 inch``, ``16 channels``."""
    turns = (tuple(word for word, _ in words_in_turn(each)) for each in (label, *phrases))
    return frozenset(pair for words in turns for pair in pairwise(words) if is_number(pair[0]))


def is_number(word: str) -> bool:
    """Whether a word counts something."""
    return word[:1].isdigit() or word in _NUMBERS


@lru_cache(maxsize=64)
def socket_words(socket: str) -> frozenset[str]:
    """What people call a connector: ``xlr``, ``jack``, ``minijack``, ``phono``."""
    return _CONNECTOR_WORDS.get(socket, _CONNECTOR_WORDS.get(socket.partition("-")[0], frozenset()))


def port_words(block: BlockInstance, port: PortPlan) -> frozenset[str]:
    """Words by which a socket goes."""
    return words_of_port(block.block, port.name, port.label, port.words)


@lru_cache(maxsize=4096)
def words_of_port(block: str, name: str, label: str, words: tuple[str, ...]) -> frozenset[str]:
    """Words by which a socket as it is written goes."""
    phrases = (label, name.replace("-", " "), block, *words)
    return frozenset().union(*(tokens(phrase) for phrase in phrases))


def switch_words(entry: TypeEntry, asked: frozenset[str]) -> frozenset[str]:
    """Words that name positions of a type's switches, such as phantom power."""
    controls = [*entry.controls.values()]
    controls += [each for block in entry.blocks.values() for each in block.controls.values()]
    said = (
        tokens(phrase) for each in controls for words in each.words.values() for phrase in words
    )
    return frozenset().union(*(words for words in said if words <= asked))


def positions(plan: ItemPlan, asked: frozenset[str]) -> tuple[dict[str, str], frozenset[str]]:
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
