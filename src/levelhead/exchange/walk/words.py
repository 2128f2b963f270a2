"""Words of the walk: what a place is called, what is set there, what a meter should read."""

from __future__ import annotations

from collections.abc import Iterable

from levelhead.exchange.paperwork.flow import Leg
from levelhead.exchange.paperwork.work import Paperwork
from levelhead.exchange.sound_check.steps import set_of
from levelhead.exchange.walk.model import Expected
from levelhead.exchange.walk.places import Ground, Place
from levelhead.rig.model import RigItem

__all__ = [
    "expected_words",
    "feeding_words",
    "leg_words",
    "range_words",
    "reading_text",
    "sets_words",
    "sounding_words",
    "title_of",
    "unfed_words",
    "who_words",
]


def who_words(work: Paperwork, ground: Ground) -> str:
    """Who plays into a channel: the voice before the microphone, else the item it begins in."""
    first = ground.route.first
    voices = [each.label for each in work.sources_at.get(first.id, ())]
    return " and ".join(voices) or work.called(first)


def sounding_words(work: Paperwork, ground: Ground) -> str:
    """Who makes a sound, and how: ``Anna sings``, ``Reader speaks``, ``Laptop plays``.

    A voice of which the gear book tells how far under a meter's zero it is loud enough is speech.
    """
    who = who_words(work, ground)
    sources = work.sources_at.get(ground.route.first.id, ())
    types = work.rig.show.sources
    kinds = {work.rig.book.entry(types[each.id].type).kind for each in sources}
    if kinds == {"voice"}:
        is_speech = all(each.air.under_zero_db is not None for each in sources)
        one, many = ("speaks", "speak") if is_speech else ("sings", "sing")
    else:
        one, many = "plays", "play"
    return f"{who} {one if len(sources) < 2 else many}"  # noqa: PLR2004 - two are many


def title_of(ground: Ground, place: Place) -> str:
    """Where one stands."""
    work, port = ground.work, ground.route.port
    if place.kind == "source":
        who, item = who_words(work, ground), work.called(place.items[0])
        return item if who == item else f"{who} at {item}"
    if place.kind == "lead" and place.leg is not None:
        box = f"{work.called(place.items[0])}, then lead" if place.items else "Lead"
        return f"{box} {place.leg.lead.number} into {work.end(place.leg.into)}"
    if place.kind == "phantom":
        return f"Phantom power at {work.end(port)}"
    if place.kind == "gain":
        return f"{work.called(port.item)}, {port.block.name or port.plan.label}: gain"
    if place.kind == "routing":
        return f"{work.called(place.items[-1])}: {_sum_name(place)}"
    return ", ".join(work.called(each) for each in place.items)


def _sum_name(place: Place) -> str:
    """The bus that a place of the routing ends at."""
    local = place.at.partition(".")[2].rpartition(".")[0]
    return f"to {local}" if local else "output"


def leg_words(work: Paperwork, leg: Leg) -> str:
    """A lead with both of its sockets: ``lead 3, XLR cable, 20 m, from A into B``."""
    made = f", {leg.lead.words}" if leg.lead.words else ""
    return f"lead {leg.lead.number}{made}, from {work.end(leg.out)} into {work.end(leg.into)}"


def sets_words(work: Paperwork, controls: Iterable[str]) -> str:
    """Controls as they stand: ``gain 34 dB (just past 1 o'clock), fader 0 dB``."""
    told = []
    for control in controls:
        strip = control.partition(".")[2].rpartition(".")[0]
        if work.rig.controls[control].kind in {"range", "switch", "pan"}:
            found = set_of(work.rig, control)
            told.append(f"{strip} {found.words}" if strip else found.words)
    return ", ".join(told)


def feeding_words(item: RigItem) -> str:
    """How an item is fed, as far as somebody can look at it."""
    kinds = {way.kind for way in item.plan.powered_by}
    words = []
    if item.plan.batteries or "battery" in kinds:
        words.append("fresh battery in, switched on")
    if item.plan.is_on_mains:
        words.append("mains in, its lamp lit")
    return ", ".join(words)


def unfed_words(item: RigItem) -> str:
    """What it may lack of all that feeds it; empty for what needs nothing."""
    kinds = {way.kind for way in item.plan.powered_by}
    words = ["is switched off"] if feeding_words(item) else []
    if item.plan.batteries or "battery" in kinds:
        words.append("its battery is empty")
    if item.plan.is_on_mains:
        words.append("it has no mains")
    return " or ".join(words)


def reading_text(value: float, unit: str) -> str:
    """A reading as a panel shows it: whole decibels, tenths of a volt."""
    if unit == "V":
        return f"{value:.1f} V"
    rounded = round(value) + 0
    sign = "+" if rounded > 0 and unit != "dB SPL" else ""
    return f"{sign}{rounded} {unit}"


def range_words(expected: Expected) -> str:
    """Between what a reading is as expected."""
    low, high = expected.low, expected.high
    if low is None and high is not None:
        return f"up to {reading_text(high, expected.unit)}"
    if high is None and low is not None:
        return f"from {reading_text(low, expected.unit)}"
    if low is None or high is None:
        return ""
    number = reading_text(low, expected.unit).removesuffix(f" {expected.unit}")
    return f"{number} to {reading_text(high, expected.unit)}"


_HOW = {
    "meter": "Its meter",
    "pfl": "The meter for listening (PFL)",
    "volts": "A multimeter",
    "sound": "At 1 m",
}


def expected_words(expected: Expected) -> str:
    """A whole sentence: ``Its meter reads -12 dB (peak), right from -20 to -4 dB.``"""
    detector = f" ({expected.detector})" if expected.detector else ""
    verb = "it gives" if expected.how == "sound" else "reads"
    if expected.low is None and expected.high is not None:
        stays = "it stays" if expected.how == "sound" else "stays"
        return f"{_HOW[expected.how]} {stays} below {reading_text(expected.high, expected.unit)}."
    reads = f"{_HOW[expected.how]} {verb} {reading_text(expected.reads, expected.unit)}{detector}"
    right = "" if expected.high is None else "from "
    return f"{reads}, right {right}{range_words(expected)}."
