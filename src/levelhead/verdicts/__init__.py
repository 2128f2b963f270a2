"""Verdicts: rules read a solved rig and yield findings. One small module a family."""

from __future__ import annotations

from levelhead.verdicts.finding import Compared, Finding, Flip, Remedy, Severity
from levelhead.verdicts.folding import Folded, folded
from levelhead.verdicts.judge import Judgement, LinkVerdict, judge

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
