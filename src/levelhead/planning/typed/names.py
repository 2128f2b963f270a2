"""What people type, matched to gear: ``amp speaker out``, ``stereo line input of mixer``."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache
from typing import Final

from levelhead.gear.book import GearBook
from levelhead.gear.plan.ways import block_of
from levelhead.planning.typed.bare_sockets import names_a_socket, sockets_of_desk
from levelhead.planning.typed.candidates import Candidate, Side
from levelhead.planning.typed.conditions import Condition, read_text
from levelhead.planning.typed.named_gear import NamedGear, gear_named
from levelhead.planning.typed.outright import named_outright
from levelhead.planning.typed.phrases import STRAY, best_phrase, is_named, port_words, vocabulary
from levelhead.planning.typed.sockets import sockets_of
from levelhead.planning.typed.wanted import Wanted
from levelhead.planning.typed.words import tokens

__all__ = ["LEAST", "find_candidates", "find_sources", "matched", "nearest_types"]

_DRIVES_LOUDSPEAKERS: Final = tokens("loudspeaker output")  # said alone, that of an amplifier
_LEAST_OF_GEAR: Final = 0.5  # one word of a name, with one stray beside it
LEAST: Final = 1.0
_OTHER_GEAR: Final = 2.0  # cost of a socket of other gear than was named


def find_candidates(book: GearBook, text: str, side: Side) -> list[Candidate]:
    """Ports of gear types that the text may mean, best first.

    The best of a type's phrases counts, then what is left of the words against the phrases of its
    ports and of its switches' positions. Conditions among the words decide between equals. An
    address means just that socket; a type, with or without words for a socket, its own ones.
    """
    named = named_outright(book, text.strip(), side)
    if named:
        return named
    read = read_text(text)
    return matched(book, read.rest, side, read.conditions)


def matched(
    book: GearBook, text: str, side: Side, conditions: Sequence[Condition] = ()
) -> list[Candidate]:
    """As :func:`find_candidates`, of a text whose conditions were taken out."""
    return list(_matched(book, text, side, tuple(conditions)))


@lru_cache(maxsize=64)  # a question matches each of its texts several times
def _matched(
    book: GearBook, text: str, side: Side, conditions: tuple[Condition, ...]
) -> Sequence[Candidate]:
    """Walk the book once for a text."""
    named = named_outright(book, text.strip(), side)
    if named:
        return named
    if tokens(text) == _DRIVES_LOUDSPEAKERS:
        text = f"amplifier {text}"
    wanted = Wanted.of(book, text, side, conditions)
    asked = wanted.asked
    found: list[Candidate] = []
    for type_id in book.ids:
        sketch = book.sketch(type_id)
        if sketch.ends or sketch.sounds:
            continue
        score, left = best_phrase(asked, sketch.phrases, wanted.in_turn)
        if score > 0 and is_named(asked - left, sketch.phrases):
            known = wanted.known(sketch.label, sketch.phrases)
            found += sockets_of(wanted, type_id, score, left, known)
        if sketch.kind == "mixer" and names_a_socket(asked, side):
            found += sockets_of_desk(wanted, type_id)
    found = _without_others(wanted, gear_named(book, text), found)
    found.sort(key=lambda each: -each.score)  # of equals, the one that the book lists first
    return [each for each in found if each.score >= _LEAST_OF_GEAR]


def _without_others(
    wanted: Wanted, named: NamedGear | None, found: Sequence[Candidate]
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
