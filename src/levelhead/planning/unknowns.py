"""Controls that nobody knows, solved branch by branch: which of them turn a verdict, and where.

A switch is tried in every position; a range in seven places over what people leave it at, and where
two of them differ, at the setting at which it turns. Only findings that are not the same
in every branch count: what is wrong whatever the control does, hangs on something else.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from itertools import pairwise
from typing import Final

from levelhead.gear.plan import ControlPlan
from levelhead.gear.scales import PAN_POSITIONS
from levelhead.planning.settle import Branch
from levelhead.planning.trial import Trial
from levelhead.rig.settings import setting_text, unknown_span_db
from levelhead.show.edits import Set
from levelhead.verdicts.told.severity import Severity, worst
from levelhead.verdicts.told.words import control_words

__all__ = ["unknown_branches", "verdict_with_unknowns"]

_CLOSE_DB: Final = 0.5  # as near as a knob is read
_STEPS: Final = 6  # over what is left of the travel: no verdict comes and goes in a sixth
_Told = frozenset[tuple[str, str, Severity]]
_Tell = Callable[[str, str], "_Told | None"]
GoOn = Callable[[], object]


def unknown_branches(trial: Trial, go_on: GoOn | None = None) -> tuple[Branch, ...]:
    """Unknown controls that turn a verdict, each with what its positions lead to.

    ``go_on`` is asked before each position is tried; what it raises gives all of it up.
    """

    def tell(address: str, text: str) -> _Told | None:
        if go_on is not None:
            go_on()
        return _told(trial, address, text)

    found = (_branch(trial, address, tell) for address in sorted(trial.solution.rig.unknowns))
    return tuple(branch for branch in found if branch is not None)


def verdict_with_unknowns(verdict: Severity, branches: tuple[Branch, ...]) -> Severity:
    """A verdict that hangs on an unknown is no better than care; harm in any branch is harm."""
    outcomes = [outcome for branch in branches for _, outcome in branch.branches]
    if Severity.HARM in outcomes:
        return Severity.HARM
    return worst((verdict, Severity.CARE)) if branches else verdict


def _branch(trial: Trial, address: str, tell: _Tell) -> Branch | None:
    control = trial.solution.rig.controls[address]
    tried = ((text, tell(address, text)) for text in _positions(control))
    told = {text: each for text, each in tried if each is not None}
    same = frozenset.intersection(*told.values()) if told else frozenset()
    outcomes = {text: _worst(each - same) for text, each in told.items()}
    if len(set(outcomes.values())) < len(("one", "other")):
        return None
    if control.kind == "range":
        outcomes = dict(_with_turns(tell, control, address, outcomes, same))
    best = min(outcomes, key=lambda text: outcomes[text].rank)
    poorest = max(outcomes, key=lambda text: outcomes[text].rank)
    return Branch(
        address,
        tuple(outcomes.items()),
        label=control_words(trial.solution.rig, address),
        taken=best,
        else_=_worst_words(trial, address, poorest),
        is_locked=address in trial.show.locks,
    )


def _worst(told: _Told) -> Severity:
    return worst(severity for *_, severity in told)


def _positions(control: ControlPlan) -> tuple[str, ...]:
    """Where a control may stand, in the order of its travel."""
    if control.kind == "switch":
        return control.options
    if control.kind == "pan":
        return tuple(PAN_POSITIONS)
    if control.kind == "dial":
        ends = (control.low, float(control.default), control.high)
        return tuple(dict.fromkeys(setting_text(each, control) for each in ends))
    low_db, high_db = unknown_span_db(control)
    settings = (low_db + (high_db - low_db) * step / _STEPS for step in range(_STEPS + 1))
    return tuple(dict.fromkeys(setting_text(each, control) for each in settings))


def _told(trial: Trial, address: str, text: str) -> _Told | None:
    """What is worse than fine with a control set so; ``None`` where that cannot be solved."""
    after = trial.after([Set(address, text)])
    if after is None:
        return None
    return frozenset((*each.key, each.severity) for each in after.judgement.worse_than_fine())


def _with_turns(
    tell: _Tell,
    control: ControlPlan,
    address: str,
    outcomes: Mapping[str, Severity],
    same: _Told,
) -> Iterator[tuple[str, Severity]]:
    """The two ends, and the settings on each side of where it turns between them."""
    settings = list(outcomes)
    yield settings[0], outcomes[settings[0]]
    for low, high in pairwise(settings):
        if outcomes[low] is not outcomes[high]:
            between = {each: outcomes[each] for each in (low, high)}
            yield from _turn(tell, control, address, between, same)
    yield settings[-1], outcomes[settings[-1]]


def _turn(
    tell: _Tell,
    control: ControlPlan,
    address: str,
    between: Mapping[str, Severity],
    same: _Told,
) -> Iterator[tuple[str, Severity]]:
    """The two settings, half a decibel apart, between which the verdict turns."""
    (low, below), (high, above) = between.items()
    while _db(high) - _db(low) > _CLOSE_DB:
        middle = setting_text((_db(low) + _db(high)) / 2, control)
        told = tell(address, middle)
        if told is None:
            break
        if _worst(told - same) is below:
            low = middle
        else:
            high, above = middle, _worst(told - same)
    yield low, below
    yield high, above


def _db(text: str) -> float:
    return float(text.removesuffix(" dB"))


def _worst_words(trial: Trial, address: str, text: str) -> str:
    after = trial.after([Set(address, text)])
    findings = () if after is None else after.judgement.worse_than_fine()
    return findings[0].what if findings else ""
