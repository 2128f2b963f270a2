"""Proposals for one more source, with the verdicts that they had, and what would make room."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from levelhead.gear.plan import PortPlan
from levelhead.planning.asked.conditions_met import Applied, Unused
from levelhead.planning.proposal.attempt import Attempt
from levelhead.planning.proposal.conditions_in_show import MetInShow
from levelhead.planning.proposal.fit import Fit, can_be_turned, fit_of
from levelhead.planning.proposal.free_inputs import Inputs
from levelhead.planning.stock import lacking, stock_words
from levelhead.show.edit_json import edit_to_json
from levelhead.show.edits import Edit
from levelhead.show.model import Show
from levelhead.show.wording import sentence
from levelhead.verdicts.told.severity import Severity

__all__ = ["Freed", "Proposal", "Proposals"]


@dataclass(frozen=True, slots=True)
class Proposal:
    """One way to do it, as edits of the show, with the verdict that they had."""

    what: str
    inputs: Inputs = field(repr=False)
    attempt: Attempt
    lacks: tuple[str, ...]
    stock: str
    do: tuple[str, ...]
    met: MetInShow = field(default_factory=MetInShow, repr=False)
    fit: Fit = field(default_factory=Fit, repr=False)

    @property
    def merit(self) -> tuple[bool, int, bool, int, int, bool, int, int]:
        """What goes first: less is better.

        Usable first, then what takes what was said, leaves the rest alone, is there, the verdict,
        what can be turned, what wants no outlet of its own, the fewest switches.
        """
        attempt = self.attempt
        return (
            not self.is_usable,
            len(self.met.unused),
            bool(attempt.elsewhere),
            len(self.lacks),
            self.verdict.rank,
            attempt.gain is None and not all(map(can_be_turned, self.inputs)),
            attempt.outlets,
            len(attempt.needs),
        )

    @property
    def verdict(self) -> Severity:
        """Worst of what is new and of what is found at its sockets."""
        return self.attempt.verdict

    @property
    def is_usable(self) -> bool:
        """Whether it neither fails nor harms."""
        return self.verdict.rank < Severity.FAILS.rank

    @classmethod
    def told(
        cls,
        show: Show,
        what: str,
        inputs: Inputs,
        attempt: Attempt,
        outputs: Sequence[PortPlan],
        brought: Sequence[Edit] = (),
    ) -> Proposal:
        """An attempt in the crew's words, with what it needs from the stock.

        ``outputs`` are what goes into the inputs. ``brought`` is what comes along with who plays
        it, and is looked for in no stock.
        """
        needed = [edit for edit in attempt.edits if edit not in brought]
        do = tuple(sentence(edit, show) for edit in attempt.edits)
        lacks, stock = lacking(show, needed), stock_words(show, needed)
        fit = fit_of(outputs, inputs, attempt.gain)
        return cls(what, inputs, attempt, lacks, stock, do, fit=fit)

    def to_json(self) -> dict[str, Any]:
        """As docs/formats.md prints it."""
        gain = self.attempt.gain
        return {
            "what": self.what,
            "verdict": self.verdict.value,
            "why": self.attempt.why,
            "into": [{"address": each.address, "label": each.label} for each in self.inputs],
            "needs": list(self.attempt.needs),
            "not_in_stock": list(self.lacks),
            "gain": None if gain is None else gain.to_json(),
            "do": list(self.do),
            "edits": [edit_to_json(edit) for edit in self.attempt.edits],
            "worse_elsewhere": [each.to_json() for each in self.attempt.elsewhere],
            "findings": [each.to_json() for each in self.attempt.findings],
        }


@dataclass(frozen=True, slots=True)
class Freed:
    """What would make room, and the proposal that then held."""

    do: str
    edits: tuple[Edit, ...]
    then: Proposal

    def to_json(self) -> dict[str, Any]:
        """As docs/formats.md prints it."""
        return {
            "do": self.do,
            "edits": [edit_to_json(edit) for edit in self.edits],
            "then": self.then.to_json(),
        }


@dataclass(frozen=True, slots=True)
class Proposals:
    """Proposals, best first; without a usable one ``why_not`` says why and ``frees`` what helps."""

    asked: str
    understood: tuple[str, ...]
    proposals: tuple[Proposal, ...]
    why_not: str | None = None
    frees: tuple[Freed, ...] = ()
    not_used: tuple[Unused, ...] = ()
    met: MetInShow = field(default_factory=MetInShow, repr=False)

    @property
    def conditions(self) -> tuple[Applied, ...]:
        """What was said of switches, knobs and leads, and holds in the best one."""
        return self.met.applied

    @property
    def verdict(self) -> Severity:
        """That of the best; ``fails`` where there is none."""
        return self.proposals[0].verdict if self.proposals else Severity.FAILS

    def to_json(self) -> dict[str, Any]:
        """As docs/formats.md prints it."""
        return {
            "asked": self.asked,
            "understood": list(self.understood),
            "verdict": self.verdict.value,
            "proposals": [each.to_json() for each in self.proposals],
            "why_not": self.why_not,
            "frees": [each.to_json() for each in self.frees],
            "conditions": [each.to_json() for each in self.conditions],
            "not_used": [each.to_json() for each in self.not_used],
        }
