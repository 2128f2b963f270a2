"""How a thing reaches the desk: by a microphone, through a DI box, or with its own plug."""

from __future__ import annotations

from levelhead.exchange.lists.meanings import Asking, Meaning
from levelhead.exchange.lists.model import Choice
from levelhead.exchange.lists.spoken import MIC_TRAITS, spoken
from levelhead.exchange.lists.trade import Thing

__all__ = ["is_radio_pack", "ways_of"]


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
            meaning.guess("way", "its line output", meaning.line.gear_or_name, "usual for it")
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
    return ("line",) if is_radio_pack(thing, meaning.traits) else ()


def _way_of(trait: str, thing: Thing | None, traits: frozenset[str]) -> str:
    """The way that one trait tells of; empty where it tells of none."""
    if trait in ("di", "line"):
        return trait
    has_amp = thing is not None and thing.group in ("guitar", "bass")
    is_mic = trait in MIC_TRAITS and not is_radio_pack(thing, traits)
    return "mic" if is_mic or (trait == "amp" and has_amp) else ""


def is_radio_pack(thing: Thing | None, traits: frozenset[str]) -> bool:
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
        return "mic" if kind == "microphone" else "di" if kind == "box" else "line"
    traits = spoken(answer, asking.trade).trait_names
    for way in ("di", "line"):
        if way in traits:
            return way
    if traits & MIC_TRAITS:
        return "mic"
    raise asking.refuse(meaning.gear.key, answer)


def _ask_gear(meaning: Meaning, asking: Asking) -> None:
    mics = meaning.thing.mics if meaning.thing else asking.trade.usual.microphones
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
