"""A show that was checked, arranged for the eye."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final, Self

from levelhead.drawing.marks import Mark, mark_of
from levelhead.exchange.paperwork.crew_words import crew_words
from levelhead.exchange.paperwork.work import Paperwork
from levelhead.planning.check import Check
from levelhead.show.model import Show
from levelhead.verdicts.told.finding import Finding
from levelhead.web.views.finding import FindingView

__all__ = ["CheckView", "Told"]

_SAID: Final = {
    "fine": "Every connection of it is well.",
    "care": "It works; what wants care stands below.",
    "fails": "Something in it will not do its job.",
    "harm": "Something in it can hurt people or gear.",
}


@dataclass(frozen=True, slots=True)
class Told:
    """A finding, and the code by which it is named when its remedy is to be done."""

    code: str
    view: FindingView


@dataclass(frozen=True, slots=True)
class CheckView:
    """Everything that the page of a show says."""

    title: str
    size: str
    verdict: str
    mark: Mark
    why: str
    told: tuple[Told, ...]
    fine: int
    cautions: tuple[str, ...]
    notes: tuple[str, ...]

    @classmethod
    def of(cls, show: Show, check: Check) -> Self:
        """What is worse than fine, worst first."""
        bad = check.shown(include_fine=False)
        views = [FindingView.from_json(_in_crew_words(each, check)) for each in bad]
        everything = check.shown(include_fine=True)
        return cls(
            title=show.name,
            size=f"{len(show.items)} pieces of gear, {len(show.links)} leads",
            verdict=check.verdict.value,
            mark=mark_of(check.verdict.value),
            why=_SAID[check.verdict.value],
            told=tuple(Told(each.code, view) for each, view in zip(bad, views, strict=True)),
            fine=len(everything) - len(bad),
            cautions=tuple(dict.fromkeys(each.caution for each in views if each.caution)),
            notes=check.notes,
        )


def _in_crew_words(finding: Finding, check: Check) -> dict[str, Any]:
    """A finding with the words that stand on the gear; ``do`` of a remedy stays what names it."""
    work, content = Paperwork(check), finding.to_json()
    for name in ("what", "settle_by"):
        content[name] = content[name] and crew_words(work, content[name])
    for remedy in content["remedies"]:
        remedy["said"] = crew_words(work, remedy["do"])
    return content
