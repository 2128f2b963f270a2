"""Edits of leads in the crew's words: plugs, cables, crossed pins."""

from __future__ import annotations

from collections.abc import Mapping

from levelhead.show.edits import (
    Lay,
    Plug,
    Recable,
    SetPins,
    Unplug,
)
from levelhead.show.lengths import cable_text, length_text
from levelhead.show.model import Beside, Cable, Link, Show
from levelhead.show.wording.base import edit_words, place_words

__all__: list[str] = []


def _is_pair(link: Link) -> bool:
    return set(link.ends) == {"a", "b"}


def _pair(link: Link, show: Show, joint: str) -> str:
    """Both ends of a link."""
    return f"{place_words(link.ends['a'], show)} {joint} {place_words(link.ends['b'], show)}"


def _named_ends(link: Link, show: Show, joint: str) -> str:
    """Every end of a link by its name."""
    ends = (f"end {end} {joint} {place_words(place, show)}" for end, place in link.ends.items())
    return ", ".join(ends)


def cables_words(via: tuple[Cable, ...]) -> str:
    return ", then ".join(cable_text(cable) for cable in via)


def _pins(pins: Mapping[str, str]) -> str:
    states = (
        f"pin {pin} {'open' if state == 'open' else f'on {state}'}" for pin, state in pins.items()
    )
    return ", ".join(states)


def _beside(neighbours: tuple[Beside, ...]) -> str:
    return ", ".join(map(_neighbour, neighbours))


def _neighbour(beside: Beside) -> str:
    """``50 cm from dimmer leads along 30 m``."""
    what = beside.what.replace("-", " ")
    if beside.along_m is None:
        return f"across {what}"
    apart = "along" if beside.apart_m is None else f"{length_text(beside.apart_m)} from"
    return f"{apart} {what} for {length_text(beside.along_m)}"


@edit_words.register
def _(edit: Lay, show: Show) -> str:
    place = place_words(edit.end, show)
    if not edit.beside:
        return f"Lay the cable at {place} by itself"
    return f"Lay the cable at {place} {_beside(edit.beside)}"


@edit_words.register
def _(edit: Plug, show: Show) -> str:
    link, cables = edit.link, cables_words(edit.link.via)
    if _is_pair(link):
        words = _pair(link, show, "into") + (f" with {cables}" if cables else "")
    else:
        words = f"{cables or 'a lead'}: {_named_ends(link, show, 'into')}"
    how = [_pins(link.pins)] if link.pins else []
    how += ["the jack at its first click only"] if link.plugged == "half" else []
    how += [_beside(link.beside)] if link.beside else []
    return "; ".join((f"Plug {words}", *how))


@edit_words.register
def _(edit: Unplug, show: Show) -> str:
    if _is_pair(edit.link):
        return f"Unplug {_pair(edit.link, show, 'from')}"
    cables = cables_words(edit.link.via) or "the lead"
    return f"Unplug {cables}: {_named_ends(edit.link, show, 'from')}"


@edit_words.register
def _(edit: Recable, show: Show) -> str:
    cables = cables_words(edit.via)
    return (
        f"Use {cables} at {place_words(edit.end, show)}"
        if cables
        else f"Use no known cable at {place_words(edit.end, show)}"
    )


@edit_words.register
def _(edit: SetPins, show: Show) -> str:
    pins = _pins(edit.pins) or "every pin as the cable has it"
    return f"In the link at {place_words(edit.end, show)}: {pins}"
