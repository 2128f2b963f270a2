"""What a move did: whether it helped, what is new or worse, who is heard and who lives."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from levelhead.planning.moves.along import own_edits
from levelhead.planning.moves.candidate import Candidate
from levelhead.planning.remedy.ends import cut_off
from levelhead.planning.remedy.hands import hands_of, is_at
from levelhead.planning.remedy.silence import heard_again, may_silence, silenced
from levelhead.planning.shut_out import shuts_out
from levelhead.planning.trial import Trial
from levelhead.show.addresses import item_of
from levelhead.show.edits import Plug, Unplug
from levelhead.verdicts.phantom.arrives import PHANTOM
from levelhead.verdicts.told.finding import Finding
from levelhead.verdicts.told.severity import Severity, worst
from levelhead.verdicts.wiring.lost import LOST

__all__ = [
    "heard",
    "helps",
    "is_fed_alike",
    "is_of_the_plugs",
    "is_of_the_supply",
    "new_findings",
    "revived",
    "verdict_after",
    "worst_left",
]

_AS_GOOD_DB: Final = 0.5  # of a margin: rounding of knobs
_OF_WHAT_COMES: Final = frozenset({"enough", "wiring"})  # families: the same has to come after
_OF_PLUGS: Final = frozenset({"loading", "wiring"})


def helps(
    before: Trial,
    after: Trial,
    finding: Finding,
    move: Candidate,
    over: Severity = Severity.FINE,
) -> bool:
    """The finding is gone, nothing as bad is new, and nobody who was heard has fallen silent.

    Elsewhere than where the move has a hand, nothing at all is worse. With ``over`` it need not be
    gone, only no worse than that.
    """
    if after.still(finding, over):
        return False
    if not (heard(before) <= heard(after, like=before) and _sounding(before) <= _sounding(after)):
        return False
    if not may_silence(finding, move.edits) and (
        silenced(before, after) or cut_off(before, after, move.edits)
    ):
        return False
    if shuts_out(before, after, finding, own_edits(move.edits, before.show)):
        return False
    if finding.family in _OF_WHAT_COMES and not is_fed_alike(before, after, finding.where):
        return False
    limit = min(finding.severity.rank, Severity.FAILS.rank)
    if revived(before, after, finding):
        return not any(
            is_of_the_supply(each) or is_of_the_plugs(each, move)
            for each in new_findings(before, after)
        )
    if after.found.worse_than(before.ranks, limit) or _moves_along(after, finding, move):
        return False
    hands = hands_of(before.show, finding, move.edits)
    if not all(
        each.severity.rank < limit and is_at(hands, each) for each in new_findings(before, after)
    ):
        return False
    return not _fails_farther(before, after, finding)


def _moves_along(after: Trial, finding: Finding, move: Candidate) -> bool:
    """Whether the same trouble waits, no less bad, where a move puts a plug: the other side."""
    sockets = {
        end for edit in move.edits if isinstance(edit, Plug) for end in edit.link.ends.values()
    } - {finding.where, *finding.ports}
    return any(
        each.code == finding.code
        and each.where in sockets
        and each.severity.rank >= finding.severity.rank
        for each in after.judgement.worse_than_fine()
    )


def _fails_farther(before: Trial, after: Trial, finding: Finding) -> bool:
    """Whether something else that failed before misses by more decibels afterwards.

    Against harm only what harms counts: a hum that was there may be a few decibels louder.
    """
    is_harm = finding.severity is Severity.HARM
    counts = Severity.HARM.rank if is_harm else Severity.FAILS.rank
    missed = {
        each.key: each.margin
        for each in before.judgement.worse_than_fine()
        if each.severity.rank >= counts and each.key != finding.key
    }
    return bool(missed) and any(
        _falls(missed.get(each.key), each) for each in after.judgement.worse_than_fine()
    )


def _falls(before_db: float | None, after: Finding) -> bool:
    if before_db is None or after.margin is None or after.margin_unit != "dB":
        return False
    return after.margin < before_db - _AS_GOOD_DB


def revived(before: Trial, after: Trial, finding: Finding) -> str:
    """Labels of what was dead or silent and is heard now, by a finding about that; else empty.

    What it plays then may ask for more (a gain, a ring): that was hidden, and no worse than dead.
    """
    if finding.code == LOST:
        alive = sorted(heard_again(before, after))
    elif finding.family == PHANTOM:
        alive = sorted(before.solution.dead - after.solution.dead)
    else:
        return ""
    rig = after.solution.rig
    return " and ".join(rig.items[each].label for each in alive if each in rig.items)


def is_of_the_supply(finding: Finding) -> bool:
    """What a supply does to others; all else is about what plays."""
    return finding.family == PHANTOM or finding.severity is Severity.HARM


def is_of_the_plugs(finding: Finding, move: Candidate) -> bool:
    """What goes wrong with plugs that a move puts elsewhere, whoever plays."""
    is_bad = finding.severity.rank >= Severity.FAILS.rank
    return (
        is_bad
        and finding.family in _OF_PLUGS
        and any(isinstance(each, Plug) for each in move.edits)
    )


def _sounding(trial: Trial) -> frozenset[str]:
    """Where signals begin that go anywhere."""
    return frozenset(way[0] for way in trial.solution.paths)


def heard(trial: Trial, like: Trial | None = None) -> frozenset[str]:
    """Items whose signals come out of a loudspeaker; without one, those of any way.

    Where a loudspeaker spoke in ``like``, loudspeakers count. That one side of an item is heard no
    more is a finding of its own: many carry both on the first one.
    """
    ways, aloud = trial.solution.paths, _aloud(trial)
    return frozenset(item_of(way[0]) for way in (aloud if like and _aloud(like) else aloud or ways))


def _aloud(trial: Trial) -> list[tuple[str, ...]]:
    """Ways that end at a loudspeaker."""
    solution = trial.solution
    return [way for way in solution.paths if way[-1] in solution.in_air]


def is_fed_alike(before: Trial, after: Trial, socket: str) -> bool:
    """Whether a socket that has a plug before and after hears all that was sent there.

    What was sent counts, also where a bad lead kept it from arriving.
    """
    port, moved = (trial.solution.rig.ports.get(socket) for trial in (before, after))
    if port is None or port.link is None or moved is None or moved.link is None:
        return True
    points = {socket, *(f"{socket}.{signal}" for signal in port.plan.signals)}
    rig = before.solution.rig
    plugged = {each for link in rig.links_at.get(socket, ()) for each in link.ports}
    senders = {each for each in plugged if rig.ports[each].plan.gives}
    sent, comes = (
        {item_of(way[0]) for way in trial.solution.paths if not at.isdisjoint(way)}
        for trial, at in ((before, points | senders), (after, points))
    )
    return sent <= comes


def new_findings(before: Trial, after: Trial) -> Iterator[Finding]:
    """Findings that were not there before, or not as bad."""
    for each in after.judgement.worse_than_fine():
        if before.ranks.get(each.key, Severity.FINE.rank) < each.severity.rank:
            yield each


def verdict_after(
    before: Trial, after: Trial, finding: Finding, move: Candidate, *, leaving_old: bool = False
) -> Severity:
    """Worst that is left at the ports which the finding and the move touch, or is new.

    With ``leaving_old`` without what stood there before and is no worse.
    """
    left = _left(after, finding, move)
    if leaving_old:
        left = [each for each in left if each.severity.rank > before.ranks.get(each.key, 0)]
    new = list(new_findings(before, after))
    return worst(each.severity for each in (*left, *new))


def worst_left(before: Trial, after: Trial, finding: Finding, move: Candidate) -> Finding | None:
    """What that verdict is about, if it is worse than fine; of equals what is new."""
    found = [*new_findings(before, after), *_left(after, finding, move)]
    bad = max(found, key=lambda each: each.severity.rank, default=None)
    return None if bad is None or bad.severity is Severity.FINE else bad


def _left(after: Trial, finding: Finding, move: Candidate) -> list[Finding]:
    """All that is found where the finding and the move have a hand."""
    touched = {*finding.ports, finding.where}
    for edit in move.edits:
        if isinstance(edit, Plug):
            touched |= set(edit.link.ends.values())
        if isinstance(edit, Unplug):
            touched -= set(edit.link.ends.values())
    return [each for each in after.judgement.findings if touched & {*each.ports, each.where}]
