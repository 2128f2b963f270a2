"""Sockets of one type of gear, by how well what was typed fits each."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from levelhead.gear.plan import BlockInstance, ItemPlan, PortPlan
from levelhead.planning.typed.candidates import ROLES, Candidate
from levelhead.planning.typed.fitting import fitness
from levelhead.planning.typed.phrases import (
    PORT_WEIGHT,
    port_words,
    positions,
    socket_words,
    stray_cost,
)
from levelhead.planning.typed.wanted import Wanted
from levelhead.planning.typed.words import tokens

__all__ = ["sockets_of"]

_THROUGH: Final = "through"
_OUTPUT: Final = tokens("output")
_SIGNALS: Final = frozenset({"insert"}).union(*ROLES.values())

_SOCKET_WEIGHT: Final = 0.7  # of a word for the connector
_KNOWN_WEIGHT: Final = 0.4  # of a word by which the type goes, in another of its names
_HEAD_WEIGHT: Final = 0.3  # of the last word as the gear's own, where others are strange
_SPOKEN_WEIGHT: Final = 0.5  # of a word for the socket that names a switch as well: bridge
_WRONG_WAY: Final = 1.5  # cost of a socket that gives where one that takes is asked for, or back


@dataclass(frozen=True, slots=True)
class _Type:
    """A type that was named, and what its name leaves to say.

    ``score`` is that of its name, ``left`` are words that its name does not say, ``known`` all
    others by which it goes, ``spoken`` those that name positions of its switches.
    """

    wanted: Wanted
    plan: ItemPlan
    settings: Mapping[str, str]
    score: float
    left: frozenset[str]
    known: frozenset[str]
    spoken: frozenset[str]

    def words_of(self, block: BlockInstance, port: PortPlan) -> frozenset[str]:
        """Words of a socket, those that may count here."""
        return self.wanted.counted(port_words(block, port))

    def is_right(self, words: frozenset[str], port: PortPlan) -> bool:
        """Whether a socket goes the way that is asked for; networks, and inserts, go both."""
        is_named_so = port.role in words & self.wanted.asked
        return port.role in ROLES[self.wanted.side] or port.channels > 0 or is_named_so

    def may_be(self, block: BlockInstance, port: PortPlan) -> bool:
        """Whether a socket may be meant: it is the right way round, or it was named."""
        words = self.words_of(block, port)
        return self.is_right(words, port) or bool(words & self.left and port.role in _SIGNALS)

    def candidate(self, block: BlockInstance, name: str, port: PortPlan) -> Candidate:
        """A socket with its score: of its words, its connector, the switches, the conditions."""
        wanted, words = self.wanted, self.words_of(block, port)
        rest = self.left - self.spoken
        met = (words | socket_words(port.socket)) & rest
        unmet = rest - met - self.known
        total = self.score + len(self.spoken & self.left) + PORT_WEIGHT * len(met & words)
        total += _SOCKET_WEIGHT * len(met - words) + _KNOWN_WEIGHT * len(rest - met - unmet)
        total += _SPOKEN_WEIGHT * len(words & self.spoken)
        total -= stray_cost(unmet) + (0.0 if self.is_right(words, port) else _WRONG_WAY)
        is_head = bool(unmet) and wanted.in_turn[-1] in wanted.asked - self.left
        total += _HEAD_WEIGHT if is_head else 0.0
        total += fitness(wanted.book, self.plan, block, port, wanted.conditions)
        return Candidate(
            self.plan.type_id,
            block.address(name),
            f"{self.plan.label}: {port.label}",
            total,
            {**self.settings, **wanted.settings(self.plan, block)},
            unmet,
        )

    def rank(self, block: BlockInstance, port: PortPlan) -> tuple[bool, bool, int, bool]:
        """Through sockets last, and before them those in the middle of a way: an effects return.

        Of outputs, those first that go by a word of the name where an output is asked for, or by a
        figure (``group out``, 70 V amplifier), and main ones. Else that tells nothing: a digital
        mixer takes microphones.
        """
        words = self.words_of(block, port)
        inserts = (stage.insert for path in block.plan.paths for stage in path.stages)
        is_return = any(each is not None and each.back.port == port.name for each in inserts)
        is_from = self.wanted.side == "from"
        named = self.wanted.asked - self.left
        is_out = self.wanted.asked >= _OUTPUT and (not port.is_digital or "digital" in named)
        told = named if is_out else {each for each in named if each[0].isdigit()}
        echo = len(words & told) if is_from else 0
        is_aside = is_from and (port.role == "out" or port.is_digital) and "main" not in words
        return port.role == _THROUGH, is_return, -echo, is_aside


def sockets_of(
    wanted: Wanted, type_id: str, score: float, left: frozenset[str], known: frozenset[str]
) -> list[Candidate]:
    """Sockets of one type, in the order in which people look at them.

    ``score`` is that of its name, ``left`` are words that its name does not say, ``known`` all
    others by which it goes.
    """
    plan = wanted.book.plan(type_id, {}, {})
    settings, spoken = positions(plan, wanted.asked)
    if settings:  # a position may have a socket of its own, such as that of a bridged output
        plan = wanted.book.plan(type_id, settings, {})
    named = _Type(wanted, plan, settings, score, left, known, spoken)
    found: dict[tuple[str, str], tuple[tuple[bool, bool, int, bool], Candidate]] = {}
    for block in plan.blocks:
        for name, port in block.plan.ports.items():
            if (block.block, name) not in found and named.may_be(block, port):
                candidate = named.candidate(block, name, port)
                found[block.block, name] = (named.rank(block, port), candidate)
    return [each for _, each in sorted(found.values(), key=lambda each: each[0])]
