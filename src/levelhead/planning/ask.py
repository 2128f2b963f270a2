"""One question: may this go into that, with what, how loud, and what would flip the answer?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Final

from levelhead.chain.solution import PointLevels
from levelhead.errors import AskError
from levelhead.gear.book import GearBook
from levelhead.gear.plan import CablePlan
from levelhead.gear.scales import SCALES, position_words
from levelhead.planning.names import Candidate, Side, find_candidates
from levelhead.planning.question_rig import QuestionRig, build_question_rig
from levelhead.planning.remedies import with_remedies
from levelhead.planning.trial import Trial, try_show
from levelhead.rig.model import RigLink
from levelhead.rig.settings import setting_text
from levelhead.show.edits import Set
from levelhead.verdicts.doubts import strongest_way
from levelhead.verdicts.gain import PEAK_RESERVE_DB, planned_gain_db
from levelhead.verdicts.volume import electrical_end
from levelhead.verdicts.finding import Finding, Severity, rounded
from levelhead.verdicts.strips import Strip, strips

__all__ = ["Answer", "Branch", "CableAnswer", "GainAnswer", "Question", "answer"]

_QUARTER_DB: Final = -12.0  # a quarter of the numbers: 20 lg (1/4)
_MOST_TURNS: Final = 4
_LOWEST_USEFUL_DB: Final = -40.0  # below that a control is as good as off, common practice
_GAIN_SLACK_DB: Final = 6.0  # a gain this far under its place is still a place, common practice


@dataclass(frozen=True, slots=True)
class Question:
    """What was asked. ``settings`` are controls by their address in the question's show."""

    from_text: str
    to_text: str
    cable: str | None = None
    length_m: float | None = None
    at: str | None = None
    settings: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class CableAnswer:
    """The cable of the answer: which pin of one end goes to which of the other."""

    type: str
    label: str
    length_m: float
    pins: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class GainAnswer:
    """Where the gain goes: dB on the panel, its sensible range, and how the knob stands."""

    control: str
    set: float
    low: float
    high: float
    kind: str  # knob or fader
    travel: float
    place: str


@dataclass(frozen=True, slots=True)
class Branch:
    """A switch that decides: the verdict for each of its positions."""

    input: str
    branches: tuple[tuple[str, Severity], ...]

    @property
    def says(self) -> str:
        """For people: ``desk.phantom: off fails, on is fine``."""
        parts = [
            f"{value} {'fails' if verdict is Severity.FAILS else f'is {verdict.value}'}"
            for value, verdict in self.branches
        ]
        return f"{self.input}: {', '.join(parts)}"


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
        if worse:
            return worse[0]
        usable = [each.what for each in self.findings if each.where == self.to_address]
        return (usable or [each.what for each in self.findings] or ["Nothing stands against it."])[
            0
        ]

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
            "depends_on": [branch_to_json(branch) for branch in self.depends_on],
            "cable": None if self.cable is None else _cable_to_json(self.cable),
            "gain": None if self.gain is None else _gain_to_json(self.gain),
            "levels": [point.to_json() for point in self.levels],
            "findings": [finding.to_json() for finding in self.findings],
            "links": self.trial.judgement.links_to_json(),
            "cautions": list(self.cautions),
            "notes": list(self.notes),
            "others": list(self.others),
        }


def branch_to_json(branch: Branch) -> dict[str, Any]:
    """A deciding switch for JSON."""
    return {
        "input": branch.input,
        "says": branch.says,
        "branches": [
            {"value": value, "verdict": verdict.value} for value, verdict in branch.branches
        ],
    }


def _cable_to_json(cable: CableAnswer) -> dict[str, Any]:
    return {
        "type": cable.type,
        "label": cable.label,
        "length_m": cable.length_m,
        "pins": [list(pair) for pair in cable.pins],
    }


def _gain_to_json(gain: GainAnswer) -> dict[str, Any]:
    return {
        "control": gain.control,
        "set": rounded(gain.set, 1),
        "low": rounded(gain.low, 1),
        "high": rounded(gain.high, 1),
        "unit": "dB",
        "kind": gain.kind,
        "position": rounded(gain.travel, 3),
        "place": gain.place,
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
    rig = build_question_rig(
        book,
        first,
        second,
        cable=question.cable,
        length_m=question.length_m,
        at=question.at,
        settings=question.settings,
    )
    chosen = {*rig.show.settings}
    trial = _settled(try_show(rig.show, book), chosen)
    trial, depends_on = _free_switches(trial, chosen)
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
        cable=_cable(trial, rig),
        gain=_gain(trial, rig),
        levels=_levels(trial, rig),
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
    rivals = [other for other in found[1:] if other.score > best.score - 1.0]
    return best, tuple(f"{other.label} ({other.address})" for other in rivals[:4])


# --- settings ---


def _settled(trial: Trial, chosen: set[str]) -> Trial:
    """Every control that the question leaves open at its place: gains first, then what still clips."""
    edits = []
    for strip in strips(trial.solution):
        if strip.gain_control is not None and strip.gain_control not in chosen:
            control = trial.solution.rig.controls[strip.gain_control]
            setting = round(strip.setting_for(planned_gain_db(strip)), 1)
            edits.append(Set(strip.gain_control, setting_text(setting, control)))
    trial = (trial.after(edits) if edits else None) or trial
    for _ in range(_MOST_TURNS):
        step = _turned_down(trial, chosen)
        if step is None:
            break
        trial = step
    return trial


def _turned_down(trial: Trial, chosen: set[str]) -> Trial | None:
    """The nearest open control before a stage that clips, turned down until its peaks have room."""
    if trial.judgement.verdict is Severity.HARM:
        return None
    for finding in trial.judgement.findings:
        if finding.code != "enough.clips-as-set" or finding.margin is None:
            continue
        way, _ = strongest_way(trial.solution, trial.solution.number(finding.where))
        for edge in reversed(way):
            control = edge.control
            if control is None or control in chosen:
                continue
            plan = trial.solution.rig.controls[control]
            setting = trial.solution.rig.setting_db(control) + finding.margin - PEAK_RESERVE_DB
            if plan.kind == "range" and setting >= max(plan.low, _LOWEST_USEFUL_DB):
                return trial.after([Set(control, setting_text(round(setting, 1), plan))])
    return None


def _free_switches(trial: Trial, chosen: set[str]) -> tuple[Trial, tuple[Branch, ...]]:
    """Try the open switches one by one where the usual positions fail; keep what mends it.

    The first that mends it is taken; every other that would do as well is named beside it.
    """
    if trial.judgement.verdict is not Severity.FAILS:
        return trial, ()
    found: list[tuple[Trial, Branch]] = []
    for address, control in trial.solution.rig.controls.items():
        if control.kind != "switch" or address in chosen or not _matters(trial, address):
            continue
        tried = {
            option: trial
            if option == trial.solution.rig.setting(address)
            else _settled(after, chosen)
            for option in control.options
            if (after := trial.after([Set(address, option)])) is not None
        }
        mended = min(tried.values(), key=lambda each: each.judgement.verdict.rank)
        if mended.judgement.verdict.rank < trial.judgement.verdict.rank:
            verdicts = tuple((option, each.judgement.verdict) for option, each in tried.items())
            found.append((mended, Branch(address, verdicts)))
    if not found:
        return trial, ()
    best = min(found, key=lambda each: each[0].judgement.verdict.rank)[0]
    rank = best.judgement.verdict.rank
    return best, tuple(branch for each, branch in found if each.judgement.verdict.rank == rank)


def _matters(trial: Trial, address: str) -> bool:
    """Whether a switch belongs to an item as a whole or to a strip that has a plug in it."""
    item, _, local = address.partition(".")
    block = local.rpartition(".")[0]
    rig = trial.solution.rig
    return not block or any(
        port.item.id == item and port.block.name == block and port.link is not None
        for port in rig.ports.values()
    )


# --- what is shown ---


def _cable(trial: Trial, rig: QuestionRig) -> CableAnswer | None:
    for link in trial.solution.rig.links:
        if rig.from_ in link.ports and rig.to in link.ports:
            segment = link.segments[0]
            near = _end_at(link, rig.from_)
            pins = _pins(segment.cable, near)
            return CableAnswer(segment.cable.type_id, segment.cable.label, segment.length_m, pins)
    return None


def _end_at(link: RigLink, address: str) -> str:
    """The end of the first cable whose plug is in this port."""
    for here, there in link.contacts:
        for one, other in ((here, there), (there, here)):
            if one[:2] == ("port", address) and other[0] == "cable":
                return str(other[3])
    return next(iter(link.segments[0].cable.ends))


def _pins(cable: CablePlan, near: str) -> tuple[tuple[str, str], ...]:
    """Pins joined, from the near end to the others; a third end is named."""
    is_fan = len(cable.ends) > 2
    pairs = []
    for (end, pin), (other_end, other_pin) in cable.joins:
        here, there = (
            ((end, pin), (other_end, other_pin))
            if end == near
            else ((other_end, other_pin), (end, pin))
        )
        pairs.append((here[1], f"{there[0]} {there[1]}" if is_fan else there[1]))
    return tuple(pairs)


def _strip_at(trial: Trial, port: str) -> Strip | None:
    return next((strip for strip in strips(trial.solution) if strip.port == port), None)


def _gain(trial: Trial, rig: QuestionRig) -> GainAnswer | None:
    strip = _strip_at(trial, rig.to)
    if strip is None or strip.gain_control is None:
        return None
    control = trial.solution.rig.controls[strip.gain_control]
    setting = strip.setting_for(planned_gain_db(strip))
    reserve = min((spare for _, spare, _ in strip.ceilings), default=0.0) + strip.low_db
    peak = strip.entry.peak if strip.entry.peak is not None else 0.0
    highest = strip.setting_for(reserve - peak - PEAK_RESERVE_DB / 2)
    travel = SCALES[control.scale].travel(setting, low_db=control.low, high_db=control.high)
    return GainAnswer(
        control=strip.gain_control,
        set=setting,
        low=max(setting - _GAIN_SLACK_DB, control.low),
        high=min(max(highest, setting), control.high),
        kind=SCALES[control.scale].shape,
        travel=travel,
        place=position_words(SCALES[control.scale], travel),
    )


def _levels(trial: Trial, rig: QuestionRig) -> tuple[PointLevels, ...]:
    """Points of the first way that runs through the link, to its end."""
    ports = set(rig.link.ends.values())
    for path in trial.solution.paths:
        if ports & {*path, *(address.rpartition(".")[0] for address in path)}:
            return tuple(trial.solution.levels(address) for address in path)
    return ()


def _volume_notes(trial: Trial) -> list[str]:
    """For each digital volume: what a quarter of it would cost at the desk's output, solved."""
    notes = []
    for address, control in trial.solution.rig.controls.items():
        if control.kind != "range" or not _is_digital(trial, address):
            continue
        now, low = _signal_over_noise(trial, address), None
        quarter = setting_text(control.high + _QUARTER_DB, control)
        after = trial.after([Set(address, quarter)])
        if after is not None:
            low = _signal_over_noise(after, address)
        if now is not None and low is not None:
            notes.append(
                f"{address} at {setting_text(trial.solution.rig.setting_db(address), control)}: signal is "
                f"{now:.1f} dB above noise at the desk's output. At a quarter ({quarter}) it would be "
                f"{low:.1f} dB, {now - low:.1f} dB worse."
            )
    return notes


def _is_digital(trial: Trial, control: str) -> bool:
    return any(
        edge.control == control and trial.solution.graph.points[edge.target].unit == "FS"
        for edge in trial.solution.graph.edges
    )


def _signal_over_noise(trial: Trial, control: str) -> float | None:
    item = control.partition(".")[0]
    for path in trial.solution.paths:
        if trial.solution.point(path[0]).item == item:
            levels = trial.solution.levels(electrical_end(trial.solution, path))
            if levels.nominal is not None and levels.floor_a is not None:
                return levels.nominal - levels.floor_a
    return None
