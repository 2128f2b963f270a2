"""What the pictures of a sheet show, before anything is drawn: the same for every paper size."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:  # a page that shows lists loads nothing that solves
    from levelhead.chain.solution import Solution
    from levelhead.verdicts.told.finding import Finding

__all__ = ["Pictured", "Stage"]


@dataclass(frozen=True, slots=True)
class Stage:
    """What stands on a stage plan, by ids of the show.

    Attributes
    ----------
    items
        What is drawn where it stands.
    lines
        Leads between two of them: who gives, who takes.
    words
        What is written under the name of each: where its lines go.
    drops
        Mains drops by what they are called, with the items that they feed.
    """

    items: tuple[str, ...] = ()
    lines: tuple[tuple[str, str], ...] = ()
    words: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    drops: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Pictured:
    """A picture: its kind, the solved show that it is of, and which part of it.

    ``words`` are said instead of it, and stand above it where there are several. ``way`` is that of
    a level diagram, ``stage`` that of a stage plan.
    """

    kind: Literal["flow", "wiring", "levels", "stage", "seats"]
    words: str
    solution: Solution
    findings: tuple[Finding, ...] = ()
    way: tuple[str, ...] = ()
    stage: Stage = field(default_factory=Stage)
