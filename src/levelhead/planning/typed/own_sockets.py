"""Sockets of a show's own items, by the words that people type."""

from __future__ import annotations

from levelhead.planning.typed.candidates import ROLES, Side
from levelhead.planning.typed.names import LEAST
from levelhead.planning.typed.pairing import ALIKE
from levelhead.planning.typed.phrases import PORT_WEIGHT, STRAY, best_phrase, port_words
from levelhead.planning.typed.words import tokens, words_in_turn
from levelhead.rig.model import Rig, RigPort

__all__ = ["best_ports", "find_ports", "is_taken", "says_only_an_item", "unmet_words"]


def find_ports(rig: Rig, text: str, side: Side) -> list[RigPort]:
    """Sockets of a show's own items that the text may mean, best first, free ones before taken.

    Items go by their ids, labels and types. An address means just that socket.
    """
    return [port for _, port in _scored(rig, text, side)]


def best_ports(rig: Rig, text: str, side: Side) -> list[RigPort]:
    """Of the sockets that a text may mean those that it fits best, alike; free ones first."""
    found = _scored(rig, text, side)
    return [port for score, port in found if score > found[0][0] - ALIKE]


def _scored(rig: Rig, text: str, side: Side) -> list[tuple[float, RigPort]]:
    """Sockets that a text may mean, with how well it fits, best first."""
    if text in rig.ports:
        return [(1.0, rig.ports[text])]
    asked = tokens(text)
    found: list[tuple[float, bool, RigPort]] = []
    for item in rig.items.values():
        entry = rig.book.entry(item.plan.type_id)
        phrases = (item.id.replace("-", " "), item.label, entry.label.partition(",")[0])
        score, left = best_phrase(asked, (*phrases, *entry.words))
        for port in rig.ports.values() if score > 0 else ():
            if port.item.id == item.id and port.plan.role in ROLES[side]:
                words = port_words(port.block, port.plan) | tokens(port.block.name)
                met = words & left
                total = score + PORT_WEIGHT * len(met) - STRAY * len(left - met)
                found.append((-total, is_taken(rig, port), port))
    found.sort(key=lambda each: each[:2])
    return [(-total, port) for total, _, port in found if -total >= LEAST]


def unmet_words(port: RigPort, text: str) -> tuple[str, ...]:
    """Words typed that say nothing of a socket or of its item."""
    item = port.item
    known = port_words(port.block, port.plan) | tokens(port.block.name) | _names(port)
    is_address = text.partition(".")[0] == item.id
    return (
        ()
        if is_address
        else tuple(typed for word, typed in words_in_turn(text) if word not in known)
    )


def says_only_an_item(rig: Rig, port: RigPort, text: str) -> bool:
    """Whether a text says no more than the item of a port: no address, no words for a socket."""
    words = rig.book.entry(port.item.plan.type_id).words
    return text not in rig.ports and tokens(text) <= _names(port).union(*map(tokens, words))


def _names(port: RigPort) -> frozenset[str]:
    """Words of the item's id, of its label and of its type."""
    item = port.item
    names = (item.id.replace("-", " "), item.label, item.plan.label)
    return frozenset().union(*map(tokens, names))


def is_taken(rig: Rig, port: RigPort) -> bool:
    """Whether a plug is in it, or in another input of its strip."""
    beside = (rig.ports[port.sibling(name)] for name in port.block.plan.ports)
    strip = [each for each in beside if port.block.name and each.plan.role == "in"]
    return port.link is not None or (
        port.plan.role == "in" and any(each.link is not None for each in strip)
    )
