"""One question: may this go into that, with what, how loud, and what would flip the answer?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from itertools import zip_longest
from typing import Any, Final

from levelhead.chain.levels import PointLevels
from levelhead.gear.book import GearBook
from levelhead.planning.asked.conditions_met import Applied, Met, Unused
from levelhead.planning.asked.little_rig import Question, QuestionRig
from levelhead.planning.asked.notes import notes_of
from levelhead.planning.asked.opened import opened
from levelhead.planning.asked.pointers import (
    CableAnswer,
    GainAnswer,
    cable_of,
    gain_at,
    levels_along,
)
from levelhead.planning.asked.reading import Asked, read_question
from levelhead.planning.remedy.offers import with_remedies
from levelhead.planning.settle import Branch, free_switches, settled
from levelhead.planning.trial import Trial, try_show
from levelhead.planning.typed.candidates import Candidate
from levelhead.planning.typed.words import tokens
from levelhead.planning.unknowns import unknown_branches, verdict_with_unknowns
from levelhead.quantity.formatting import format_level
from levelhead.show.addresses import item_of
from levelhead.verdicts.amplifiers.lines import CABLE
from levelhead.verdicts.enough.gain import TOO_LOW
from levelhead.verdicts.told.finding import Finding
from levelhead.verdicts.told.severity import Severity

__all__ = ["Answer", "Branch", "Question", "answer"]

_TOLD_FIRST: Final = (TOO_LOW, "phantom", "enough", "harm")  # of what is fine, codes or families
_PLAIN: Final = frozenset({"harm.level", CABLE})  # fine, and less worth telling than how loud it is
_MOST_OTHERS: Final = 4
_LINE_LEVEL: Final = frozenset({"player", "feed", "mixer", "processor"})  # kinds that give it


@dataclass(frozen=True, slots=True)
class Answer:
    """The answer to a question (fields as in docs/formats.md)."""

    question: Question
    from_address: str
    to_address: str
    from_label: str
    to_label: str
    verdict: Severity
    findings: tuple[Finding, ...]
    cable: CableAnswer | None
    gain: GainAnswer | None
    levels: tuple[PointLevels, ...]
    depends_on: tuple[Branch, ...]
    notes: tuple[str, ...]
    others: tuple[str, ...]
    conditions: tuple[Applied, ...]
    not_used: tuple[Unused, ...]
    trial: Trial

    @property
    def told(self) -> Finding | None:
        """The finding that ``why`` quotes; ``None`` when a switch decides."""
        if self.depends_on:
            return None
        if self.findings and self.findings[0].severity is not Severity.FINE:
            return self.findings[0]
        return min(self.findings, key=self._distance, default=None)

    def _distance(self, finding: Finding) -> tuple[bool, int]:
        """Of what is fine, that is told which says most of the input that was asked about."""
        names = (finding.code, finding.family)
        rank = next((n for n, each in enumerate(_TOLD_FIRST) if each in names), len(_TOLD_FIRST))
        return finding.where != self.to_address, rank

    @property
    def why(self) -> str:
        """The one sentence: what is worst, what decides, or where the gain goes if all is fine."""
        if self.depends_on:
            return f"Works with {_switches_words(self.depends_on)}. Else {self.depends_on[0].else_}"
        if self.told is None:
            return "Nothing stands against it."
        return self._aloud or self.told.what

    @property
    def _aloud(self) -> str | None:
        """How loud it plays, where it ends at a loudspeaker and nothing else is worth telling."""
        end = self.levels[-1] if self.levels else None
        is_plain = self.told is not None and self.told.code in _PLAIN
        if end is None or end.unit != "dB SPL" or self.verdict is not Severity.FINE or not is_plain:
            return None
        if end.nominal is None or end.headroom is None:
            return None
        item = self.trial.solution.rig.items[item_of(end.at)]
        place = "at the ear out" if item.plan.is_worn else "at 1 m"
        return (
            f"Nothing stands against it: {format_level(end.nominal, 'dB SPL')} {place} of "
            f"{item.label}, with peaks {format_level(end.headroom, 'dB')} under the most it can."
        )

    @property
    def cautions(self) -> tuple[str, ...]:
        """Cautions of all findings, each once."""
        found = (each.caution for each in self.findings)
        return tuple(dict.fromkeys(caution for caution in found if caution is not None))

    def to_json(self) -> dict[str, Any]:
        """As docs/formats.md prints it."""
        return {
            "from": {"address": self.from_address, "label": self.from_label},
            "to": {"address": self.to_address, "label": self.to_label},
            "verdict": self.verdict.value,
            "why": self.why,
            "depends_on": [branch.to_json() for branch in self.depends_on],
            "cable": None if self.cable is None else self.cable.to_json(),
            "gain": None if self.gain is None else self.gain.to_json(),
            "levels": [point.to_json() for point in self.levels],
            "findings": [finding.to_json() for finding in self.findings],
            "links": self.trial.judgement.links_to_json(),
            "cautions": list(self.cautions),
            "notes": list(self.notes),
            "others": list(self.others),
            "conditions": [each.to_json() for each in self.conditions],
            "not_used": [each.to_json() for each in self.not_used],
        }


def answer(question: Question, book: GearBook) -> Answer:
    """Answer a question.

    Switches that the question leaves open are free: where the usual position fails and another
    does not, that one is taken, and the answer says that it depends on it.

    Raises
    ------
    AskError
        A text fits no gear, or the level does not suit it.
    """
    asked = read_question(book, question)
    first, best = asked.first[0], asked.second[0]
    sockets = _suited(book, first, best, asked.second[1:])
    second, (rig, trial, depends_on, met) = _best_of(book, asked, sockets)
    best, rivals, first_others = asked.second[0], asked.second[1:], asked.first[1:]
    second_others = [each for each in (best, *rivals) if each is not second]
    chosen = frozenset(rig.show.settings)
    verdict = trial.judgement.verdict
    if depends_on and verdict is Severity.FINE:
        verdict = Severity.CARE
    unknown = unknown_branches(trial)
    verdict, depends_on = verdict_with_unknowns(verdict, unknown), (*depends_on, *unknown)
    return Answer(
        question=question,
        from_address=rig.from_,
        to_address=rig.to,
        from_label=first.label,
        to_label=second.label,
        verdict=verdict,
        findings=with_remedies(trial, trial.judgement.findings, partial(settled, chosen=chosen)),
        cable=cable_of(trial, rig),
        gain=gain_at(trial, rig),
        levels=levels_along(trial, rig),
        depends_on=depends_on,
        notes=tuple(notes_of(trial, rig)),
        others=_in_turn(first_others, second_others),
        conditions=(*asked.heard, *met.applied),
        not_used=(*asked.not_used(second), *met.unused),
        trial=trial,
    )


_Tried = tuple[QuestionRig, Trial, tuple[Branch, ...], Met]


def _best_of(
    book: GearBook, asked: Asked, sockets: Sequence[Candidate]
) -> tuple[Candidate, _Tried]:
    """The first socket with which all is fine; else the first of those that do best."""
    found: list[tuple[Candidate, _Tried]] = []
    for second in sockets:
        found.append((second, _tried(book, asked, second)))
        if found[-1][1][1].judgement.verdict is Severity.FINE:
            break
    return min(found, key=lambda each: each[1][1].judgement.verdict.rank)


def _tried(book: GearBook, asked: Asked, second: Candidate) -> _Tried:
    """The rig of a question between two sockets, with what is left open at its place."""
    rig, met = asked.rig(book, second)
    chosen = frozenset(rig.show.settings)
    trial = opened(try_show(rig.show, book), rig)
    return rig, *free_switches(settled(trial, chosen), chosen), met


def _in_turn(first: Sequence[Candidate], second: Sequence[Candidate]) -> tuple[str, ...]:
    """What else either side may mean, one of each in turn, so that a short list shows both."""
    pairs = zip_longest(first[:_MOST_OTHERS], second[:_MOST_OTHERS])
    others = (each for pair in pairs for each in pair if each is not None)
    return tuple(f"{each.label} ({each.address})" for each in others)


def _switches_words(branches: tuple[Branch, ...]) -> str:
    """Switches that have to stand: any of one step, all steps."""
    steps: dict[int, list[str]] = {}
    for branch in branches:
        steps.setdefault(branch.step, []).append(f"{branch.label} {branch.taken}")
    return " and ".join(" or ".join(switches) for switches in steps.values())


def _suited(
    book: GearBook, first: Candidate, best: Candidate, others: Sequence[Candidate]
) -> list[Candidate]:
    """Sockets to try, of one item that the words fit alike: line inputs first for line level."""
    kind = book.entry(first.type_id).kind
    if kind == "microphone":
        return [best]
    alike = [each for each in others if (each.type_id, each.score) == (best.type_id, best.score)]
    wanted = ({"stereo", "line"}, {"line"}) if _is_stereo(book, first) else ({"line"},)
    found = [
        each
        for words in wanted
        for each in (best, *alike)
        if words <= tokens(each.label.rpartition(":")[2])
    ]
    ordered = (*found, best) if kind in _LINE_LEVEL else (best, *found)
    return list({each.address: each for each in ordered}.values())


def _is_stereo(book: GearBook, candidate: Candidate) -> bool:
    """Whether one socket gives both sides."""
    plan = book.plan(candidate.type_id, {}, {})
    return any(
        block.address(name) == candidate.port and len(port.signals) > 1
        for block in plan.blocks
        for name, port in block.plan.ports.items()
    )
