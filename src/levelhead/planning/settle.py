"""What a question leaves open, put at its place: gains, controls that would clip, switches."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, replace
from typing import Any, Final

from levelhead.planning.shut_out import shuts_out
from levelhead.planning.trial import Trial
from levelhead.rig.settings import setting_text
from levelhead.show.addresses import item_of
from levelhead.show.edits import Set
from levelhead.verdicts.enough.clipping import CODE as CLIPS_AS_SET
from levelhead.verdicts.enough.clipping import check_clipping_as_set
from levelhead.verdicts.read.doubts import strongest_way
from levelhead.verdicts.read.gain_plan import LOWEST_USEFUL_DB, PEAK_RESERVE_DB, planned_setting
from levelhead.verdicts.read.transmitters import controls_set_by_ceiling, planned_by_ceiling
from levelhead.verdicts.told.finding import Finding
from levelhead.verdicts.told.limit_state import ROUNDING
from levelhead.verdicts.told.severity import Severity
from levelhead.verdicts.told.words import control_words

__all__ = ["MOST_SWITCHES", "Branch", "free_switches", "settled"]

_GAINS_IN_A_ROW: Final = 3  # a preamplifier, a level behind it, a recorder behind both
_MOST_TURNS: Final = 4
_MOST_DOWN_DB: Final = 20.0  # of a fader that others hear too: more wants a pad, common practice
MOST_SWITCHES: Final = 2  # turned together when one alone does not mend it


@dataclass(frozen=True, slots=True)
class Branch:
    """A switch that decides: the verdict for each of its positions.

    ``label`` is the switch in people's words, ``taken`` where it has to stand, ``else_`` what is
    wrong where it usually stands. Of one ``step`` any switch will do, each step is needed.
    ``is_locked`` says that nobody may move it: it can only be asked for.
    """

    input: str
    branches: tuple[tuple[str, Severity], ...]
    label: str = ""
    taken: str = ""
    else_: str = ""
    step: int = 0
    is_locked: bool = False

    @property
    def best(self) -> str:
        """The position of least regret: no other leads to anything better."""
        return min(self.branches, key=lambda each: each[1].rank)[0]

    @property
    def ask(self) -> str:
        """The question that settles it."""
        question = f"Where does {self.label or self.input} stand?"
        return f"{question} It is locked, so look, do not move it." if self.is_locked else question

    @property
    def says(self) -> str:
        """For people: ``desk.phantom: off fails, on is fine``."""
        parts = [
            f"{value} {'fails' if verdict is Severity.FAILS else f'is {verdict.value}'}"
            for value, verdict in self.branches
        ]
        return f"{self.input}: {', '.join(parts)}"

    def to_json(self) -> dict[str, Any]:
        """As docs/formats.md prints it."""
        return {
            "input": self.input,
            "says": self.says,
            "branches": [
                {"value": value, "verdict": verdict.value} for value, verdict in self.branches
            ],
            "best": self.best,
            "ask": self.ask,
        }


def settled(trial: Trial, chosen: AbstractSet[str]) -> Trial:
    """Every control that is not chosen at its place: transmitters, gains, then what still clips."""
    edits = list(_planned_by_ceiling(trial, chosen))
    trial = (trial.after(edits) if edits else None) or trial
    trial = _with_gains_placed(trial, chosen)
    for _ in range(_MOST_TURNS):
        step = _turned_down(trial, chosen)
        if step is None:
            break
        trial = _with_gains_placed(step, chosen)  # less comes to what lies behind
    return trial


def _with_gains_placed(trial: Trial, chosen: AbstractSet[str]) -> Trial:
    """Gains at their place, in signal order: what is set first moves what comes behind it."""
    for _ in range(_GAINS_IN_A_ROW):
        edits = list(_planned_gains(trial, chosen))
        if not edits:
            break
        trial = trial.after(edits) or trial
    return trial


def _planned_by_ceiling(trial: Trial, chosen: AbstractSet[str]) -> Iterator[Set]:
    """Transmitters that do not stand under their own ceiling yet."""
    rig = trial.solution.rig
    for control, wanted in planned_by_ceiling(trial.solution).items():
        setting = round(wanted, 1)
        if control not in chosen and abs(setting - rig.setting_db(control)) > ROUNDING:
            yield Set(control, setting_text(setting, rig.controls[control]))


def _planned_gains(trial: Trial, chosen: AbstractSet[str]) -> Iterator[Set]:
    """Gains that do not stand at their place yet."""
    rig = trial.solution.rig
    for strip in trial.reading.strips:
        if strip.gain_control is not None and strip.gain_control not in chosen:
            setting = round(planned_setting(strip), 1)
            if abs(setting - rig.setting_db(strip.gain_control)) > ROUNDING:
                text = setting_text(setting, rig.controls[strip.gain_control])
                yield Set(strip.gain_control, text)


def _turned_down(trial: Trial, chosen: AbstractSet[str]) -> Trial | None:
    """One stage that clips relieved, by the nearest open control before it."""
    if not trial.found.by(check_clipping_as_set) or trial.judgement.verdict is Severity.HARM:
        return None
    for finding in trial.judgement.findings:
        if finding.code == CLIPS_AS_SET and finding.margin is not None:
            relieved = _relieved(trial, finding, finding.margin, chosen)
            if relieved is not None:
                return relieved
    return None


def _relieved(
    trial: Trial, finding: Finding, margin_db: float, chosen: AbstractSet[str]
) -> Trial | None:
    way = strongest_way(trial.solution, trial.solution.number(finding.where))
    held = {each.control for each in controls_set_by_ceiling(trial.solution.rig)}
    for control in reversed(way.controls):
        if control in chosen or control in held:
            continue
        plan = trial.solution.rig.controls[control]
        setting = trial.solution.rig.setting_db(control) + margin_db - PEAK_RESERVE_DB
        if plan.kind == "range" and setting >= max(plan.low, _lowest_db(trial, control)):
            return trial.after([Set(control, setting_text(round(setting, 1), plan))])
    return None


def _lowest_db(trial: Trial, control: str) -> float:
    """How far down a control can be: what a mixer mixes is there for others as well."""
    item = trial.solution.rig.items[item_of(control)]
    is_shared = any(block.mixes for block in item.plan.blocks)
    shared_db = trial.solution.rig.setting_db(control) - _MOST_DOWN_DB
    return max(LOWEST_USEFUL_DB, shared_db) if is_shared else LOWEST_USEFUL_DB


def free_switches(trial: Trial, chosen: AbstractSet[str]) -> tuple[Trial, tuple[Branch, ...]]:
    """Try the open switches where the usual positions fail; keep what mends it.

    The first that mends it is taken, and every other that would do as well is named beside it.
    Where one alone only helps, a second is tried on top of it. What fails all the same is left as
    it was: there is no position that it works with.
    """
    usual = trial
    taken: list[Branch] = []
    for step in range(MOST_SWITCHES):
        if trial.judgement.verdict is not Severity.FAILS:
            break
        better, branches = _best_switch(trial, chosen)
        if better is None:
            break
        trial = better
        taken += [replace(branch, step=step) for branch in branches]
    if trial.judgement.verdict is Severity.FAILS:
        return usual, ()
    return trial, tuple(taken)


def _weight(trial: Trial) -> tuple[int, int]:
    """Worst verdict, then how many findings are that bad: less is better."""
    verdict = trial.judgement.verdict
    worse = trial.judgement.worse_than_fine()
    return verdict.rank, sum(each.severity is verdict for each in worse)


def _best_switch(trial: Trial, chosen: AbstractSet[str]) -> tuple[Trial | None, list[Branch]]:
    found: list[tuple[tuple[int, int], Trial, Branch]] = []
    for address, control in trial.solution.rig.controls.items():
        is_fixed = address in chosen or address in trial.solution.rig.facts
        if control.kind != "switch" or is_fixed or not _matters(trial, address):
            continue
        tried = _positions(trial, address, control.options, chosen)
        best = min(tried, key=lambda option: _weight(tried[option]))
        if _weight(tried[best]) < _weight(trial):
            found.append((_weight(tried[best]), tried[best], _branch(trial, address, tried, best)))
    if not found:
        return None, []
    least = min(weight for weight, *_ in found)
    equal = [(each, branch) for weight, each, branch in found if weight == least]
    return equal[0][0], [branch for _, branch in equal]


def _branch(trial: Trial, address: str, tried: Mapping[str, Trial], taken: str) -> Branch:
    return Branch(
        address,
        tuple((option, after.judgement.verdict) for option, after in tried.items()),
        label=control_words(trial.solution.rig, address),
        taken=taken,
        else_=trial.judgement.findings[0].what,
    )


def _positions(
    trial: Trial, address: str, options: tuple[str, ...], chosen: AbstractSet[str]
) -> dict[str, Trial]:
    """The show with a switch in each position that keeps nothing out of a mix."""
    now = trial.solution.rig.setting(address)
    worst = trial.judgement.findings[0]
    tried = {}
    for option in options:
        edit = Set(address, option)
        after = trial if option == now else trial.after([edit])
        if after is trial:
            tried[option] = trial
        elif after is not None and not shuts_out(trial, after, worst, [edit]):
            tried[option] = settled(after, chosen)
    return tried


def _matters(trial: Trial, address: str) -> bool:
    """Whether a switch belongs to an item as a whole or to a strip that has a plug in it."""
    item, _, local = address.partition(".")
    block = local.rpartition(".")[0]
    ports = trial.solution.rig.ports.values()
    return not block or any(
        port.item.id == item and port.block.name == block and port.link is not None
        for port in ports
    )
