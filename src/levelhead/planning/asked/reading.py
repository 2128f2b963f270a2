"""A question as it was understood: both ends, what else fits, conditions, and words left over."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from levelhead.errors import AskError
from levelhead.gear.book import GearBook
from levelhead.gear.names import did_you_mean
from levelhead.gear.plan.ways import block_of
from levelhead.planning.asked.backwards import is_backwards, names_an_output, only_takes
from levelhead.planning.asked.conditions_met import NOT_UNDERSTOOD, Applied, Met, Unused, meet
from levelhead.planning.asked.heard_by import (
    is_miked,
    microphones_for,
    takes_only_a_jack,
    usual_distance_m,
)
from levelhead.planning.asked.little_rig import Question, QuestionRig, build_question_rig
from levelhead.planning.asked.with_conditions import right_of, with_more
from levelhead.planning.typed.candidates import Candidate, Side
from levelhead.planning.typed.channels import without_channel_numbers
from levelhead.planning.typed.conditions import Condition, Read, read_text
from levelhead.planning.typed.fitting import fitness
from levelhead.planning.typed.names import find_candidates, find_sources, matched, nearest_types
from levelhead.planning.typed.pairing import ALIKE, paired
from levelhead.planning.typed.phrases import is_number, says_only_a_plug
from levelhead.planning.typed.spelling import Respelt, respelt
from levelhead.planning.typed.words import words_in_turn
from levelhead.show.model import Source

__all__ = ["TURNED", "Asked", "read_question"]

_CLOSE: Final = 1.0  # candidates this near in score fit as well
_CLEARLY: Final = 0.1  # more than this, and it is the sound that is meant, no gear of that name
_NEAR_A_TAP: Final = 0.25  # gear with just the tap that was said, called nearly as well
TURNED: Final = "it gives, so the question is read the other way round"
_MOST_TOLD: Final = 80  # letters of what was asked


@dataclass(frozen=True, slots=True)
class Asked:
    """What was typed: the texts read, and candidates for either end, the best first.

    ``source`` is what sounds in front of a microphone where a sound was named, none where gear was;
    ``slips`` are words that were read as others.
    """

    question: Question
    texts: tuple[Read, Read]
    conditions: tuple[tuple[str, Condition], ...]
    first: tuple[Candidate, ...]
    second: tuple[Candidate, ...]
    source: Candidate | None = None
    slips: tuple[Respelt, ...] = ()
    is_turned: bool = False

    @property
    def heard(self) -> tuple[Applied, ...]:
        """Words read as others, a question turned round, the sound in front of a microphone."""
        slips = tuple(Applied(each.typed, f"read as {each.read}") for each in self.slips)
        if self.is_turned:
            slips += (Applied(self.question.from_text, TURNED),)
        if self.source is None:
            return slips
        microphone = self.first[0].label.rpartition(":")[0]
        return (*slips, Applied(self.texts[0].rest, f"heard by {microphone}"))

    def not_used(self, second: Candidate) -> tuple[Unused, ...]:
        """Words of either text that name nothing here, as they were typed."""
        first = self.source or self.first[0]
        return tuple(
            Unused(typed, NOT_UNDERSTOOD)
            for read, end in zip(self.texts, (first, second), strict=True)
            for word, typed in words_in_turn(read.rest)
            if word in end.unmet
        )

    def rig(self, book: GearBook, second: Candidate) -> tuple[QuestionRig, Met]:
        """The show of the question into one socket, with its conditions met."""
        first, asked = self.first[0], self.question
        rests = self.texts[0].rest, self.texts[1].rest
        met = meet(book, (first, second), self.conditions, rests)
        _refuse_an_unknown_cable(book, asked, met)
        names = {"from": first.type_id, "to": second.type_id}
        names["to"] += "-2" if second.type_id == first.type_id else ""
        switched = {
            f"{names[side]}.{address}": value
            for side, settings in met.settings.items()
            for address, value in settings.items()
        }
        _unsay_what_is_set_otherwise(met, names, asked)
        asked = replace(
            asked,
            cable=met.cable if not met.boxes else None,
            length_m=met.length_m,
            at=met.level,
            settings={**switched, **asked.settings},
        )
        rig = build_question_rig(book, asked, first, second)
        if self.source is not None:
            rig = _sounding(book, rig, self.source)
        rig = with_more(book, rig, met, (first, second))
        _unsay_a_side_that_is_out(met, rig)
        return rig, met


def _unsay_a_side_that_is_out(met: Met, rig: QuestionRig) -> None:
    """Both sides were asked for, and no lead takes the right one along."""
    plugged = {end for link in rig.show.links for end in link.ends.values()}
    if met.both_sides and right_of(rig.from_) not in plugged:
        for each in [each for each in met.applied if each.kind == "sides"]:
            met.applied.remove(each)
            met.unused.append(Unused(each.words, "no lead takes both into that socket; left alone"))


def _unsay_what_is_set_otherwise(met: Met, names: Mapping[str, str], question: Question) -> None:
    """Words about a control that is set beside the words change nothing."""
    for each in list(met.applied):
        if any(f"{names[side]}.{address}" in question.settings for side, address in each.sets):
            met.applied.remove(each)
            met.unused.append(Unused(each.words, "that control is set beside the words"))


def _refuse_an_unknown_cable(book: GearBook, question: Question, met: Met) -> None:
    """Who asks for a cable by its name, beside the words, means that one."""
    if question.cable and question.cable in {each.words for each in met.unused}:
        raise AskError(
            f"no lead, and no box with one way in and out, goes by '{question.cable[:_MOST_TOLD]}'",
            where="cable",
            expected="a lead that joins two sockets, or a box such as a multicore",
            remedy=" ".join(
                part
                for part in (
                    did_you_mean(question.cable, book.of_kind("cable", "adaptor")),
                    "List them with: levelhead gear --kind cable. Or leave it out.",
                )
                if part
            ),
        )


def _sounding(book: GearBook, rig: QuestionRig, source: Candidate) -> QuestionRig:
    """Another sound in front of the microphone."""
    sources = {
        name: Source(
            name,
            source.type_id,
            each.at,
            usual_distance_m(book, rig.show.items[each.at].type, source.type_id),
            source.label,
        )
        for name, each in rig.show.sources.items()
    }
    return replace(rig, show=replace(rig.show, sources=sources))


def read_question(book: GearBook, question: Question) -> Asked:
    """Understand a question.

    What takes may have been typed before what gives: then it is read the other way round.

    Raises
    ------
    AskError
        A text fits no gear.
    """
    from_text, from_slips = respelt(book, without_channel_numbers(question.from_text))
    to_text, to_slips = respelt(book, without_channel_numbers(question.to_text))
    slips = tuple(dict.fromkeys((*from_slips, *to_slips)))
    question = replace(question, from_text=from_text, to_text=to_text)
    try:
        return replace(_read(book, question), slips=slips)
    except AskError:
        if question.from_address or question.to_address:
            raise
        reads = read_text(question.from_text), read_text(question.to_text)
        if not (names_an_output(book, reads[1]) or only_takes(book, *reads)):
            raise
    return replace(_turned(book, question), slips=slips)


def _turned(book: GearBook, question: Question) -> Asked:
    """The question read the other way round."""
    turned = replace(question, from_text=question.to_text, to_text=question.from_text)
    return replace(_read(book, turned), is_turned=True)


def _read(book: GearBook, question: Question) -> Asked:
    """A question as it was typed, unless its second text gives and its first takes."""
    reads = read_text(question.from_text), read_text(question.to_text)
    conditions = (
        *_given(question),
        *(("from", each) for each in reads[0].conditions),
        *(("to", each) for each in reads[1].conditions),
    )
    own = [each for each in reads[0].conditions if each.kind == "ohm"]
    is_numbered = any(is_number(word) for word, _ in words_in_turn(reads[0].rest))  # 100 V line
    other = () if is_numbered else reads[1].conditions
    ohms = own or [each for each in other if each.kind == "ohm"]
    takes = matched(book, reads[1].rest, "to", reads[1].conditions)
    first, source = _first(book, (question.from_text, *reads), ohms, takes)
    second = _picked(book, question.to_text, "to", (reads[1], takes))
    if source is None and is_backwards(book, question, reads, (first[0], second[0])):
        return _turned(book, question)
    first, second = paired(book, first, second)
    first, second = _chosen(first, question.from_address), _chosen(second, question.to_address)
    return Asked(question, reads, conditions, first, second, source)


def _chosen(found: tuple[Candidate, ...], address: str | None) -> tuple[Candidate, ...]:
    """The gear that was chosen in front; its other sockets stay behind it as they were."""
    type_id = "" if address is None else address.partition(".")[0]
    return tuple(sorted(found, key=lambda each: each.type_id != type_id)) if type_id else found


def _given(question: Question) -> list[tuple[str, Condition]]:
    """What was said beside the two texts; it is met first."""
    found: list[tuple[str, Condition]] = []
    if question.cable is not None:
        found.append(("to", Condition("cable", question.cable, text=question.cable)))
    if question.length_m is not None:
        words = f"{question.length_m:g} m"
        found.append(("to", Condition("length", words, question.length_m)))
    if question.at is not None:
        found.append(("from", Condition("level", question.at, text=question.at)))
    return found


def _first(
    book: GearBook,
    typed: tuple[str, Read, Read],
    ohms: Sequence[Condition],
    takes: Sequence[Candidate],
) -> tuple[tuple[Candidate, ...], Candidate | None]:
    """Gear that gives, or a microphone for a sound that was named, with that sound.

    What goes into a jack with nothing else beside it has a pickup, where the book has one.
    """
    text, read, into = typed
    sources = find_sources(book, read.rest)
    gear = matched(book, read.rest, "from", read.conditions)
    best = gear[0].score if gear else 0.0
    has_pickup = bool(gear) and not gear[0].unmet and takes_only_a_jack(book, takes)
    is_cabinet = bool(sources) and book.entry(sources[0].type_id).kind == "instrument"
    ahead = -_CLEARLY if is_cabinet and is_miked(book, gear, into) else _CLEARLY
    if sources and sources[0].score > best + ahead and not has_pickup:
        feeds = any(each.kind == "phantom" and each.text == "on" for each in into.conditions)
        feeds |= any(each.kind == "phantom" and each.text == "on" for each in read.conditions)
        heard = microphones_for(book, sources[0], is_fed=feeds)
        if heard:
            return heard, sources[0]
    return _with_tap(book, read, _picked(book, text, "from", (read, gear)), ohms), None


def _with_tap(
    book: GearBook, read: Read, found: tuple[Candidate, ...], ohms: Sequence[Condition]
) -> tuple[Candidate, ...]:
    """The tap of the ohms that were named in front, where the gear has one."""
    is_own = {each.words for each in ohms} <= {each.words for each in read.conditions}

    def is_other(each: Candidate) -> bool:
        block, port = block_of(each.plan(book), each.port)
        is_alike = each.score > found[0].score - (_NEAR_A_TAP if is_own else ALIKE)
        return not (is_alike and fitness(book, each.plan(book), block, port, ohms))

    return tuple(sorted(found, key=is_other)) if ohms else found


def _picked(
    book: GearBook, text: str, side: Side, meant: tuple[Read, Sequence[Candidate]]
) -> tuple[Candidate, ...]:
    """Of what a text may mean, as it was read and matched, the best first, what fits as well."""
    read, found = meant
    if not found or found[0].unmet or _is_called_otherwise(book, read.rest, found[0].type_id):
        _refuse_the_wrong_way(book, text, side, found[0] if found else None)
    if not found and says_only_a_plug(read.rest):
        raise AskError(
            f"'{text[:_MOST_TOLD]}' says only which plug it has",
            where="ask",
            expected="the gear it comes from or goes to",
            remedy="Name that, and the lead behind it: laptop with an aux lead; radio mic.",
        )
    if not found:
        raise AskError(
            f"nothing in the gear book fits '{text[:_MOST_TOLD]}'",
            where="ask",
            expected="gear and, if it has several, which socket",
            remedy=f"{_nearest_words(book, text)}Look through it with: levelhead gear --search "
            "WORD",
        )
    best = found[0]
    return best, *(each for each in found[1:] if each.score > best.score - _CLOSE)


def _is_called_otherwise(book: GearBook, text: str, type_id: str) -> bool:
    """Whether just these words name other gear: ``laptop`` is not the laptop with a headset socket.

    >>> from levelhead.gear.book import load_book
    >>> _is_called_otherwise(load_book(), "laptop", "laptop-headset")
    True
    """
    words = text.casefold().strip()
    named = [each for each in book.ids if words in book.sketch(each).phrases]
    return bool(named) and type_id not in named


def _refuse_the_wrong_way(book: GearBook, text: str, side: Side, nearest: Candidate | None) -> None:
    """Gear that is known, but has nothing that gives, or nothing that takes.

    ``nearest`` is the best that goes this way; words that fit better the other way mean that.
    """
    other = find_candidates(book, text, "from" if side == "to" else "to")
    is_other = nearest is not None and _is_called_otherwise(book, text, nearest.type_id)
    margin = 0.0 if is_other else _CLOSE
    if other and other[0].score > (nearest.score if nearest else 0.0) + margin:
        label = other[0].label.rpartition(":")[0]
        missing, has = ("input", "output") if side == "to" else ("output", "input")
        raise AskError(
            f"'{text[:_MOST_TOLD]}' has no {missing}: {label}",
            where="ask",
            expected=f"gear with an {missing}",
            remedy=f"{_called_nearly(nearest)}Its sockets: levelhead gear {other[0].type_id}. "
            f"If an {has} was meant, ask the other way round.",
        )


def _called_nearly(nearest: Candidate | None) -> str:
    """Gear that goes by the words as well, and has what was asked for."""
    if nearest is None or nearest.unmet:
        return ""
    return f"With one: {nearest.label} ({nearest.address}). "


def _nearest_words(book: GearBook, text: str) -> str:
    """What a text that fits nothing may mean."""
    near = [f"{book.entry(each).label} ({each})" for each in nearest_types(book, text)]
    return f"The nearest: {'; '.join(near)}. " if near else ""
