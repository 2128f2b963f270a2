"""``levelhead ask``: the answer to one question on one screen."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from levelhead.chain.solution import PointLevels, Solution
from levelhead.cli.reports.columns import entry
from levelhead.cli.reports.finding import (
    alike_lines,
    caution_lines,
    full_lines,
    remedy_lines,
    short_lines,
    turns_text,
)
from levelhead.cli.reports.level_picture import level_picture
from levelhead.planning.asked.answer import Answer
from levelhead.planning.asked.pointers import CableAnswer, GainAnswer
from levelhead.quantity.formatting import format_level
from levelhead.show.addresses import item_of
from levelhead.verdicts.told.finding import Finding
from levelhead.verdicts.told.folding import Folded, folded
from levelhead.verdicts.told.severity import Severity

__all__ = ["answer_report"]

_RIVALS: Final = 2  # other readings of what was typed that are named


def answer_report(answer: Answer, *, in_full: bool) -> str:
    """Verdict and reason; levels; cable; gain; what turns it; what else works; notes; cautions."""
    told, others = _sorted_out(answer)
    lines = [
        *entry("From", answer.from_label),
        *entry("Into", answer.to_label),
        *_words_lines(answer),
        *entry(answer.verdict.value.upper(), answer.why),
        *alike_lines(() if told is None else told.others),
        *(line for branch in answer.depends_on for line in entry("Depends", f"{branch.says}.")),
        "",
        *_picture(answer),
        *_to_do(answer, None if told is None else told.finding),
    ]
    if in_full:
        lines += [line for each in answer.findings for line in ("", *full_lines(each))]
    else:
        lines += _other_lines(answer, others)
    return "\n".join([*lines, *_foot(answer, is_apart=in_full or bool(others))])


def _sorted_out(answer: Answer) -> tuple[Folded | None, tuple[Folded, ...]]:
    """The finding of the one sentence with those like it, and the others worse than fine."""
    worse = (each for each in answer.findings if each.severity is not Severity.FINE)
    groups = folded(worse, answer.trial.show.types)
    told = next((each for each in groups if each.finding.what == answer.why), None)
    if told is None and answer.told is not None:
        told = Folded(answer.told, ())  # fine
    return told, tuple(each for each in groups if each is not told)


def _words_lines(answer: Answer) -> list[str]:
    """Conditions as they were understood, and words that change nothing."""
    lines = entry("With", "; ".join(map(str, answer.conditions)) + ".") if answer.conditions else []
    return lines + [line for each in answer.not_used for line in entry("Unused", f"{each}.")]


# ---------------------------------------------------------------- what to do


def _to_do(answer: Answer, told: Finding | None) -> list[str]:
    """Cable, gain, what turns the verdict, and remedies of the finding that was told."""
    lines: list[str] = []
    if answer.verdict is not Severity.HARM:  # no instructions for what must not be plugged
        lines += [] if answer.cable is None else _cable_lines(answer.cable)
        lines += [] if answer.gain is None else entry("Gain", _gain_text(answer.gain))
    if told is None:
        return lines
    if told.flips:
        lines += entry("Turns", f"{turns_text(told.flips)}.")
    return lines + remedy_lines(told.remedies)


def _cable_lines(cable: CableAnswer) -> list[str]:
    length = f", {cable.length_m:g} m" if cable.length_m else ""
    return entry("Cable", f"{cable.label}{length}: {_pins_text(cable)}")


def _pins_text(cable: CableAnswer) -> str:
    """Each pin of the near plug once, with all that it is joined to."""
    joined: dict[str, list[str]] = {}
    for near, far in cable.pins:
        joined.setdefault(near, []).append(far)
    return ", ".join(f"{near} to {' and '.join(far)}" for near, far in joined.items())


def _gain_text(gain: GainAnswer) -> str:
    low, high = format_level(gain.low, "dB", 0), format_level(gain.high, "dB", 0)
    setting = format_level(gain.set, "dB", 0)
    return f"{setting}, {gain.place}; {low} to {high} will do ({gain.control})"


# ---------------------------------------------------------------- levels


def _picture(answer: Answer) -> list[str]:
    solution = answer.trial.solution
    names = {point.at: _point_name(solution, point) for point in answer.levels}
    lines = level_picture(answer.levels, names, kept={answer.from_address, answer.to_address})
    return [*lines, ""] if lines else []


def _point_name(solution: Solution, point: PointLevels) -> str:
    """The item in the trade's words with what stands behind its dot: ``amplifier ch1.in``."""
    item = item_of(point.at)
    known = solution.rig.items.get(item)
    sources = (source.label for source in solution.rig.sources if source.id == item)
    label = known.label if known is not None else next(sources, item)
    return f"{label} {point.at[len(item) + 1 :]}".rstrip()


# ---------------------------------------------------------------- the rest


def _other_lines(answer: Answer, others: Sequence[Folded]) -> list[str]:
    """Findings that were not told yet; beside harm nothing less counts before that is mended."""
    later = [
        group
        for group in others
        if answer.verdict is Severity.HARM and group.finding.severity is not Severity.HARM
    ]
    lines = [
        line
        for group in others
        if group not in later
        for line in ("", *short_lines(group.finding, group.others))
    ]
    if later:
        more = f"{len(later)} more to look at when that is mended; --all shows everything."
        lines += entry("Then", more)
    return lines


def _foot(answer: Answer, *, is_apart: bool) -> list[str]:
    """Notes, cautions, and what else the words may have meant."""
    lines = [line for note in answer.notes for line in entry("Note", note)]
    lines += caution_lines(answer.findings)
    if answer.others:
        more = len(answer.others) - _RIVALS
        named = [*answer.others[:_RIVALS], *([f"{more} more"] if more > 0 else [])]
        lines += entry("Or", f"did you mean {'; '.join(named)}?")
    return ["", *lines] if is_apart and lines else lines
