"""A meter's reading typed back, in sentences: what it says, what to turn, what moves with it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from levelhead.planning.seen.answer import SeenAnswer, SeenOne
from levelhead.show.edits import ChangeSource, SetFigure

__all__ = ["SeenWords", "file_lines", "seen_words"]


@dataclass(frozen=True, slots=True)
class SeenWords:
    """One reading: what was seen, sentences on it, and what moves when the gain is turned."""

    head: str
    sentences: tuple[str, ...]
    moves: tuple[str, ...]


def seen_words(one: SeenOne) -> SeenWords:
    """One reading in words."""
    fact = one.fact
    head = (
        f"{one.seen.at}: {_level(one.seen.level_db)} {one.unit} seen ({one.seen.detector}), "
        f"{_level(fact.predicted_db)} expected."
    )
    return SeenWords(head, tuple(_sentences(one)), tuple(_moves(one)))


def _sentences(one: SeenOne) -> Iterator[str]:
    """What one reading says, and how far to turn what."""
    fact, turn = one.fact, one.turn
    louder = "louder" if fact.off_db >= 0 else "softer"
    if fact.others:
        yield "Others are heard at this meter too: read it again with this source alone."
        return
    if fact.clips:
        yield (
            f"It clips there: {fact.label} is at least so loud, how much more no meter tells. Turn "
            "it down before this point until peaks stay some 6 dB under, and read again."
        )
        return
    if fact.is_doubted:
        yield from _doubted(one, louder)
        return
    known = f": {fact.now} instead of {fact.was}" if fact.now else ""
    yield f"{fact.label} is {abs(fact.off_db):.1f} dB {louder} than was taken{known}."
    if turn is not None:
        way = "up" if turn.by_db > 0 else "down"
        yield (
            f"Turn the {turn.label} {abs(turn.by_db):.1f} dB {way}, from {turn.now} "
            f"({turn.hand_now}) to {turn.to} ({turn.hand_to}). The meter then reads "
            f"{_level(one.seen.level_db + turn.by_db)} {one.unit}."
        )
    if one.left_db:
        what = "too loud" if one.left_db < 0 else "too soft"
        yield (
            f"{abs(one.left_db):.1f} dB {what} is left that no free gain takes: a pad, another "
            "input, the source's own level or its distance."
        )
    if turn is None and not one.left_db:
        yield "The meter is right: nothing is to be turned."


def _doubted(one: SeenOne, louder: str) -> Iterator[str]:
    """A reading that no such source gives: where to look, and what to do if it holds."""
    fact = one.fact
    most_db = fact.range_db[0 if fact.off_db < 0 else 1]
    yield (
        f"{fact.label} would be {abs(fact.off_db):.1f} dB {louder} than was taken; such a source "
        f"is rarely more than {most_db:.0f} dB {louder}. Nothing is turned for that: look first "
        f"whether {_suspects(one)}."
    )
    if fact.off_db < 0:
        place = one.seen.at.rpartition(".")[0]
        yield f"Stop by stop: levelhead walk SHOW {place} --symptom thin"
    yield (
        "If all that is right, the source itself is far from its type: write its level into the "
        "show, and read again."
    )


def _suspects(one: SeenOne) -> str:
    """What the way to a meter may hide; more when it is too soft."""
    if one.fact.off_db > 0:
        return "a gain stands higher than the show says, a pad is out, or something else plays"
    return (
        "a lead or its plug is bad, a pad is in, phantom power is missing, or a gain or volume "
        "stands lower than the show says"
    )


def _moves(one: SeenOne) -> Iterator[str]:
    """Where it gets louder or softer with that, by the control that would bring it back."""
    by: dict[tuple[bool, str | None, str], list[str]] = {}
    for move in one.moves:
        key = (move.is_before_fader, move.by, move.by_label)
        by.setdefault(key, []).append(move.label)
    for (before, control, label), ends in by.items():
        by_db = one.moves[0].by_db
        more, back = ("more", "down") if by_db > 0 else ("less", "up")
        how = "before the fader" if before else "behind the fader"
        keep = f"; to keep it, {label} {back} by as much" if control else ""
        yield f"{', '.join(ends)}: {abs(by_db):.1f} dB {more} of it ({how}){keep}"


def file_lines(answer: SeenAnswer) -> Iterator[str]:
    """The facts as a show file has them."""
    for edit in answer.facts:
        if isinstance(edit, ChangeSource):
            yield f"sources: {edit.source.id}: level: {edit.source.level}"
        elif isinstance(edit, SetFigure):
            yield f"items: {edit.item}: figures: {edit.figure}: {edit.value}"


def _level(value: float) -> str:
    rounded = round(value, 1) + 0.0
    return f"{rounded:+.1f}" if rounded else "0.0"
