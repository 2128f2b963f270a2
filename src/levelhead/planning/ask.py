"""One question: may this go into that, with what, how loud, and what would flip the answer?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from levelhead.chain.levels import PointLevels
from levelhead.errors import AskError
from levelhead.gear.book import GearBook
from levelhead.planning.names import Candidate, Side, find_candidates
from levelhead.planning.pointers import CableAnswer, GainAnswer, cable_of, gain_at, levels_along
from levelhead.planning.question_rig import Question, build_question_rig
from levelhead.planning.remedies import with_remedies
from levelhead.planning.settle import Branch, free_switches, settled
from levelhead.planning.trial import Trial, try_show
from levelhead.rig.settings import setting_text
from levelhead.show.edits import Set
from levelhead.verdicts.finding import Finding
from levelhead.verdicts.severity import Severity
from levelhead.verdicts.volume import desk_end, digital_volumes

__all__ = ["Answer", "Branch", "Question", "answer"]

_QUARTER_DB: Final = -12.0  # a quarter of the numbers: 20 lg (1/4)
_CLOSE: Final = 1.0  # candidates this near in score fit as well
_MOST_OTHERS: Final = 4


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
    trial: Trial

    @property
    def why(self) -> str:
        """The one sentence: what is worst, or where the gain goes when all is fine."""
        worse = [each.what for each in self.findings if each.severity is not Severity.FINE]
        at_gain = [each.what for each in self.findings if each.code == "enough.too-low"]
        at_port = [each.what for each in self.findings if each.where == self.to_address]
        told = worse or at_gain or at_port or [each.what for each in self.findings]
        return told[0] if told else "Nothing stands against it."

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
    first, first_others = _pick(book, question.from_text, "from")
    second, second_others = _pick(book, question.to_text, "to")
    rig = build_question_rig(book, question, first, second)
    chosen = frozenset(rig.show.settings)
    trial, depends_on = free_switches(settled(try_show(rig.show, book), chosen), chosen)
    verdict = trial.judgement.verdict
    if depends_on and verdict is Severity.FINE:
        verdict = Severity.CARE
    return Answer(
        question=question,
        from_address=rig.from_,
        to_address=rig.to,
        from_label=first.label,
        to_label=second.label,
        verdict=verdict,
        findings=with_remedies(trial, trial.judgement.findings),
        cable=cable_of(trial, rig),
        gain=gain_at(trial, rig),
        levels=levels_along(trial, rig),
        depends_on=depends_on,
        notes=tuple(_volume_notes(trial)),
        others=(*first_others, *second_others),
        trial=trial,
    )


def _pick(book: GearBook, text: str, side: Side) -> tuple[Candidate, tuple[str, ...]]:
    found = find_candidates(book, text, side)
    if not found:
        raise AskError(
            f"nothing in the gear book fits '{text}'",
            where="ask",
            expected="gear and, if it has several, which socket",
            remedy="Look through it with: levelhead gear --search WORD",
        )
    best = found[0]
    rivals = [other for other in found[1:] if other.score > best.score - _CLOSE]
    return best, tuple(f"{other.label} ({other.address})" for other in rivals[:_MOST_OTHERS])


def _volume_notes(trial: Trial) -> list[str]:
    """For each digital volume: what a quarter of it would cost at the desk's output, solved."""
    notes = []
    for volume, way in digital_volumes(trial.solution).items():
        control = trial.solution.rig.controls[volume]
        end = desk_end(trial.solution, way)
        quarter = setting_text(control.high + _QUARTER_DB, control)
        after = trial.after([Set(volume, quarter)])
        if after is None or end is None:
            continue
        now_db, low_db = end.signal_over_noise, after.solution.levels(end.at).signal_over_noise
        if now_db is not None and low_db is not None:
            now = setting_text(trial.solution.rig.setting_db(volume), control)
            notes.append(
                f"{volume} at {now}: signal is {now_db:.1f} dB above noise at the desk's output. "
                f"At a quarter ({quarter}) it would be {low_db:.1f} dB, "
                f"{now_db - low_db:.1f} dB worse."
            )
    return notes
