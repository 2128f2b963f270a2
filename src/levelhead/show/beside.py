"""What lies beside a cable and what stands near a pickup, as links and items write it."""

from __future__ import annotations

from typing import Final, cast, get_args

from levelhead.show.addresses import shortened
from levelhead.show.checks import given_text, unfit
from levelhead.show.lengths import checked_length_m, length_text
from levelhead.show.model import Beside, Near, Neighbour, Radiator

__all__ = ["CROSSING", "beside_text", "checked_beside", "checked_near", "near_text"]

CROSSING: Final = "crossing"
_AT: Final = " at "


def checked_beside(given: object) -> Beside:
    """A neighbour as a link writes it.

    Examples
    --------
    >>> checked_beside("dimmer-leads 30 m at 50 cm")
    Beside(what='dimmer-leads', along_m=30.0, apart_m=0.5)
    >>> checked_beside("mains-leads crossing")
    Beside(what='mains-leads', along_m=None, apart_m=None)
    """
    text = given_text(given, "beside").strip()
    what, _, rest = text.partition(" ")
    along, _, apart = rest.partition(_AT)
    if what not in get_args(Neighbour) or not along.strip():
        raise unfit(
            "beside",
            f"{shortened(text)} says nothing of what lies beside a cable",
            expected=f"{', '.join(get_args(Neighbour))}, then how far along, or {CROSSING}",
            remedy="Write it like dimmer-leads 30 m, dimmer-leads 30 m at 50 cm or "
            "dimmer-leads crossing.",
        )
    return Beside(
        cast("Neighbour", what),
        None if along.strip() == CROSSING else checked_length_m(along.strip()),
        checked_length_m(apart.strip()) if apart.strip() else None,
    )


def beside_text(beside: Beside) -> str:
    """The opposite of :func:`checked_beside`.

    Examples
    --------
    >>> beside_text(Beside("dimmer-leads", 30.0, 0.5))
    'dimmer-leads 30 m at 50 cm'
    """
    along = CROSSING if beside.along_m is None else length_text(beside.along_m)
    apart = "" if beside.apart_m is None else f"{_AT}{length_text(beside.apart_m)}"
    return f"{beside.what} {along}{apart}"


def checked_near(given: object) -> Near:
    """Something with a field as an item writes it.

    Examples
    --------
    >>> checked_near("dimmer-rack 1 m")
    Near(what='dimmer-rack', apart_m=1.0)
    """
    text = given_text(given, "near").strip()
    what, _, apart = text.partition(" ")
    if what not in get_args(Radiator) or not apart.strip():
        raise unfit(
            "near",
            f"{shortened(text)} says nothing of what stands near",
            expected=f"{' or '.join(get_args(Radiator))}, then how far away",
            remedy="Write it like dimmer-rack 1 m.",
        )
    return Near(cast("Radiator", what), checked_length_m(apart.strip()))


def near_text(near: Near) -> str:
    """The opposite of :func:`checked_near`.

    Examples
    --------
    >>> near_text(Near("dimmer-rack", 1.0))
    'dimmer-rack 1 m'
    """
    return f"{near.what} {length_text(near.apart_m)}"
