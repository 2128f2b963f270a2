"""Where a show takes place: the room, and the areas in which people listen.

Quantities stay as they are typed (``1.4 s``, ``1200 m3``); the acoustics read them. What a field
may hold is checked here, for files and for edits.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import partial
from typing import Final, Literal, TypeAlias, cast, get_args

from levelhead.errors import QuantityError
from levelhead.quantity.levels import Level, Reference
from levelhead.quantity.parsing import parse, parse_si
from levelhead.quantity.units import ZERO_CELSIUS_K
from levelhead.show.addresses import shortened
from levelhead.show.checks import checked_value, unfit

__all__ = [
    "CHECKS",
    "Area",
    "ByOctave",
    "Corner",
    "Room",
    "Surface",
    "Where",
    "Who",
    "checked_area",
    "checked_by_octave",
    "checked_quantity",
    "checked_room",
    "checked_who",
    "level_dba",
]

Corner: TypeAlias = tuple[float, float]
"""To the right and into the hall, seen from the middle of the stage's edge. [m]"""

ByOctave: TypeAlias = str | Mapping[str, str]
"""One value for all frequencies, or one for each of some octaves: ``{125: 1.9 s, 1000: 1.2 s}``."""

Where: TypeAlias = Literal["indoors", "outdoors"]
"""Whether anything comes back from walls."""

Who: TypeAlias = Literal["audience", "staff", "performers"]
"""Who is in an area: listeners, people who work there, people who play there."""

OCTAVES: Final = (63, 125, 250, 500, 1000, 2000, 4000, 8000)


@dataclass(frozen=True, slots=True)
class Surface:
    """A part of the walls, with what it swallows."""

    area: str
    absorption: ByOctave


@dataclass(frozen=True, slots=True)
class Room:
    """The place of a show.

    ``corners`` go round its floor, ``floor`` is how high that lies (the stage's edge is 0).
    """

    where: Where = "indoors"
    corners: tuple[Corner, ...] = ()
    height: str | None = None
    floor: float = 0.0
    volume: str | None = None
    surface: str | None = None
    reverberation: ByOctave | None = None
    absorption: ByOctave | None = None
    surfaces: Mapping[str, Surface] = field(default_factory=dict)
    temperature: str | None = None
    humidity: str | None = None
    noise: str | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Area:
    """Where people listen: an area with corners, or one place.

    ``ears`` is how high their ears are above the floor, ``back_ears`` those of the last row;
    ``level`` is how loud the loud passage shall be there, ``laeq`` what a meter showed there over
    a quarter of an hour or longer, ``who`` who gets it.
    """

    id: str
    label: str = ""
    corners: tuple[Corner, ...] = ()
    at: tuple[float, float, float] | None = None
    ears: str | None = None
    back_ears: str | None = None
    spacing: str | None = None
    stay: str | None = None
    level: str | None = None
    who: Who = "audience"
    laeq: str | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class _Range:
    """A unit, what lies within reason, and how people write it."""

    unit: str
    low: float
    high: float
    example: str


_RANGES: Final[Mapping[str, _Range]] = {
    "height": _Range("m", 1.0, 100.0, "5 m"),
    "volume": _Range("m3", 5.0, 1e6, "1200 m3"),
    "surface": _Range("m2", 10.0, 1e5, "760 m2"),
    "area": _Range("m2", 0.01, 1e5, "240 m2"),
    "reverberation": _Range("s", 0.05, 30.0, "1.4 s"),
    "absorption": _Range("1", 0.0, 1.0, "0.15"),
    "temperature": _Range("K", 223.15, 333.15, "20 °C"),
    "humidity": _Range("1", 0.0, 1.0, "50 %"),
    "ears": _Range("m", 0.1, 20.0, "1.2 m"),
    "back-ears": _Range("m", 0.1, 20.0, "2.4 m"),
    "spacing": _Range("m", 0.25, 50.0, "1 m"),
    "stay": _Range("s", 60.0, 86_400.0, "3 h"),
}
NOISE_DB: Final = (0.0, 120.0)
TARGET_DB: Final = (30.0, 130.0)


def checked_quantity(name: str, given: object) -> str:
    """The text of a quantity, if it can be read and lies within reason.

    Examples
    --------
    >>> checked_quantity("volume", "1200 m3")
    '1200 m3'
    """
    text = checked_value(given)
    known = _RANGES[name]
    try:
        value = parse_si(text, known.unit)
    except QuantityError as error:
        raise unfit(name, error.what, expected=error.expected, remedy=error.remedy) from None
    slack = 1e-9 * known.high  # an end that is typed in another unit is that end
    if known.low - slack <= value <= known.high + slack:
        return text
    raise unfit(
        name,
        f"{shortened(text)} is no {name.replace('-', ' ')} that a place has",
        expected=_ends(known),
        remedy=f"Write it like {known.example}.",
    )


def _ends(known: _Range) -> str:
    """From where to where, in the unit that people type."""
    if known.unit == "K":
        return f"{known.low - ZERO_CELSIUS_K:g} to {known.high - ZERO_CELSIUS_K:g} °C"
    return f"{known.low:g} to {known.high:g} {known.unit}".removesuffix(" 1")


def checked_noise(given: object) -> str:
    """Noise of the place with nothing playing, A-weighted."""
    return _checked_level(
        "noise",
        given,
        NOISE_DB,
        "noise of a place",
        "Write it like 38 dB(A), as a sound level meter shows it with nothing playing.",
    )


def checked_target(given: object) -> str:
    """How loud it shall be in an area, A-weighted."""
    return _checked_level(
        "level",
        given,
        TARGET_DB,
        "level for listeners",
        "Write it like 85 dB(A), as a sound level meter shall show it in the loud passage.",
    )


def checked_laeq(given: object) -> str:
    """What a meter showed where people are, A-weighted."""
    return _checked_level(
        "laeq",
        given,
        TARGET_DB,
        "mean level that a meter shows",
        "Write it like 97 dB(A): LAeq as a meter shows it over 15 minutes or longer.",
    )


def level_dba(text: str) -> float:
    """An A-weighted level that was checked. [dB(A)]

    >>> level_dba("97 dB(A)")
    97.0
    """
    return float(getattr(parse(text), "value_db", math.nan))


def checked_who(given: object) -> Who:
    """Who is in an area."""
    for known in get_args(Who):
        if given == known:
            return cast("Who", known)
    raise unfit(
        "who",
        f"{shortened(str(given))} says nothing of who is there",
        expected="audience, staff or performers",
        remedy="Write staff where people work; leave it out for the audience.",
    )


def _checked_level(
    name: str, given: object, ends_db: tuple[float, float], kind: str, remedy: str
) -> str:
    """The text of an A-weighted sound level, if it can be read and lies within reason."""
    text = checked_value(given)
    try:
        level = parse(text)
    except QuantityError as error:
        raise unfit(name, error.what, expected=error.expected, remedy=error.remedy) from None
    is_weighted = isinstance(level, Level) and level.reference is Reference.DB_SPL_A
    level_db = level.value_db if isinstance(level, Level) and is_weighted else math.nan
    if ends_db[0] <= level_db <= ends_db[1]:
        return text
    raise unfit(
        name,
        f"{shortened(text)} is no {kind}",
        expected=f"{ends_db[0]:g} to {ends_db[1]:g} dB(A)",
        remedy=remedy,
    )


def checked_by_octave(name: str, given: object) -> ByOctave:
    """One quantity, or one for each of some octaves from 63 Hz to 8 kHz."""
    if not isinstance(given, Mapping):
        return checked_quantity(name, given)
    if not given:
        raise unfit(name, "no octave", expected="one or more", remedy="Write {500: 1.2 s}.")
    return {_octave(name, key): checked_quantity(name, value) for key, value in given.items()}


def _octave(name: str, given: object) -> str:
    """The name of an octave."""
    text = str(given)
    if text in {str(each) for each in OCTAVES}:
        return text
    raise unfit(
        name,
        f"{shortened(text)} is no octave",
        expected="one of " + ", ".join(map(str, OCTAVES)),
        remedy="Write octaves in hertz, like {125: 1.9 s, 1000: 1.2 s}.",
    )


CHECKS: Final[Mapping[str, Callable[[object], str]]] = {
    **{name: partial(checked_quantity, name) for name in _RANGES},
    "noise": checked_noise,
    "level": checked_target,
    "laeq": checked_laeq,
}
"""Checks of single quantities, by the field."""


def checked_room(room: object) -> Room:
    """A room whose every field passes its check.

    Raises
    ------
    ShowError
        One does not.
    """
    if not isinstance(room, Room):
        raise unfit("room", f"{room!r}", expected="a room", remedy="Send a room.")
    for name in ("height", "volume", "surface", "temperature", "humidity", "noise"):
        _check_given(name, getattr(room, name))
    for name in ("reverberation", "absorption"):
        if getattr(room, name) is not None:
            checked_by_octave(name, getattr(room, name))
    for surface in room.surfaces.values():
        checked_quantity("area", surface.area)
        checked_by_octave("absorption", surface.absorption)
    return room


def checked_area(area: object) -> Area:
    """An area whose every field passes its check, with corners or a place.

    Raises
    ------
    ShowError
        A field does not pass, or it has neither, or both.
    """
    if not isinstance(area, Area):
        raise unfit("area", f"{area!r}", expected="an area", remedy="Send an area.")
    for name in ("ears", "back-ears", "spacing", "stay", "level", "laeq"):
        _check_given(name, getattr(area, name.replace("-", "_")))
    checked_who(area.who)
    check_one_of(has_corners=bool(area.corners), has_place=area.at is not None)
    return area


def check_one_of(*, has_corners: bool, has_place: bool) -> None:
    """Refuse an area that is nowhere, or twice.

    Raises
    ------
    ShowError
        It has neither corners nor a place, or both.
    """
    if has_corners != has_place:
        return
    raise unfit(
        "area",
        "corners and a place" if has_place else "neither corners nor a place",
        expected="one of both",
        remedy="Write corners: [[-4, 2], [4, 2], [4, 12], [-4, 12]] or at: [0, 10, 1.2].",
    )


def _check_given(name: str, value: str | None) -> None:
    if value is not None:
        CHECKS[name](value)
