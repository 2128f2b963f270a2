"""What can hurt along a channel, by what is there: phantom power, loudspeaker lines, mains."""

from __future__ import annotations

from typing import Final

from levelhead.exchange.walk.places import Ground, Place
from levelhead.verdicts.amplifiers.driven import CAUTION as LOUDSPEAKER_CAUTION
from levelhead.verdicts.hum.words import CAUTION as EARTH_CAUTION

__all__ = ["EARTH_CAUTION", "MUTE_FIRST", "PHANTOM_FIRST", "caution_of"]

MUTE_FIRST: Final = (
    "Before a plug is pulled or pushed: channel muted or its fader down, headphones off the ears."
)
PHANTOM_FIRST: Final = (
    "Phantom power is on here: channel muted, headphones off; switch it off and wait half a minute "
    "before a plug is moved."
)


def caution_of(ground: Ground, place: Place) -> str | None:
    """The caution of a place; ``None`` where nothing is moved that could hurt."""
    if place.leg is not None and place.leg.out.plan.role == "loudspeaker":
        return f"{LOUDSPEAKER_CAUTION} Amplifier off before its lead is moved."
    if place.kind in {"lead", "phantom"}:
        fed = ground.route.port.plan.figure("phantom") is not None
        return PHANTOM_FIRST if fed else MUTE_FIRST
    if place.kind == "output":
        return "Level of the amplifier or loudspeaker down before a plug is moved."
    return None
