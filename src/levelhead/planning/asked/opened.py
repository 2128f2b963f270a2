"""The send of a mixer opened, where a question asks about an output that it feeds.

Sends stand at off until somebody turns them up; who asks about an aux output means one that plays.
"""

from __future__ import annotations

import math

from levelhead.planning.asked.little_rig import QuestionRig
from levelhead.planning.trial import Trial
from levelhead.show.addresses import item_of
from levelhead.show.edits import Set

__all__ = ["opened"]


def opened(trial: Trial, question: QuestionRig) -> Trial:
    """The trial with the first send at 0 dB that brings a signal to the socket asked about."""
    rig = trial.solution.rig
    if _has_signal(trial, question.from_) is not False:
        return trial
    for address, control in rig.controls.items():
        is_own = item_of(address) == item_of(question.from_) and address not in rig.settings
        if not is_own or control.kind != "range" or math.isfinite(rig.setting_db(address)):
            continue
        after = trial.after([Set(address, "0 dB")])
        if after is not None and _has_signal(after, question.from_):
            return after
    return trial


def _has_signal(trial: Trial, port: str) -> bool | None:
    """Whether a signal stands at a socket; ``None`` where it has no point."""
    index = trial.solution.graph.index
    return bool(trial.solution.nominal[index[port]] > 0) if port in index else None
