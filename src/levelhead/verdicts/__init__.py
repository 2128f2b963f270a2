"""Verdicts: rules read a solved rig and yield findings. One small module a family."""

from __future__ import annotations

from levelhead.verdicts.judge import Judgement, LinkVerdict, judge
from levelhead.verdicts.told.finding import Compared, Finding, Flip, Remedy, Severity
from levelhead.verdicts.told.folding import Folded, folded

__all__ = [
    "Compared",
    "Finding",
    "Flip",
    "Folded",
    "Judgement",
    "LinkVerdict",
    "Remedy",
    "Severity",
    "folded",
    "judge",
]
