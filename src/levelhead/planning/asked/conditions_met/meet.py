"""Each condition of a question met at one of its ends, or said to be unused."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final, TypeAlias

from levelhead.gear.book import GearBook
from levelhead.gear.plan import ControlPlan
from levelhead.planning.asked.conditions_met import controls, figures, leads
from levelhead.planning.asked.conditions_met.ends import End, Meeting, end_of
from levelhead.planning.asked.conditions_met.outcome import Applied, Met, Unused
from levelhead.planning.typed.candidates import Candidate
from levelhead.planning.typed.conditions import Condition, Kind
from levelhead.planning.typed.words import tokens

__all__ = ["meet"]

_FIGURES: Final = frozenset({"ohm", "watt"})
_OTHER: Final = {"from": "to", "to": "from"}

_Meet: TypeAlias = Callable[[Meeting, End, Condition], str | None]
"""Meets a condition at an end and says what was done; ``None`` where nothing there takes it."""


@dataclass(frozen=True, slots=True)
class _Way:
    """What is done for a kind of condition, why it may not be, and in which turn."""

    meet: _Meet
    why_not: str
    turn: int = 0


_WAYS: Final[Mapping[Kind, _Way]] = {
    "phantom": _Way(controls.switched, "neither {start} nor {end} has a switch for phantom power"),
    "pad": _Way(controls.switched, "neither {start} nor {end} has a pad"),
    "volume": _Way(controls.turned, "no knob or fader lies on the way to or from that socket"),
    "gain": _Way(controls.turned, "no gain lies behind that socket"),
    "ohm": _Way(figures.ohms, "no loudspeaker or tap here takes that figure"),
    "watt": _Way(  # counts into the ohms that were named
        figures.watts, "no amplifier or loudspeaker here takes that figure", turn=1
    ),
    "level": _Way(figures.level_plugged_in, "a level is said of what is plugged in, once"),
    "through": _Way(
        leads.box_between, "no box with one way in and one way out goes by these words", turn=2
    ),
    "cable": _Way(  # a box between the ends has the lead
        leads.lead, "no lead and no box of the gear book goes by these words", turn=3
    ),
    "length": _Way(  # ... and the lead its length
        leads.lead_length,
        "the length of a lead is said once; what a box has of its own stays",
        turn=4,
    ),
    "count": _Way(
        leads.side_by_side, "only loudspeakers with a parallel or link socket are counted here"
    ),
    "series": _Way(
        figures.in_series, "only loudspeakers whose number is told are wired in series here", turn=2
    ),
    "parallel": _Way(
        leads.in_parallel, "only loudspeakers whose number is told are side by side here", turn=2
    ),
    "sides": _Way(leads.both_sides, "{start} has no left and right"),
}


def meet(
    book: GearBook,
    ends: tuple[Candidate, Candidate],
    conditions: Sequence[tuple[str, Condition]],
    rests: tuple[str, str] = ("", ""),
) -> Met:
    """Settle each condition, typed at the ``from`` or the ``to`` side, for these two sockets.

    ``rests`` are the texts without conditions: words among them may name positions of switches.
    """
    sides = zip(("from", "to"), ends, strict=True)
    meeting = Meeting(book, {side: end_of(book, side, each) for side, each in sides}, Met())
    own = {(side, condition.kind) for side, condition in conditions if condition.kind in _FIGURES}
    for side, condition in sorted(conditions, key=lambda each: _WAYS[each[1].kind].turn):
        _settle(meeting, side, condition, own)
    for end, rest in zip(meeting.ends.values(), rests, strict=True):
        meeting.met.applied.extend(_spoken(meeting, end, tokens(rest)))
    return meeting.met


def _settle(
    meeting: Meeting, side: str, condition: Condition, own: Collection[tuple[str, str]]
) -> None:
    """Meet it here, else there, else say that it is not used.

    A figure is not met there where another one of its kind was said of what is there.
    """
    way, before = _WAYS[condition.kind], meeting.controls_set
    other = _OTHER[side]
    for each in (side,) if (other, condition.kind) in own else (side, other):
        does = way.meet(meeting, meeting.ends[each], condition)
        if does is not None:
            moved = meeting.controls_set - before
            meeting.met.applied.append(Applied(condition.words, does, moved, condition.kind))
            return
    names = {"start": meeting.ends["from"].name, "end": meeting.ends["to"].name}
    meeting.met.unused.append(Unused(condition.words, way.why_not.format(**names)))


def _spoken(meeting: Meeting, end: End, typed: frozenset[str]) -> Iterator[Applied]:
    """Positions of switches that the words for the gear named themselves."""
    for address, option in end.candidate.settings.items():
        control = _control_at(end, address)
        if address in meeting.met.settings[end.side] or control is None:
            continue
        phrases = [each for each in control.words.get(option, ()) if tokens(each) <= typed]
        said = max(phrases, key=lambda each: len(tokens(each)), default=option)
        name = control.label or address.rpartition(".")[2]
        yield Applied(said, f"{name} of {end.name} at {option}", frozenset({(end.side, address)}))


def _control_at(end: End, address: str) -> ControlPlan | None:
    """The control of an address below the item."""
    name = address.rpartition(".")[2]
    for block in end.plan.blocks:
        if block.address(name) == address:
            return block.plan.controls.get(name)
    return None
