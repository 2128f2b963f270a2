"""``levelhead walk SHOW CHANNEL``: what each place should read, and what may be wrong there."""

from __future__ import annotations

import json
import shlex
from argparse import Namespace
from collections.abc import Iterator, Sequence
from typing import Final

from levelhead.cli.reports.columns import entry, paragraph
from levelhead.exchange.paperwork.work import Paperwork
from levelhead.exchange.walk import (
    SYMPTOMS,
    Candidate,
    Narrowed,
    Stop,
    Walk,
    answers_of,
    channel_meant,
    narrowed,
    walked,
)
from levelhead.planning.check import Check
from levelhead.planning.trial import Trial
from levelhead.verdicts.told.severity import Severity

__all__ = ["print_walk"]

_REST: Final = " " * 4
_VERDICTS: Final = frozenset(each.value for each in Severity)


def print_walk(trial: Trial, arguments: Namespace) -> str:
    """The walk, or what the answers given so far say of it."""
    judged = trial.judgement
    work = Paperwork(Check(judged.verdict, judged.findings, (), trial))
    port = channel_meant(work, arguments.channel)
    walk, ground = walked(work, port, arguments.symptom, arguments.to)
    answers = answers_of(arguments.seen, walk)
    found = narrowed(walk, ground, answers) if answers else None
    if arguments.json:
        content = walk.to_json() | {"narrowed": None if found is None else found.to_json()}
        return json.dumps(content, indent=2, ensure_ascii=False)
    return "\n".join([*_head(walk), *_body(walk, found), *_next(arguments, walk, found)])


def _head(walk: Walk) -> Iterator[str]:
    yield from paragraph(f"{walk.who}, {walk.place}: {SYMPTOMS[walk.symptom]}")
    yield from paragraph(f"From the source to {walk.end}, with this channel alone.")
    for each in walk.said:
        is_verdict = each.partition(":")[0] in _VERDICTS
        yield from paragraph(f"The show says: {each}" if is_verdict else each, rest="  ")
    yield ""
    for each in walk.cautions:
        yield from entry("CAUTION", each)


def _body(walk: Walk, found: Narrowed | None) -> Iterator[str]:
    if found is None:
        told: set[str] = set(walk.cautions)
        for stop in walk.stops:
            yield from _stop_lines(stop, told)
        return
    yield ""
    for each in found.says:
        yield from paragraph(each)
    if found.suspects:
        yield ""
        yield "What may be wrong there, in this order"
    for number, suspect in enumerate(found.suspects, start=1):
        mark = {True: "fits", False: "not", None: ""}[suspect.fits]
        yield from paragraph(suspect.words, first=f"{number:>3} {mark:<5}", rest=" " * 9)
    onward = next((stop for stop in walk.stops if stop.number == found.next), None)
    if onward is not None:
        yield ""
        yield "Look next" if found.bad else "Go on with"
        yield from _stop_lines(onward, set(walk.cautions))


def _stop_lines(stop: Stop, told: set[str]) -> Iterator[str]:
    """One stop; a caution that was told already is not told again."""
    yield ""
    yield from paragraph(stop.title, first=f"{stop.number:>2}  ", rest=_REST)
    if stop.caution and stop.caution not in told:
        told.add(stop.caution)
        yield from paragraph(f"! {stop.caution}", first="  ", rest=_REST)
    yield from paragraph(stop.do, first=_REST, rest=_REST)
    yield from paragraph(f"Expected: {stop.sees}", first=_REST, rest=_REST)
    if stop.candidates:
        yield from _or_else(stop.candidates)


def _or_else(candidates: Sequence[Candidate]) -> Iterator[str]:
    yield f"{_REST}If not:"
    for each in candidates:
        yield from paragraph(each.what, first=f"{_REST}- ", rest=f"{_REST}  ")


def _next(arguments: Namespace, walk: Walk, found: Narrowed | None) -> Iterator[str]:
    yield ""
    if found is not None and found.next is None:
        return
    metered = (stop.number for stop in walk.stops if any(e.how == "meter" for e in stop.expected))
    example = next(metered, 1) if found is None else found.next
    yield "Tell what you see, as often as you like: right, wrong, or what the meter reads"
    asked = ["levelhead walk", arguments.show, shlex.quote(arguments.channel)]
    asked += ["--symptom", walk.symptom, *(["--to", arguments.to] if arguments.to else [])]
    seen = [f"--seen {shlex.quote(each)}" for each in (*arguments.seen, f"{example}=-40")]
    yield from paragraph(" ".join([*asked, *seen]), first="  ", rest="      ")
