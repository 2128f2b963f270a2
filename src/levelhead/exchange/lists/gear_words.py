"""How a thing reaches the desk: by which microphone, through which box, or with its own plug."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from levelhead.exchange.lists.active import box_traits
from levelhead.exchange.lists.meanings import LEAVE_OUT, Asking, Meaning
from levelhead.exchange.lists.model import Choice
from levelhead.exchange.lists.spoken import MIC_TRAITS, spoken
from levelhead.exchange.lists.trade import Thing
from levelhead.gear.book import GearBook

__all__ = ["Gear", "gear_of", "lives_on_phantom", "ways_of"]

_STEREO_SOCKET: Final = 2
_MINI: Final = frozenset({"mini-trs", "mini-trrs", "mini-ts"})
_PIEZO: Final = "di-active-piezo"
_MIC_KINDS: Final = frozenset({"microphone"})


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


def ways_of(meaning: Meaning, asking: Asking) -> tuple[str, ...]:
    """``mic``, ``di`` or ``line``; two where a row says both; none where it has to be asked."""
    traits, thing = meaning.traits, meaning.thing
    said = _said_ways(meaning)
    answer = asking.answer(meaning.gear.key) if meaning.gear.key else None
    if answer is not None:
        return (_way_of_answer(meaning, asking, answer),)
    if said:
        return said
    if _is_strange(meaning):
        _ask_gear(meaning, asking)
        return ()
    if thing is None:
        return ("mic",) if traits & MIC_TRAITS else ()
    if thing.way != "ask":
        if thing.way == "line":
            meaning.guess("way", "its line output", _words(meaning), "usual for it")
        return (thing.way,)
    key = f"{meaning.key}: way"
    answered = asking.answer(key)
    if answered in ("mic", "di", "line"):
        return (str(answered),)
    choices = [Choice("mic", "a microphone"), Choice("di", "a DI box at its pickup or output")]
    where = meaning.line.where
    ask = f"How does '{meaning.name.text}' reach the desk?"
    meaning.open.append(asking.ask(key, ask, where, choices))
    return ()


def _said_ways(meaning: Meaning) -> tuple[str, ...]:
    """What the words say, in their order; the gear column before the name."""
    thing = meaning.thing
    for each in (meaning.gear, meaning.name):
        found = [
            way for trait in each.traits if (way := _way_of(trait.meaning, thing, each.trait_names))
        ]
        ways = tuple(dict.fromkeys(found))
        if "di" in ways and "line" in ways:
            ways = tuple(way for way in ways if way != "line")
        if (
            each is meaning.gear
            and ways == ("mic",)
            and each.trait_names <= {"mic"}
            and each.strange
        ):
            return ()  # "Zorg mic": which one has to be asked
        if ways:
            return ways
    return ("line",) if _is_pack(thing, meaning.traits) else ()


def _way_of(trait: str, thing: Thing | None, traits: frozenset[str]) -> str:
    """The way that one trait tells of; empty where it tells of none."""
    if trait in ("di", "line"):
        return trait
    has_amp = thing is not None and thing.group in ("guitar", "bass")
    is_mic = trait in MIC_TRAITS and not _is_pack(thing, traits)
    return "mic" if is_mic or (trait == "amp" and has_amp) else ""


def _is_pack(thing: Thing | None, traits: frozenset[str]) -> bool:
    """Whether it is an instrument with a wireless pack of its own."""
    is_instrument = (
        thing is not None and thing.socket is not None and thing.group in ("guitar", "bass")
    )
    return is_instrument and "wireless" in traits and not traits & {"clip", "headset", "lavalier"}


def _is_strange(meaning: Meaning) -> bool:
    """Whether the gear column says something that nobody knows."""
    gear = meaning.gear
    has_number = any(word.isdigit() for word in gear.words)
    is_voice = meaning.thing is not None and meaning.thing.group == "voice"
    if meaning.line.is_plain and is_voice and not has_number:
        return False  # "Lead vox (Grace)": who sings, not what into
    only_digits = bool(gear.words) and all(word.isdigit() for word in gear.words)
    return not gear.decides and (bool(gear.strange) or only_digits)


def _way_of_answer(meaning: Meaning, asking: Asking, answer: str) -> str:
    if answer in asking.book.ids:
        kind = asking.book.entry(answer).kind
        return "mic" if kind in _MIC_KINDS else "di" if kind == "box" else "line"
    traits = spoken(answer, asking.trade).trait_names
    for way in ("di", "line"):
        if way in traits:
            return way
    if traits & MIC_TRAITS:
        return "mic"
    raise asking.refuse(meaning.gear.key, answer)


def _ask_gear(meaning: Meaning, asking: Asking) -> None:
    mics = meaning.thing.mics if meaning.thing else ("mic-vocal-dynamic", "mic-vocal-condenser")
    choices = [Choice(each, asking.book.entry(each).label) for each in mics]
    if mics:
        plain = [Choice("dynamic", "a dynamic microphone"), Choice("condenser", "a condenser")]
        choices = [*plain, *choices]
    if meaning.thing is not None and meaning.thing.socket:
        choices.append(Choice("di", "a DI box"))
    ask = f"What is '{meaning.line.cell('gear')}': dynamic or condenser, or no microphone?"
    if not mics:
        ask = f"What is '{meaning.line.cell('gear')}': a DI box, or straight into the desk?"
        choices.append(Choice("line", "straight into the desk"))
    meaning.open.append(asking.ask(meaning.gear.key, ask, meaning.line.where, choices))


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
            meaning.guess("microphone", rule.type, _words(meaning), rule.guess)
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
    meaning.guess("microphone", item, _words(meaning), why)
    return item


# --- what has a plug of its own ---


def _plugged(
    meaning: Meaning, asking: Asking, way: str, *, phantom: bool | None, sides: int
) -> Gear:
    thing = meaning.thing
    if thing is not None and thing.id == "bass-amp":
        thing = meaning.thing = asking.trade.things["bass"]
        meaning.guess(
            "what", "bass", _words(meaning), "its amplifier's output is reckoned as a DI box"
        )
    if thing is None:
        return Gear(way)
    if thing.socket is None:
        _ask_conflict(meaning, asking, "has no plug of its own", thing)
        return Gear(way)
    if _is_pack(thing, meaning.traits):
        return Gear("di", thing.socket, "wireless-instrument")
    if way == "line":
        return Gear("line", thing.socket)
    return Gear("di", thing.socket, _box(meaning, asking, thing, phantom=phantom, sides=sides))


def _box(
    meaning: Meaning, asking: Asking, thing: Thing, *, phantom: bool | None, sides: int
) -> str:
    answer = asking.answer(meaning.gear.key) if meaning.gear.key else None
    if answer in asking.book.ids and asking.book.entry(answer).kind == "box":
        return str(answer)
    said = box_traits(meaning, asking.trade)
    usual = thing.di or "di-active"
    is_active = "passive" not in said and (
        "active" in said or phantom or usual.startswith("di-active")
    )
    if phantom is False and not said:
        is_active = False
    sides = 1 if meaning.line.of_gear > 1 else sides  # "2x DI" are two boxes, not one of two
    box = _sized(asking.book, thing, usual, is_active=bool(is_active), sides=sides)
    if not said:
        why = (
            "the list says phantom power"
            if phantom
            else "usual for it; the list does not say which"
        )
        meaning.guess("box", box, _words(meaning), why)
    return box


def _sized(book: GearBook, thing: Thing, usual: str, *, is_active: bool, sides: int) -> str:
    """The box of a kind that has the sockets for it."""
    outs = [
        port
        for block in book.plan(str(thing.socket), {}, {}).blocks
        for port in block.plan.ports.values()
        if port.role == "out"
    ]
    is_mini = any(port.socket in _MINI for port in outs)
    if is_mini:
        return "di-passive-stereo"
    if not is_active:
        return "di-passive"
    if usual == _PIEZO:
        return _PIEZO
    return (
        "di-active-stereo"
        if sides == _STEREO_SOCKET and len(outs) >= _STEREO_SOCKET
        else "di-active"
    )


def _ask_conflict(meaning: Meaning, asking: Asking, why: str, thing: Thing) -> None:
    choices = [Choice(each, asking.book.entry(each).label) for each in thing.mics[:3]]
    if thing.socket:
        choices += [Choice("di", "a DI box"), Choice("line", "straight into the desk")]
    choices.append(Choice(LEAVE_OUT, "leave it out"))
    key = meaning.gear.key or meaning.key
    ask = f"'{meaning.line.text}': {thing.label} {why}; what is it?"
    meaning.open.append(asking.ask(key, ask, meaning.line.where, choices))


def _words(meaning: Meaning) -> str:
    return meaning.line.cell("gear") or meaning.line.cell("name") or meaning.line.text
