"""Edits tried on a copy: gains at their place, switches that they need, what is new and where."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Final

from levelhead.planning.asked.pointers import GainAnswer, gain_behind
from levelhead.planning.moves.controls import switches
from levelhead.planning.moves.inputs_chosen import input_chosen
from levelhead.planning.remedy.earths import keeps_every_earth
from levelhead.planning.remedy.outcome import heard, new_findings
from levelhead.planning.remedy.screening import surely_stays
from levelhead.planning.settle import MOST_SWITCHES, settled
from levelhead.planning.trial import Trial
from levelhead.rig.model import Rig
from levelhead.show.edits import AddItem, AddSource, Edit, Set
from levelhead.verdicts.enough.gain import TOO_LOW
from levelhead.verdicts.told.finding import Finding
from levelhead.verdicts.told.severity import Severity, worst
from levelhead.verdicts.told.words import control_words

__all__ = ["Attempt", "attempted"]

_NOTHING: Final = (0, 0, 0)  # new


@dataclass(frozen=True, slots=True)
class Attempt:
    """A copy of the show after edits.

    ``edits`` are those that were asked for and every setting that was brought to its place;
    ``needs`` the switches that it takes, in words; ``findings`` those at its sockets or new,
    worst first; ``elsewhere`` those of them that are new or worse at something else of the show.
    """

    trial: Trial = field(repr=False)
    edits: tuple[Edit, ...]
    needs: tuple[str, ...]
    findings: tuple[Finding, ...]
    elsewhere: tuple[Finding, ...]
    gain: GainAnswer | None
    why: str

    @property
    def outlets(self) -> int:
        """How many outlets it wants for what it adds and what runs on nothing else."""
        items = (edit.item.id for edit in self.edits if isinstance(edit, AddItem))
        plans = (self.trial.solution.rig.items[each].plan for each in items)
        return sum({way.kind for way in plan.powered_by} == {"mains"} for plan in plans)

    @property
    def verdict(self) -> Severity:
        """Worst of the findings."""
        return worst(each.severity for each in self.findings)


def attempted(
    trial: Trial,
    edits: Sequence[Edit],
    ports: Sequence[str],
    *,
    is_new: bool = True,
    may_switch: bool = True,
    held: frozenset[str] = frozenset(),
) -> Attempt | None:
    """Try edits; ``None`` when they do not go together, lift an earth, or nobody hears what is new.

    Parameters
    ----------
    trial : Trial
        The show before.
    edits : sequence of Edit
        What is plugged, added, set.
    ports : sequence of str
        Sockets that they concern; the controls of their strips, and of items that are added, go to
        their place.
    is_new : bool
        Whether something is added that has to come out somewhere.
    may_switch : bool
        Whether switches are tried where it fails.
    held : frozenset of str
        Controls that stay as the edits set them.
    """
    moved = trial.after(edits) if edits else trial
    if moved is None or not keeps_every_earth(trial.solution.rig, moved.solution.rig):
        return None
    own = _own(moved.solution.rig, edits, ports)
    after = settled(moved, _fixed(moved, own) | held)
    after, switched = _switched(trial, after, own, held) if may_switch else (after, [])
    if is_new and not heard(after) - heard(trial):
        chosen = _chosen(trial, after)
        if not chosen or any(each in edits for each in chosen):
            return None
        return attempted(trial, (*edits, *chosen), ports, may_switch=may_switch, held=held)
    found = _findings(trial, after, ports, edits)
    mine = {port.partition(".")[0] for port in ports} if not is_new else _added(edits)
    elsewhere = tuple(
        each
        for each in new_findings(trial, after)
        if not _is_own(each, own) and each.where.partition(".")[0] not in mine
    )
    return Attempt(
        after,
        (*edits, *_settings(moved, after)),
        tuple(_need(after, edit) for edit in switched),
        found,
        elsewhere,
        next((gain for each in ports if (gain := gain_behind(after, each)) is not None), None),
        _why(found, ports),
    )


# --- whose controls and findings are its own ---


def _added(edits: Sequence[Edit]) -> set[str]:
    items = {edit.item.id for edit in edits if isinstance(edit, AddItem)}
    return items | {edit.source.id for edit in edits if isinstance(edit, AddSource)}


def _own(rig: Rig, edits: Sequence[Edit], ports: Sequence[str]) -> tuple[str, ...]:
    """How addresses of its own begin: added items, and the strips that it is plugged into."""
    strips = (
        f"{rig.ports[each].strip}." if rig.ports[each].block.name else each
        for each in ports
        if each in rig.ports
    )
    return (*(f"{item}." for item in _added(edits)), *strips)


def _fixed(trial: Trial, own: tuple[str, ...]) -> frozenset[str]:
    """Controls that stay: locked ones, and all that belong to others."""
    others = (each for each in trial.solution.rig.controls if not each.startswith(own))
    return trial.show.locks | frozenset(others)


def _is_own(finding: Finding, own: tuple[str, ...]) -> bool:
    return any(each.startswith(own) for each in (finding.where, *finding.ports))


def _findings(
    before: Trial, after: Trial, ports: Sequence[str], edits: Sequence[Edit]
) -> tuple[Finding, ...]:
    """Those at its sockets and of its items, and what is new anywhere."""
    own = _own(after.solution.rig, edits, ports)
    new = {each.key for each in new_findings(before, after)}
    return tuple(each for each in after.judgement.findings if _is_own(each, own) or each.key in new)


# --- switches ---


def _chosen(before: Trial, after: Trial) -> tuple[Edit, ...]:
    """What makes a channel hear the network where a new signal ends; nothing where it is busy."""
    known = {way[0] for way in before.solution.paths}
    ends = (way[-1] for way in after.solution.paths if way[0] not in known)
    found = (input_chosen(after.solution.rig, end) for end in dict.fromkeys(ends))
    return tuple(edit for edits in found for edit in edits)


_Weight = tuple[int, int, int]


def _weight(before: Trial, after: Trial) -> _Weight:
    """Worst of what is new, how often it is there, and how much is new at all: less is better."""
    ranks = [each.severity.rank for each in new_findings(before, after)]
    worst_ = max(ranks, default=0)
    return worst_, ranks.count(worst_), len(ranks)


def _switched(
    before: Trial, trial: Trial, own: tuple[str, ...], held: frozenset[str]
) -> tuple[Trial, list[Set]]:
    """The switches that it takes, one after another, as long as each helps."""
    done: list[Set] = []
    for _ in range(MOST_SWITCHES):
        now = _weight(before, trial)
        if now[0] < Severity.FAILS.rank:
            break
        best = _best_switch(before, trial, own, held)
        if best is None or _weight(before, best[1]) >= now:
            break
        done.append(best[0])
        trial = best[1]
    return trial, done


def _best_switch(
    before: Trial, trial: Trial, own: tuple[str, ...], held: frozenset[str]
) -> tuple[Set, Trial] | None:
    """The switch after which least is left; none is tried beyond one that leaves nothing."""
    best: tuple[_Weight, Set, Trial] | None = None
    for edit in (each for each in _worth(before, trial) if each.address not in held):
        after = _after_switch(trial, edit, own, held)
        weight = None if after is None else _weight(before, after)
        if after is not None and weight is not None and (best is None or weight < best[0]):
            best = weight, edit, after
        if weight == _NOTHING:
            break
    return None if best is None else best[1:]


def _worth(before: Trial, trial: Trial) -> list[Set]:
    """Switches near what fails, each position once, that may mend some of it.

    None where something fails that surely stays after each of them.
    """
    failing = [each for each in new_findings(before, trial) if each.severity.rank > 1]
    moves = (move for each in failing for move in switches(trial, each))
    edits = dict.fromkeys(edit for move in moves for edit in move.edits if isinstance(edit, Set))
    mended = {
        edit: [n for n, each in enumerate(failing) if not _stays(trial, edit, each)]
        for edit in edits
    }
    if len({n for each in mended.values() for n in each}) < len(failing):
        return []
    return [edit for edit, each in mended.items() if each]


def _stays(trial: Trial, edit: Set, finding: Finding) -> bool:
    return surely_stays(trial, [edit], finding, finding.severity)


def _after_switch(
    trial: Trial, edit: Set, own: tuple[str, ...], held: frozenset[str]
) -> Trial | None:
    after = trial.after([edit])
    return None if after is None else settled(after, _fixed(after, own) | held)


def _settings(before: Trial, after: Trial) -> tuple[Set, ...]:
    was = before.show.settings
    return tuple(
        Set(address, value)
        for address, value in after.show.settings.items()
        if was.get(address) != value
    )


def _need(trial: Trial, edit: Set) -> str:
    return f"{control_words(trial.solution.rig, edit.address)} {edit.value}"


# --- words ---


def _why(found: Sequence[Finding], ports: Sequence[str]) -> str:
    """What is worst; where all is fine, how much the gain has at hand."""
    if found and found[0].severity is not Severity.FINE:
        return found[0].what
    told = [each for each in found if each.where in ports and each.code == TOO_LOW]
    return told[0].what if told else "Nothing stands against it."
