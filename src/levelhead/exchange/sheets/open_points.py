"""What is open: findings that somebody acts on, and questions that only the venue can answer."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from levelhead.exchange.paperwork.crew_words import crew_words, place_words
from levelhead.exchange.paperwork.work import Paperwork
from levelhead.exchange.sheet.plan import SheetPlan
from levelhead.exchange.sheet.values import Column
from levelhead.verdicts.told.folding import Folded, folded

__all__ = ["OPEN_FINDINGS", "VENUE_QUESTIONS"]

FINDING_COLUMNS: Final = (
    Column("what", "What", 6.0),
    Column("do", "What to do", 5.0),
    Column("where", "Where", 3.0),
    Column("severity", "Verdict", 1.0, is_verdict=True),
)
QUESTION_COLUMNS: Final = (
    Column("question", "Question", 4.5),
    Column("why", "Because", 4.5),
    Column("answer", "Answer", 4.0),
    Column("part", "Part", 1.0),
)
_SOUND: Final = "Sound: who knows the gear of the house, its manuals, or a meter"
_POWER: Final = "Mains: who looks after the house; work on it is an electrician's"
_MOST_PLACES: Final = 4


def _findings(work: Paperwork) -> Iterator[dict[str, str]]:
    for branch in work.check.depends_on:
        yield {
            "severity": "depends",
            "what": f"{branch.says}.",
            "do": crew_words(work, f"{branch.ask} Until then: {branch.best}."),
            "where": place_words(work, branch.input),
        }
    for each in folded(work.check.shown(include_fine=False), work.check.trial.show.types):
        yield _finding(work, each)


def _finding(work: Paperwork, each: Folded) -> dict[str, str]:
    finding = each.finding
    more = f" ({len(each.others) + 1} alike)" if each.others else ""
    remedy = finding.remedies[0] if finding.remedies else None
    do = finding.settle_by or ""
    if remedy is not None:
        do = f"{crew_words(work, remedy.do)}: then {remedy.verdict_after.value}."
    told = list(dict.fromkeys(place_words(work, place) for place in each.places))
    rest = len(told) - _MOST_PLACES
    places = [*told[:_MOST_PLACES], *([f"{rest} more"] if rest > 0 else [])]
    return {
        "severity": finding.severity.value,
        "what": f"{finding.what}{more}",
        "do": do,
        "where": "; ".join(places),
    }


def _questions(work: Paperwork) -> Iterator[dict[str, str]]:
    told: set[str] = set()
    for branch in work.check.depends_on:
        told.add(branch.ask)
        yield {"part": _SOUND, "question": branch.ask, "why": f"{branch.says}."}
    for each in folded(work.check.shown(include_fine=False)):
        ask = each.finding.settle_by
        state = each.finding.state
        doubts = () if state is None else state.doubts
        is_chance = not doubts or doubts[0].kind == "chance"  # only a sound check tells
        if ask is not None and ask not in told and not is_chance:
            told.add(ask)
            yield {"part": _SOUND, "question": ask, "why": each.finding.what}
    yield from _power_questions(work)


def _power_questions(work: Paperwork) -> Iterator[dict[str, str]]:
    show = work.rig.show
    lost = [
        work.called(item)
        for item in work.rig.items.values()
        if item.plan.is_on_mains and item.supply is None
    ]
    if lost:
        yield {
            "part": _POWER,
            "question": "Which outlet, and on which circuit, is there for each of these?",
            "why": f"No supply is known of {len(lost)}: {', '.join(lost)}.",
        }
    for supply in show.supplies.values():
        name = supply.label or supply.outlet
        if supply.circuit is None:
            why = "Hum and load hang on which circuits are shared."
            yield {"part": _POWER, "question": f"Outlet “{name}”: on which breaker?", "why": why}
        if supply.rcd is None:
            yield {
                "part": _POWER,
                "question": f"Outlet “{name}”: is there a residual-current device, of how many mA?",
                "why": "People are safer with one; leakage of all gear on it adds up.",
            }


OPEN_FINDINGS: Final = SheetPlan(
    name="open-findings",
    title="Open findings",
    about="what can hurt, fails or wants care, with what was tried and helped",
    columns=FINDING_COLUMNS,
    rows=_findings,
    note=lambda _: (
        "Worst first. What to do was tried on a copy of the show; “then” is the verdict that is "
        "left at the sockets concerned."
    ),
    nothing="Nothing is open: go on with the start-up.",
    group_by="severity",
    has_ticks=True,
    is_wide=True,
    has_trials=True,
    cautions=lambda work: work.cautions,
)
VENUE_QUESTIONS: Final = SheetPlan(
    name="venue-questions",
    title="Questions for the venue",
    about="what nobody knows yet and a verdict or the mains hang on",
    columns=QUESTION_COLUMNS,
    rows=_questions,
    nothing="No question is open.",
    group_by="part",
    is_wide=True,
    has_trials=True,
)
