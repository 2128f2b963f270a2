"""Types on the way of a thing to the desk: its microphone, what sounds, its box."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from levelhead.exchange.lists.active import box_traits
from levelhead.exchange.lists.meanings import LEAVE_OUT, Asking, Meaning
from levelhead.exchange.lists.model import Choice
from levelhead.exchange.lists.spoken import spoken
from levelhead.exchange.lists.trade import Thing
from levelhead.exchange.lists.ways import is_radio_pack
from levelhead.gear.book import GearBook

__all__ = ["Gear", "gear_of", "lives_on_phantom"]

_PAIR: Final = 2
_MINIJACKS: Final = frozenset({"mini-trs", "mini-trrs", "mini-ts"})


@dataclass(frozen=True, slots=True)
class Gear:
    """The way, and the types on it; ``source`` is what sounds in front of a microphone."""

    way: str
    item: str | None = None
    box: str | None = None
    source: str | None = None


def lives_on_phantom(book: GearBook, type_id: str) -> bool:
    """Whether gear of a type takes phantom power, and nothing else may feed it instead."""
    ways = [way.kind for way in book.plan(type_id, {}, {}).powered_by]
    return "phantom" in ways and "mains" not in ways


def gear_of(
    meaning: Meaning, asking: Asking, way: str, *, phantom: bool | None, sides: int
) -> Gear:
    """Types for one way of a row; what is not known is asked about."""
    if way == "mic":
        return _microphone(meaning, asking, phantom=phantom)
    return _plugged(meaning, asking, way, phantom=phantom, sides=sides)


# --- microphones ---


def _microphone(meaning: Meaning, asking: Asking, *, phantom: bool | None) -> Gear:
    thing = meaning.thing
    answer = asking.answer(meaning.gear.key) if meaning.gear.key else None
    traits = meaning.traits | (spoken(answer, asking.trade).trait_names if answer else frozenset())
    if answer in asking.book.ids:
        item: str | None = answer
    else:
        if thing is not None:
            traits |= {f"of-{thing.id}", f"of-{thing.group}"}
        rule = asking.trade.rule_for(traits)
        item = None if rule is None else rule.type
        if rule is not None and rule.guess:
            meaning.guess("microphone", rule.type, meaning.line.gear_or_name, rule.guess)
    if item is None:
        item = _usual_mic(meaning, asking, phantom=phantom)
    source = None
    if thing is not None:
        source = thing.sound
        if thing.like and item is not None:
            meaning.guess("sound", str(thing.sound), thing.label, f"reckoned like {thing.like}")
    if thing is not None and not thing.mics:
        _ask_conflict(meaning, asking, "has no microphone in the table", thing)
        return Gear("mic")
    return Gear("mic", item, None, source)


def _usual_mic(meaning: Meaning, asking: Asking, *, phantom: bool | None) -> str | None:
    """The microphone that such a thing usually gets; one on phantom where the list says so."""
    thing = meaning.thing
    if thing is None or not thing.mics:
        return None
    fitting = [
        each
        for each in thing.mics
        if phantom is None or lives_on_phantom(asking.book, each) is phantom
    ]
    item = (fitting or thing.mics)[0]
    why = "usual for it"
    if fitting and phantom is not None:
        why = "usual for it with phantom power" if phantom else "usual for it without phantom power"
    meaning.guess("microphone", item, meaning.line.gear_or_name, why)
    return item


# --- what has a plug of its own ---


def _plugged(
    meaning: Meaning, asking: Asking, way: str, *, phantom: bool | None, sides: int
) -> Gear:
    thing = meaning.thing
    if thing is not None and thing.plugged is not None:
        thing = meaning.thing = asking.trade.things[thing.plugged]
        why = "its amplifier's output is reckoned as a DI box"
        meaning.guess("what", thing.id, meaning.line.gear_or_name, why)
    if thing is None:
        return Gear(way)
    if thing.socket is None:
        _ask_conflict(meaning, asking, "has no plug of its own", thing)
        return Gear(way)
    if is_radio_pack(thing, meaning.traits):
        return Gear("di", thing.socket, asking.trade.usual.radio_pack)
    if way == "line":
        return Gear("line", thing.socket)
    return Gear("di", thing.socket, _box(meaning, asking, thing, phantom=phantom, sides=sides))


def _box(
    meaning: Meaning, asking: Asking, thing: Thing, *, phantom: bool | None, sides: int
) -> str:
    """The box that was answered, else the one of the kind that is told of."""
    answer = asking.answer(meaning.gear.key) if meaning.gear.key else None
    if answer in asking.book.ids and asking.book.entry(answer).kind == "box":
        return str(answer)
    said = box_traits(meaning, asking.trade)
    is_active = _is_active(thing, asking, said, phantom=phantom)
    sides = 1 if meaning.line.of_gear > 1 else sides  # "2x DI" are two boxes, not one of two
    box = _sized(asking, thing, is_active=is_active, sides=sides)
    if not said:
        told = "the list says phantom power"
        why = told if phantom else "usual for it; the list does not say which"
        meaning.guess("box", box, meaning.line.gear_or_name, why)
    return box


def _is_active(thing: Thing, asking: Asking, said: frozenset[str], *, phantom: bool | None) -> bool:
    """Whether the box wants power: as the words say, else as phantom power says, else as usual."""
    if "passive" in said or (phantom is False and not said):
        return False
    usual = thing.di or asking.trade.usual.box
    return "active" in said or bool(phantom) or lives_on_phantom(asking.book, usual)


def _sized(asking: Asking, thing: Thing, *, is_active: bool, sides: int) -> str:
    """The box of a kind that has the sockets for it."""
    outs = [
        port
        for block in asking.book.plan(str(thing.socket), {}, {}).blocks
        for port in block.plan.ports.values()
        if port.role == "out"
    ]
    usual = asking.trade.usual
    if any(port.socket in _MINIJACKS for port in outs):
        return usual.box_of_minijacks
    if not is_active:
        return usual.passive_box
    if thing.di is not None and thing.di not in usual.boxes:
        return thing.di  # one made for it, such as for a piezo pickup
    return usual.box_of_two if sides == _PAIR and len(outs) >= _PAIR else usual.box


def _ask_conflict(meaning: Meaning, asking: Asking, why: str, thing: Thing) -> None:
    choices = [Choice(each, asking.book.entry(each).label) for each in thing.mics[:3]]
    if thing.socket:
        choices += [Choice("di", "a DI box"), Choice("line", "straight into the desk")]
    choices.append(Choice(LEAVE_OUT, "leave it out"))
    key = meaning.gear.key or meaning.key
    ask = f"'{meaning.line.text}': {thing.label} {why}; what is it?"
    meaning.open.append(asking.ask(key, ask, meaning.line.where, choices))
