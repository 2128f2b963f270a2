"""What is done and seen at each place while the signal is followed by its level."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Final

from levelhead.exchange.walk.model import Expected
from levelhead.exchange.walk.places import Ground, Place, is_loudspeaker
from levelhead.exchange.walk.words import (
    expected_words,
    feeding_words,
    leg_words,
    sets_words,
    sounding_words,
)
from levelhead.quantity.formatting import format_level

__all__ = ["done_at", "phantom_expected", "readings_at", "seen_at"]

_ALIKE_DB: Final = 0.5
_LINE_DBU: Final = (
    -20.0
)  # from here on a level is heard on headphones without much gain, common practice


def done_at(ground: Ground, place: Place) -> str:
    """What to look at or do."""
    parts = {
        "source": _at_source,
        "lead": _at_lead,
        "phantom": _at_phantom,
        "gain": _at_gain,
        "routing": _at_routing,
        "output": _at_output,
    }[place.kind](ground, place)
    return " ".join(f"{each[0].upper()}{each[1:]}." for each in parts if each)


def _set(ground: Ground, place: Place) -> str:
    words = sets_words(ground.work, place.controls)
    return f"as planned: {words}" if words else ""


def _at_source(ground: Ground, place: Place) -> Iterator[str]:
    yield f"{sounding_words(ground.work, ground)}, as in the loudest passage, for the whole walk"
    yield feeding_words(place.items[0])
    yield _set(ground, place)


def _at_lead(ground: Ground, place: Place) -> Iterator[str]:
    work, leg = ground.work, place.leg
    for box in place.items:
        yield feeding_words(box)
        yield _set(ground, place)
    if leg is not None:
        yield f"look at both ends of {leg_words(work, leg)}"
    yield "if in doubt, muted: a lead in its place that is known to work"


def _at_phantom(ground: Ground, _place: Place) -> Iterator[str]:
    yield f"48 V on at {ground.work.end(ground.route.port)}: look at its switch and its lamp"
    yield (
        "with a multimeter, at the microphone's end of the lead, plugged in: between pin 2 and pin "
        "1, then between pin 3 and pin 1"
    )


def _at_gain(ground: Ground, place: Place) -> Iterator[str]:
    listening = ground.desk.listening(ground.route.port.block)
    if listening is None:
        yield "watch the strip's own meter, the others quiet"
    else:
        label = ground.work.rig.controls[listening[0]].label
        yield f"{label} on, no other: watch the meter and listen on headphones, turned up slowly"
    yield _set(ground, place)


def _at_routing(ground: Ground, place: Place) -> Iterator[str]:
    port = ground.route.port
    muting = ground.desk.muting(port.block)
    if muting is not None and _is_of_strip(ground, place):
        rest = next(
            each for each in ground.work.rig.controls[muting[0]].options if each != muting[1]
        )
        yield f"{ground.work.rig.controls[muting[0]].label} {rest}"
    yield _set(ground, place)


def _is_of_strip(ground: Ground, place: Place) -> bool:
    own = f"{ground.route.port.strip}."
    return any(each.startswith(own) for each in place.points)


def _at_output(ground: Ground, place: Place) -> Iterator[str]:
    yield ", then ".join(leg_words(ground.work, leg) for leg in place.legs)
    yield feeding_words(place.items[0])
    yield _set(ground, place)
    if is_loudspeaker(ground, place):
        yield "go to it and listen, never with the ear at it"
    else:
        yield "no lamp says protection or clip"


# ---------------------------------------------------------------- readings


def readings_at(ground: Ground, place: Place) -> tuple[Expected, ...]:
    """Meters of a place, and what they read of this channel alone."""
    alone = ground.alone
    if place.kind == "phantom":
        found = phantom_expected(ground)
        return () if found is None else (found,)
    if not place.points or place.kind in {"source", "lead"}:
        metered = [each for each in place.points if _has_meter(ground, each)]
        return tuple(each for at in metered[-1:] if (each := alone.expected(at)) is not None)
    if place.kind == "gain":
        listened, own = alone.listened(), alone.expected(place.at)
        return tuple(each for each in (own, listened) if each is not None)
    if is_loudspeaker(ground, place):
        heard = alone.sound(place.at)
        return () if heard is None else (heard,)
    metered = [each for each in place.points if _has_meter(ground, each)]
    return tuple(each for at in metered[-1:] if (each := alone.expected(at)) is not None)


def _has_meter(ground: Ground, address: str) -> bool:
    return ground.work.check.trial.solution.point(address).meter is not None


def phantom_expected(ground: Ground) -> Expected | None:
    """Volts of each leg at the microphone's end, with it plugged in; none where no power is on.

    Lower than it needs is too low; more than the supply gives is not there.
    """
    solution = ground.work.check.trial.solution
    for leg in ground.route.legs:
        arrival = solution.phantom_at(leg.out.item.id)
        if arrival is not None and arrival.is_fed:
            direct = solution.dc_at(arrival.port)
            volts = arrival.volts if direct is None else direct.common_v
            return Expected("volts", arrival.port, volts, arrival.needed_v, None, "V")
    return None


def seen_at(ground: Ground, place: Place) -> str:
    """What is seen or heard there while all is well."""
    told = _meters_words(readings_at(ground, place))
    if place.kind == "phantom":
        return told or "No phantom power is on here."
    if place.kind == "source":
        return f"{told} It is heard without the system.".strip()
    level = _level_words(ground, place)
    return f"{told} {level}".strip() or "In the show, nothing arrives here."


def _meters_words(found: Sequence[Expected]) -> str:
    """Meters one after another; one that reads as the one before is told shortly."""
    words = [expected_words(each) for each in found[:1]]
    for before, each in pairwise(found):
        is_alike = before.unit == each.unit and abs(before.reads - each.reads) < _ALIKE_DB
        words.append(
            "The meter for listening reads the same." if is_alike else expected_words(each)
        )
    return " ".join(words)


def _level_words(ground: Ground, place: Place) -> str:
    """The level where no meter is, and how it may be listened to."""
    if is_loudspeaker(ground, place):
        return "It is heard, clean and even."
    point = place.at if place.kind != "output" else _entering(place)
    levels = ground.alone.levels(point) if point else None
    if levels is None or levels.nominal is None or _is_metered(ground, place):
        return ""
    told = f"{format_level(levels.nominal, levels.unit)} here"
    if levels.unit != "dBu":
        return f"{told}, shown by no meter of the show."
    if place.leg is not None and place.leg.out.plan.role == "loudspeaker":
        return f"{told}: a loudspeaker line, not for headphones."
    if levels.nominal < _LINE_DBU:
        return f"{told}: too low for headphones, the next meter tells."
    return f"{told}: line level, heard with a headphone amplifier in place of the input."


def _is_metered(ground: Ground, place: Place) -> bool:
    return bool(readings_at(ground, place))


def _entering(place: Place) -> str:
    return place.points[0] if place.points else ""
