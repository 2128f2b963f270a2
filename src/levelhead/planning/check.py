"""A whole show checked: findings with tried remedies, and the unknown controls that decide."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, Final

from levelhead.gear.book import GearBook
from levelhead.planning.remedy.offers import Progress, with_remedies
from levelhead.planning.settle import Branch
from levelhead.planning.trial import Trial, try_show
from levelhead.planning.unjudged import notes_on
from levelhead.planning.unknowns import unknown_branches, verdict_with_unknowns
from levelhead.rig.build import Locator
from levelhead.show.model import Show
from levelhead.verdicts.spares.single_points import FAMILY as SPARES
from levelhead.verdicts.spares.single_points import SPARES_RULES
from levelhead.verdicts.told.finding import Finding, Severity, worst

__all__ = ["NOTHING_JUDGED", "Check", "check_show"]

NOTHING_JUDGED: Final = "EMPTY"  # in place of a verdict's word, where nothing was judged


@dataclass(frozen=True, slots=True)
class Check:
    """The verdict of a show (fields as in docs/formats.md), or of one ``family`` of rules on it."""

    verdict: Severity
    findings: tuple[Finding, ...]
    depends_on: tuple[Branch, ...]
    trial: Trial
    family: str | None = None

    def __repr__(self) -> str:
        return f"Check({self.verdict.value}, {len(self.findings)} findings, {self.trial!r})"

    def shown(self, *, include_fine: bool) -> tuple[Finding, ...]:
        """Findings that somebody would act on, or all."""
        return tuple(
            each for each in self.findings if include_fine or each.severity is not Severity.FINE
        )

    @property
    def word(self) -> str:
        """The verdict in capitals; of nothing at all that was judged, none of the four."""
        return self.verdict.value.upper() if self.findings or self.family else NOTHING_JUDGED

    @property
    def notes(self) -> tuple[str, ...]:
        """What was not judged, because the rig has none of it."""
        return notes_on(self.trial.solution.rig) if self.family is None else ()

    def only(self, family: str | None) -> Check:
        """The same judged by the codes of one family; all of it where none is named."""
        if family is None:
            return self
        kept = tuple(each for each in self.findings if each.family == family)
        return replace(
            self, verdict=worst(each.severity for each in kept), findings=kept, family=family
        )

    def to_json(self, *, include_fine: bool = False) -> dict[str, Any]:
        """As docs/formats.md prints it."""
        return {
            "verdict": self.verdict.value,
            "depends_on": [branch.to_json() for branch in self.depends_on],
            "notes": list(self.notes),
            "findings": [each.to_json() for each in self.shown(include_fine=include_fine)],
            "links": self.trial.judgement.links_to_json(),
        }


def check_show(
    show: Show,
    book: GearBook,
    locator: Locator | None = None,
    family: str | None = None,
    told: Progress | None = None,
) -> Check:
    """Solve, judge, and try remedies for everything that is worse than fine.

    ``told`` hears how far the trying is. Single points of failure are told only when their
    ``family`` is asked for.
    """
    trial = try_show(show, book, locator)
    if family == SPARES:
        found = tuple(each for rule in SPARES_RULES for each in rule(trial.reading))
        return Check(worst(each.severity for each in found), found, (), trial, family)
    branches = unknown_branches(trial)
    findings = with_remedies(trial, trial.judgement.findings, told=told)
    trial.let_go_all()
    return Check(
        verdict=verdict_with_unknowns(trial.judgement.verdict, branches),
        findings=findings,
        depends_on=branches,
        trial=trial,
    )
