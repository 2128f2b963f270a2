"""What a line of a list means: which thing, how it reaches the desk, through which gear.

Everything that the words do not say is a guess with its reason, or a question.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Final

from levelhead.errors import ListError
from levelhead.exchange.lists.list_rows import Line
from levelhead.exchange.lists.model import Choice, Guess, Question
from levelhead.exchange.lists.spoken import MIC_TRAITS, Spoken, spoken
from levelhead.exchange.lists.trade import Thing, TradeWords
from levelhead.gear.book import GearBook

__all__ = ["LEAVE_OUT", "Asking", "Meaning", "thing_of"]

LEAVE_OUT: Final = "leave-out"
_VOICES: Final = ("basses", "choir", "lectern", "altar", "actor", "talkback", "vocal", "speech")
_HAND_MICS: Final = frozenset({"wireless", "handheld", "wireless-hand"})
_WORN_MICS: Final = frozenset({"headset", "lavalier", "wireless-hand"})  # by people, not by toms
_SPEECH_MICS: Final = frozenset({"lavalier", "gooseneck", "boundary", "headset"})
_BAND: Final = frozenset({"bass", "guitar"})
_OF_TRAIT: Final = {"vocal-mic": "vocal", "kick-mic": "kick"}  # what the microphone is made for
_SHOWN: Final = 60  # characters of a text that a question quotes
_LIKELY: Final = ("vocal", "speech", "guitar-acoustic", "keys", "playback")


@dataclass(slots=True)
class Asking:
    """The table, the gear book, what was answered, and what has to be asked, while a list is read.

    ``groups`` are those of all things that the list names beyond doubt.
    """

    trade: TradeWords
    book: GearBook
    answers: Mapping[str, str]
    groups: frozenset[str] = frozenset()
    questions: dict[str, Question] = field(default_factory=dict)

    def answer(self, key: str) -> str | None:
        """What was answered to a question, if anything."""
        return self.answers.get(key)

    def ask(self, key: str, ask: str, where: str, choices: list[Choice]) -> str:
        """Put a question, once for all rows that it stands in; gives its key."""
        known = self.questions.get(key)
        places = (*known.where, where) if known else (where,)
        every = dict.fromkeys([*(known.choices if known else ()), *choices])
        self.questions[key] = Question(key, ask, tuple(dict.fromkeys(places)), tuple(every))
        return key

    def refuse(self, key: str, answer: str) -> ListError:
        """The error of an answer that means nothing."""
        return ListError(
            f"the answer '{answer}' means nothing here",
            where=f"'{key}'",
            expected="one of the choices, a word of the trade, or a type of the gear book",
            remedy="List types with: levelhead gear --search WORD",
        )


@dataclass(slots=True)
class Meaning:
    """What was found out about a line so far."""

    line: Line
    name: Spoken
    gear: Spoken
    thing: Thing | None = None
    guesses: list[Guess] = field(default_factory=list)
    open: list[str] = field(default_factory=list)

    @property
    def traits(self) -> frozenset[str]:
        """Traits of both cells."""
        return self.name.trait_names | self.gear.trait_names

    def guess(self, about: str, taken: str, words: str, why: str) -> None:
        """Note a guess."""
        self.guesses.append(Guess(about, taken, words, why))

    @property
    def key(self) -> str:
        """What its row is asked about by: its name, else its gear, else its place."""
        return self.name.key or self.gear.key or self.line.where


def thing_of(meaning: Meaning, asking: Asking) -> bool:
    """Find out what makes the sound; ``False`` where an answer says to leave it out."""
    answer = asking.answer(meaning.key)
    if answer is not None:
        return _answered(meaning, asking, answer)
    for slip in (*meaning.name.slips, *meaning.gear.slips):
        meaning.guess("what", slip.meaning, slip.typed, f"read as '{' '.join(slip.words)}'")
    if meaning.gear.decides and meaning.gear.strange:
        left = " ".join(meaning.gear.strange)
        meaning.guess("words", "nothing", left, "not known; those beside them decide")
    things = _named(meaning, asking)
    if not things:
        _from_around(meaning, asking)
        return True
    thing = things[0] if len(things) == 1 else _of_several(meaning, asking, things)
    if thing is not None:
        _narrowed(meaning, asking, thing)
    return True


def _answered(meaning: Meaning, asking: Asking, answer: str) -> bool:
    if answer == LEAVE_OUT:
        return False
    trade = asking.trade
    if answer in trade.things:
        meaning.thing = trade.things[answer]
        return True
    found = spoken(answer, trade)
    if not found.things or found.slips:
        raise asking.refuse(meaning.key, answer)
    _narrowed(meaning, asking, trade.things[found.things[0].meaning])
    return True


def _named(meaning: Meaning, asking: Asking) -> list[Thing]:
    """Things that the row names, in its name if there are any there, else beside its gear."""
    ids = dict.fromkeys(each.meaning for each in meaning.name.things)
    ids = ids or dict.fromkeys(each.meaning for each in meaning.gear.things)
    found = [asking.trade.things[each] for each in ids]
    voices = [each for each in found if each.group == "voice"]
    if voices:  # "bass vox" is the bass player's voice
        return sorted(voices, key=lambda each: _VOICES.index(each.id))[:1]
    if len(found) > 1:
        found = [each for each in found if each.id != "drum-kit"] or found
    players = [each for each in found if each.group == "players"]
    return players[:1] or found


def _of_several(meaning: Meaning, asking: Asking, things: list[Thing]) -> Thing | None:
    """One of several instruments of a row: alike ones share its microphone."""
    words = ", ".join(each.text for each in meaning.name.things or meaning.gear.things)
    if len({each.way for each in things}) == 1 and things[0].way == "mic":
        meaning.guess("what", things[0].label, words, "several instruments at one input")
        return things[0]
    choices = [Choice(each.id, each.label) for each in things]
    _ask_thing(meaning, asking, f"Which of {words} is '{_called(meaning)}'?", choices)
    return None


def _narrowed(meaning: Meaning, asking: Asking, thing: Thing) -> None:
    """A word that may mean several things, held against how it reaches the desk."""
    if thing.is_name_too and meaning.traits & _WORN_MICS:
        _from_around(meaning, asking)
        return
    if thing.is_name_too and _is_alone(meaning, asking, thing):
        choices = [Choice("vocal", "a person who sings"), Choice(thing.id, thing.label)]
        choices.append(Choice("speech", "a person who speaks"))
        _ask_thing(
            meaning, asking, f"Is '{_called(meaning)}' a person or a {thing.label}?", choices
        )
        return
    if not thing.one_of:
        meaning.thing = thing
        return
    things = [asking.trade.things[each] for each in thing.one_of]
    fitting, why = _fitting(meaning, things)
    if len(fitting) == 1:
        meaning.thing = fitting[0]
        meaning.guess("what", fitting[0].label, _called(meaning), why)
        return
    choices = [Choice(each.id, each.label) for each in things]
    names = " or ".join(each.label for each in things)
    _ask_thing(meaning, asking, f"Is '{_called(meaning)}' {names}?", choices)


def _is_alone(meaning: Meaning, asking: Asking, thing: Thing) -> bool:
    numbered = any(word.isdigit() for word in meaning.name.words)
    found = next((each for each in meaning.name.things if each.meaning == thing.id), None)
    is_plain = found is not None and found.words == (thing.id,)
    section = spoken(meaning.line.section, asking.trade)
    in_group = any(
        asking.trade.things[each.meaning].group == thing.group for each in section.things
    )
    return is_plain and not numbered and not in_group and thing.group not in asking.groups


def _fitting(meaning: Meaning, things: list[Thing]) -> tuple[list[Thing], str]:
    traits = meaning.traits
    if "amp" in traits:
        return [each for each in things if each.way == "mic" and each.socket], "it has an amplifier"
    if "di" in traits:
        return [each for each in things if each.socket], "it goes through a DI box"
    if "line" in traits:
        return [each for each in things if each.socket], "it has a line output"
    if traits & MIC_TRAITS:
        fitting = [each for each in things if each.mics]
        if "dynamic" in traits or "instrument-mic" in traits:
            fitting = [each for each in fitting if each.way == "mic"] or fitting
            return fitting, "a dynamic microphone usually stands in front of its amplifier"
        return fitting, "it has a microphone"
    return [], ""


def _from_around(meaning: Meaning, asking: Asking) -> None:
    """No thing is named: the heading above, or the kind of microphone, may tell."""
    section = spoken(meaning.line.section, asking.trade)
    if len(section.things) == 1 and not section.slips:
        thing = asking.trade.things[section.things[0].meaning]
        why = f"stands under the heading '{meaning.line.section}'"
        meaning.guess("what", thing.label, _called(meaning), why)
        _narrowed(meaning, asking, thing)
        return
    traits = meaning.traits
    made_for = next((_OF_TRAIT[each] for each in sorted(traits) if each in _OF_TRAIT), None)
    if made_for is not None:
        meaning.thing = asking.trade.things[made_for]
        if meaning.name.strange:
            why = "its microphone is made for that, and its name says nothing"
            meaning.guess("what", meaning.thing.label, _called(meaning), why)
        return
    words = ", ".join(each.text for each in (*meaning.gear.traits, *meaning.name.traits))
    if traits & _SPEECH_MICS:
        meaning.thing = asking.trade.things["speech"]
        meaning.guess("what", meaning.thing.label, words, "such microphones are mostly for speech")
    elif traits & _HAND_MICS:
        is_band = bool(asking.groups & _BAND)
        meaning.thing = asking.trade.things["vocal" if is_band else "speech"]
        why = "a band is on the list" if is_band else "no band is on the list"
        meaning.guess("what", meaning.thing.label, words, why)
    else:
        _ask_thing(meaning, asking, f"What is '{_called(meaning)}'?", _likely(meaning, asking))


def _likely(meaning: Meaning, asking: Asking) -> list[Choice]:
    """Things that the row may be, by how it reaches the desk."""
    things = [asking.trade.things[each] for each in _LIKELY]
    if "di" in meaning.traits:
        things = [
            each
            for each in map(
                asking.trade.things.get, ("guitar-acoustic", "bass", "keys", "playback")
            )
            if each
        ]
    elif meaning.traits & MIC_TRAITS:
        things = [each for each in things if each.mics]
    return [*(Choice(each.id, each.label) for each in things), Choice(LEAVE_OUT, "leave it out")]


def _ask_thing(meaning: Meaning, asking: Asking, ask: str, choices: list[Choice]) -> None:
    meaning.open.append(asking.ask(meaning.key, ask, meaning.line.where, choices))


def _called(meaning: Meaning) -> str:
    text = meaning.line.cell("name") or meaning.line.cell("gear") or meaning.line.text
    return text if len(text) <= _SHOWN else f"{text[:_SHOWN]}..."


def named_groups(lines: Iterator[Line], trade: TradeWords) -> frozenset[str]:
    """Groups of the things that lines name, but words that are names of people as well."""
    found = (each for line in lines for each in spoken(line.cell("name"), trade).things)
    things = (trade.things[each.meaning] for each in found if not each.typed)
    return frozenset(each.group for each in things if not each.is_name_too)
