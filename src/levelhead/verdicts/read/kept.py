"""Findings that outlive an edit, by rule and place, with what each of them was read from.

A finding keeps the reading that it was made from, since its doubts are worked out when somebody
asks. So that a long evening of edits does not keep every solution of it in memory, only
``MOST_HELD`` readings are held: of more, those with the fewest findings go, and the places that
were judged there are judged afresh.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Mapping
from dataclasses import dataclass, field
from typing import Any, Final, Generic, NamedTuple, TypeVar

import numpy as np
from numpy.typing import NDArray

from levelhead.gear.plan import PortPlan
from levelhead.verdicts.read import delivered
from levelhead.verdicts.read.strips import Known
from levelhead.verdicts.told.finding import Finding

__all__ = ["MOST_HELD", "Kept", "Made", "Note", "Told", "Worked"]

MOST_HELD: Final = 6
Made = TypeVar("Made")
OnOwnLoads = dict[Hashable, tuple[PortPlan, NDArray[np.complex128] | None]]


class Told(NamedTuple):
    """What was found at a place, what it was read from, and in which reading."""

    reads: tuple[object, ...]
    findings: tuple[Finding, ...]
    number: int


@dataclass(frozen=True, eq=False)
class Kept:
    """What was told of the places of each rule, in one reading or any before it.

    No reading holds it: else each of them would hold on to all that were before.
    """

    by_rule: dict[object, Mapping[Hashable, Told]] = field(default_factory=dict)

    def __repr__(self) -> str:
        return f"Kept({len(self.by_rule)} rules)"

    def after(self) -> Kept:
        """What the next reading starts with."""
        held = Counter(told.number for each in self.by_rule.values() for told in each.values())
        if len(held) <= MOST_HELD:
            return Kept(dict(self.by_rule))
        held_on = {each for each, _ in held.most_common(MOST_HELD)}
        return Kept(
            {
                rule: {name: told for name, told in each.items() if told.number in held_on}
                for rule, each in self.by_rule.items()
            }
        )


@dataclass(frozen=True, eq=False)
class Note(Generic[Made]):
    """Something that a rule notes of the wiring alone, by the type of what is noted.

    Each rule has one of its own, made once; two of the same words are not the same note.
    """

    of: str


@dataclass(frozen=True, eq=False)
class Worked:
    """What readings of a row of edits have worked out besides.

    ``strips`` stand with the stamps that they were read with, ``on_own_loads`` is what outputs give
    to the load that they are made for, each with the plan of the socket (it keeps its number),
    ``delivered`` the most that arrives through an island, with the reach of its outputs; ``noted``
    is what rules read of the wiring alone, by their note and the place, with what that hangs on.
    """

    strips: Known = field(default_factory=dict)
    on_own_loads: OnOwnLoads = field(default_factory=dict)
    delivered: delivered.Known = field(default_factory=dict)
    noted: dict[tuple[Note[Any], Hashable], tuple[tuple[object, ...], Any]] = field(
        default_factory=dict
    )

    def __repr__(self) -> str:
        return f"Worked({len(self.strips)} strips, {len(self.on_own_loads)} outputs)"

    def after(self) -> Worked:
        """What the next reading starts with."""
        return Worked(dict(self.strips), self.on_own_loads, dict(self.delivered), dict(self.noted))
