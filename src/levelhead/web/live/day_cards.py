"""Cards of the line check and of the sound check, and what a reading says: tasks of the worker."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from levelhead.exchange.paperwork.work import Paperwork
from levelhead.exchange.seen_words import seen_words
from levelhead.exchange.sheets.line_check import Line, lines
from levelhead.exchange.sound_check import PARTS, SoundCheck, sound_check
from levelhead.exchange.tick_keys import step_content, step_keys
from levelhead.planning.check import Check
from levelhead.planning.seen import answer_seen
from levelhead.planning.trial import Trial
from levelhead.show.edit_json import edit_to_json
from levelhead.verdicts.told.severity import Severity
from levelhead.web.live.looks import Look
from levelhead.web.live.worker import trial_of
from levelhead.web.views.pressed import in_the_app

__all__ = ["line_cards", "said_by_reading", "sound_check_cards"]

Json = dict[str, Any]
_WORKS: Final[dict[str, Paperwork]] = {}  # of this worker alone: the last of each show


def _work(key: str) -> Paperwork:
    """The newest state as sheets read it, with its gain plan once that was made."""
    trial: Trial = trial_of(key)
    known = _WORKS.get(key)
    if known is None or known.check.trial is not trial:
        judged = trial.judgement
        known = Paperwork(Check(judged.verdict, judged.findings, (), trial))
        _WORKS[key] = known
    return known


def line_cards(look: Look) -> Json:
    """Cards of the line check, in the order of the panel; nothing is judged for them."""
    trial = Trial(look.solution.rig.show, look.book, look.solution)
    work = Paperwork(Check(Severity.FINE, (), (), trial))
    return {"list": "line-check", "cards": [_line_card(each) for each in lines(work)]}


def sound_check_cards(key: str) -> Json:
    """Cards of the sound check, in the order in which it is done."""
    work = _work(key)
    plan = work.gain_plan
    order = sound_check(work.planned, plan.meters, plan.positions)
    return {"list": "sound-check", "cards": list(_check_cards(work, order))}


def _line_card(line: Line) -> Json:
    phantom = {"on": "48 V on", "needed": "48 V needed, and off", "(on)": "48 V on, not needed"}
    gain = f"Gain {line.gain} dB ({line.knob})" if line.gain else ""
    return {
        "key": line.key,
        "part": line.mixer,
        "title": line.source,
        "place": f"{line.mixer}, {line.input}",
        "lines": [
            *line.patch,
            *(each for each in (phantom.get(line.phantom, ""), gain) if each),
        ],
        "meter": line.meter,
        "between": "",
        "metered": line.metered,
        "unit": line.unit,
        "caution": None,
        "walk": line.port.address,
        "content": line.content,
    }


def _check_cards(work: Paperwork, order: SoundCheck) -> Iterator[Json]:
    metered = {line.port.address: line for line in lines(work)}
    keyed = zip(order.steps, step_keys(work, order), strict=True)
    for number, (step, key) in enumerate(keyed, start=1):
        line = metered.get(step.at) if step.part == "sources" else None
        yield {
            "key": key,
            "part": PARTS[step.part],
            "title": line.source if line is not None else f"{number}. {PARTS[step.part]}",
            "place": "" if line is None else f"{line.mixer}, {line.input}",
            "lines": [step.do],
            "meter": step.meter,
            "between": step.between,
            "metered": "" if line is None else line.metered,
            "unit": "" if line is None else line.unit,
            "caution": step.caution,
            "walk": "" if line is None else step.at,
            "content": step_content(step),
        }


def said_by_reading(key: str, typed: str) -> Json:
    """What a meter's reading says, in words, and the edits that write it into the show.

    Raises
    ------
    AskError
        It is no reading, or nothing is expected at that meter.
    """
    work = _work(key)
    answer = answer_seen(work.check.trial, [typed], work.gain_plan.meters)
    words = [seen_words(each) for each in answer.readings]
    return {
        "says": [in_the_app(sentence) for each in words for sentence in each.sentences],
        "moves": [move for each in words for move in each.moves],
        "edits": [edit_to_json(each) for each in (*answer.facts, *answer.turns)],
    }
