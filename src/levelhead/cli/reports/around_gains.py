"""What stands around a gain plan: order of sound check, limiters, readings typed back.

``levelhead gains SHOW --order``, ``--limiters``, ``--seen "desk.ch3.preamp: -9 dBFS peak"``.
"""

from __future__ import annotations

import json
from argparse import Namespace
from collections.abc import Iterator, Sequence
from typing import Any, Final

from levelhead.cli.reports.columns import entry, number, paragraph
from levelhead.exchange.paperwork.work import Paperwork
from levelhead.exchange.seen_words import file_lines, seen_words
from levelhead.exchange.sound_check import SoundCheck, sound_check
from levelhead.planning.check import Check
from levelhead.planning.gains.planned.plan import GainPlan
from levelhead.planning.limiters.settings import Limit, LimiterSetting
from levelhead.planning.limiters.thresholds import LIMITER_CAUTION, limiter_settings
from levelhead.planning.seen import SeenAnswer, answer_seen
from levelhead.planning.trial import Trial
from levelhead.show.model import Show
from levelhead.verdicts.people.words import EXPOSURE_CAUTION

__all__ = ["around_plan", "is_asked"]

_STEP: Final = 8  # box and number before a step
_SIGN: Final = 6


def is_asked(arguments: Namespace) -> bool:
    """Whether something around the plan is asked for, in place of the plan itself."""
    return bool(arguments.order or arguments.limiters or arguments.seen)


def around_plan(trial: Trial, plan: GainPlan, arguments: Namespace) -> str:
    """What is asked for, as text or JSON, for a show with its plan in place.

    Readings are those of the show as it is set; what is to be turned leads to the plan's marks.
    """
    planned = trial.after(plan.edits) if plan.edits else trial
    planned = planned or trial
    parts: dict[str, Any] = {}
    lines: list[str] = []
    if arguments.seen:
        answer = answer_seen(trial, arguments.seen, plan.meters)
        parts["seen"] = answer.to_json()
        lines += [*_seen_lines(answer), ""]
    if arguments.limiters:
        found = limiter_settings(planned.reading)
        parts["limiters"] = [each.to_json() for each in found]
        lines += [*_limiter_lines(found), ""]
    if arguments.order:
        order = sound_check(_work(planned), plan.meters, plan.positions)
        parts["order"] = order.to_json()
        lines += [*_order_lines(order), ""]
    if arguments.json:
        return json.dumps(parts, indent=2, ensure_ascii=False)
    return "\n".join([_title(trial.show, arguments), "", *lines]).rstrip()


def _work(trial: Trial) -> Paperwork:
    judged = trial.judgement
    return Paperwork(Check(judged.verdict, judged.findings, (), trial))


def _title(show: Show, arguments: Namespace) -> str:
    asked = [
        ("what the meters say", bool(arguments.seen)),
        ("limiters", bool(arguments.limiters)),
        ("order of sound check", bool(arguments.order)),
    ]
    return f"{show.name}: {', '.join(words for words, is_there in asked if is_there)}"


# ---------------------------------------------------------------- order of sound check


def _order_lines(order: SoundCheck) -> Iterator[str]:
    """Parts with numbered steps, each with a box to tick; a caution where it first holds."""
    cautioned: set[str] = set()
    for heading, steps in order.by_part():
        yield heading
        for step_number, step in steps:
            yield from paragraph(step.do, first=f"[ ] {step_number:>2}  ", rest=" " * _STEP)
            if step.meter:
                right = f" (right from {step.between})" if step.between else ""
                yield from paragraph(
                    f"Meter reads {step.meter}{right}.", first=" " * _STEP, rest=" " * _STEP
                )
            if step.caution and step.caution not in cautioned:
                cautioned.add(step.caution)
                yield from paragraph(f"! {step.caution}", first=" " * _SIGN, rest=" " * _STEP)
        yield ""


# ---------------------------------------------------------------- limiters


def _limiter_lines(found: Sequence[LimiterSetting]) -> Iterator[str]:
    """One amplifier channel or powered loudspeaker after another."""
    if not found:
        yield "Nothing in this show drives a loudspeaker."
        return
    yield from paragraph(
        "Thresholds as the level of a sine at the output that feeds the amplifier, its level "
        "control as planned; volts at the loudspeaker."
    )
    for each in found:
        yield ""
        names = "" if each.is_powered else f" > {', '.join(each.loudspeakers)}"
        yield from paragraph(f"{each.label}{names}", rest="  ")
        yield from _threshold_lines(each)
    yield ""
    cautions = dict.fromkeys([LIMITER_CAUTION, *(each.caution for each in found if each.caution)])
    for caution in (*cautions, EXPOSURE_CAUTION):
        yield from entry("CAUTION", caution)


def _threshold_lines(each: LimiterSetting) -> Iterator[str]:
    at = f" at {each.at_label}" if each.at is not None else ""
    if each.rms is not None:
        yield from paragraph(_limit_words("rms", each.rms, at), first="  ", rest=" " * 8)
    yield from paragraph(_limit_words("peak", each.peak, at), first="  ", rest=" " * 8)
    times = each.rms_times
    low = f"{each.lowest_hz:.0f} Hz"
    yield from paragraph(
        f"attack {times.attack_s * 1e3:.3g} ms, release {times.release_s * 1e3:.3g} ms, where they "
        f"can be set (it plays down to {low})",
        first="  ",
        rest=" " * 8,
    )
    if each.control is not None:
        turn = f": set it to {each.edits[0].value}" if each.edits else ": stands right"
        yield from paragraph(f"dial {each.control} now {each.now}{turn}", first="  ", rest=" " * 8)
    for note in each.notes:
        yield from paragraph(note, first="  ", rest="  ")


def _limit_words(name: str, limit: Limit, at: str) -> str:
    dbu = "" if limit.dbu is None else f"{number(limit.dbu)} dBu{at}, "
    return f"{name:<5} {dbu}{limit.volts:.1f} V: {limit.why}"


# ---------------------------------------------------------------- readings typed back


def _seen_lines(answer: SeenAnswer) -> Iterator[str]:
    for one in answer.readings:
        words = seen_words(one)
        yield from paragraph(words.head)
        for sentence in words.sentences:
            yield from paragraph(sentence, first="  ", rest="  ")
        for move in words.moves:
            yield from paragraph(f"- {move}", first="  ", rest="    ")
        yield ""
    if answer.facts:
        yield "In the show file:"
        for line in file_lines(answer):
            yield from paragraph(line, first="  ", rest="    ")
