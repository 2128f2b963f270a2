"""Nothing is heard: what to try between two places of a silent channel."""

from __future__ import annotations

from collections.abc import Iterator

from levelhead.exchange.walk import causes
from levelhead.exchange.walk.model import Candidate
from levelhead.exchange.walk.places import Ground, Place

__all__ = ["candidates"]


def candidates(ground: Ground, place: Place) -> Iterator[Candidate]:
    """What silences, the cheapest to look at first."""
    if place.kind == "source":
        yield from causes.power_off(ground, place)
        yield from causes.turned_down(ground, place)
    elif place.kind == "lead" and place.leg is not None:
        yield from causes.power_off(ground, place)
        yield from causes.turned_down(ground, place)
        yield from causes.plugs(ground, place.leg)
    elif place.kind == "phantom":
        yield from causes.phantom_off(ground)
        yield from _open_legs(ground)
    elif place.kind == "gain":
        yield from causes.turned_down(ground, place)
    elif place.kind == "routing":
        if _is_first(ground, place):
            yield from causes.shut(ground)
        yield from causes.turned_down(ground, place)
    else:
        yield from causes.power_off(ground, place)
        yield from causes.turned_down(ground, place)
        for leg in place.legs:
            yield from causes.plugs(ground, leg)
        yield from causes.silent_end(ground, place)


def _is_first(ground: Ground, place: Place) -> bool:
    """Whether the strip itself is passed here."""
    own = f"{ground.route.port.strip}."
    return any(each.startswith(own) for each in place.points)


def _open_legs(ground: Ground) -> Iterator[Candidate]:
    """Phantom power comes through both signal wires and goes back through the screen."""
    leg = ground.route.legs[-1]
    for is_screen in (True, False):
        for pin, edit in causes.broken_wires(leg, screen=is_screen):
            yield Candidate(f"the wire on pin {pin} of lead {leg.lead.number} is broken", (edit,))
