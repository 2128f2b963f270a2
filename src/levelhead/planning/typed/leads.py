"""Leads by their words: ``aux cable``, ``jack lead``, ``thin speaker cable``."""

from __future__ import annotations

from typing import Final

from levelhead.gear.book import GearBook
from levelhead.gear.plan import PortPlan
from levelhead.planning.typed.words import tokens
from levelhead.rig.usual import fitting_cables

__all__ = ["lead_meant"]

_PLAIN_ENDS: Final = 2
_CONNECTORS: Final = frozenset({"xlr", "jack", "minijack", "phono", "aux", "usb", "hdmi"})
_LEAD: Final = frozenset({"lead"})


def lead_meant(book: GearBook, text: str, start: PortPlan, end: PortPlan) -> str | None:
    """Type of the lead that the words mean; ``None`` where no lead goes by them.

    Who names connectors means a lead with those, whether or not it fits; other words, such as
    ``speaker cable``, mean one that fits, where there is one.
    """
    if text in book.ids and len(book.sketch(text).ends) == _PLAIN_ENDS:
        return text
    asked = tokens(text)
    if not asked - _LEAD:
        return None
    fitting = [each.type_id for each in fitting_cables(book, start, end, with_special=True)]
    every = [each for each in book.of_kind("cable") if len(book.sketch(each).ends) == _PLAIN_ENDS]
    called = _called(book, asked, every)
    if called is not None and (called in fitting or asked & _CONNECTORS):
        return called
    return next((each for each in fitting if asked <= _all_words(book, each)), called)


def _called(book: GearBook, asked: frozenset[str], types: list[str]) -> str | None:
    """The first of those whose phrase, or label, says all that was typed and least besides."""
    found = []
    for place, type_id in enumerate(types):
        sketch = book.sketch(type_id)
        spare = [
            len(words - asked)
            for words in map(tokens, (sketch.label, *sketch.phrases))
            if asked - _LEAD <= words
        ]
        found += [(min(spare), place, type_id)] if spare else []
    return min(found)[2] if found else None


def _all_words(book: GearBook, type_id: str) -> frozenset[str]:
    sketch = book.sketch(type_id)
    return frozenset().union(*map(tokens, (sketch.label, *sketch.phrases)))
