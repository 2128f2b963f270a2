"""Loudspeakers that a remedy would silence, and where that is better than what they do."""

from __future__ import annotations

from collections.abc import Iterable

from levelhead.planning.trial import Trial
from levelhead.show.edits import Edit, Unplug
from levelhead.show.model import Show
from levelhead.verdicts.amplifiers.loads import LOAD
from levelhead.verdicts.told.finding import Finding

__all__ = ["heard_again", "may_silence", "silence_words", "silenced"]


def silenced(before: Trial, after: Trial) -> frozenset[str]:
    """Items that no sound comes out of any more."""
    return _playing(before) - _playing(after)


def heard_again(before: Trial, after: Trial) -> frozenset[str]:
    """Items that sound comes out of now, and did not before."""
    return _playing(after) - _playing(before)


def _playing(trial: Trial) -> frozenset[str]:
    """Items that a signal comes out of into the air."""
    solution = trial.solution
    ends = {way[-1] for way in solution.paths}
    return frozenset(solution.point(end).item for end in ends & solution.in_air)


def may_silence(finding: Finding, edits: Iterable[Edit]) -> bool:
    """Whether a loudspeaker may be given up: where an amplifier sees more than it bears."""
    return finding.code == LOAD and all(isinstance(each, Unplug) for each in edits)


def silence_words(show: Show, silent: Iterable[str]) -> str:
    """Who plays no longer, by their labels."""
    names = [show.items[each].called for each in sorted(silent)]
    verb = "stays" if len(names) == 1 else "stay"
    return f"{' and '.join(names)} {verb} silent" if names else ""
