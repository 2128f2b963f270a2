"""Findings: judged facts, with the numbers that led there. Their JSON is frozen in docs/formats.md."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Any

from levelhead.show.edit_json import edit_to_json
from levelhead.show.edits import Edit

__all__ = ["Compared", "Finding", "Flip", "Remedy", "Severity", "worst"]


class Severity(StrEnum):
    """How bad it is, from nothing to do to people or gear that can be hurt."""

    FINE = "fine"
    CARE = "care"
    FAILS = "fails"
    HARM = "harm"

    @property
    def rank(self) -> int:
        """0 for fine to 3 for harm."""
        return list(Severity).index(self)


def worst(severities: Sequence[Severity]) -> Severity:
    """The worst of several; fine when there are none."""
    return max(severities, key=lambda severity: severity.rank, default=Severity.FINE)


@dataclass(frozen=True, slots=True)
class Compared:
    """A number that was held against a limit."""

    name: str
    value: float | None
    limit: float | None
    unit: str


@dataclass(frozen=True, slots=True)
class Flip:
    """A value of one input, alone, at which the verdict turns."""

    input: str
    kind: str  # choice, fact or chance
    from_: str
    to: str


@dataclass(frozen=True, slots=True)
class Remedy:
    """Something that was tried on a copy of the show and worked."""

    do: str
    edits: tuple[Edit, ...]
    verdict_after: Severity


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One judged fact (fields as in docs/formats.md). ``margin`` is positive while things are well.

    ``ports`` are the plugs that the finding is about; they tell which links it marks.
    """

    code: str
    severity: Severity
    where: str
    what: str
    why: tuple[Compared, ...]
    margin: float | None
    margin_unit: str
    p_holds: float
    source: str
    basis: str
    flips: tuple[Flip, ...] = ()
    settle_by: str | None = None
    remedies: tuple[Remedy, ...] = ()
    assumed: tuple[str, ...] = ()
    ports: tuple[str, ...] = ()
    caution: str | None = None

    @property
    def family(self) -> str:
        """First part of the code."""
        return self.code.partition(".")[0]

    @property
    def key(self) -> tuple[str, str]:
        """What makes two findings the same fact in two solutions."""
        return self.code, self.where

    def with_remedies(self, remedies: Sequence[Remedy]) -> Finding:
        """The same finding with its tried remedies."""
        return replace(self, remedies=tuple(remedies))

    def to_json(self) -> dict[str, Any]:
        """As docs/formats.md prints it; numbers are rounded to what they are good for."""
        return {
            "code": self.code,
            "family": self.family,
            "severity": self.severity.value,
            "where": self.where,
            "what": self.what,
            "why": [
                {
                    "name": each.name,
                    "value": rounded(each.value),
                    "limit": rounded(each.limit),
                    "unit": each.unit,
                }
                for each in self.why
            ],
            "margin": rounded(self.margin),
            "margin_unit": self.margin_unit,
            "p_holds": round(self.p_holds, 3),
            "flips": [
                {"input": flip.input, "kind": flip.kind, "from": flip.from_, "to": flip.to}
                for flip in self.flips
            ],
            "settle_by": self.settle_by,
            "remedies": [
                {
                    "do": remedy.do,
                    "edits": [edit_to_json(edit) for edit in remedy.edits],
                    "verdict_after": remedy.verdict_after.value,
                }
                for remedy in self.remedies
            ],
            "assumed": list(self.assumed),
            "caution": self.caution,
            "source": self.source,
            "basis": self.basis,
        }


def rounded(value: float | None, digits: int = 2) -> float | None:
    """A number for JSON: silence and no limit stay ``None``."""
    return None if value is None else round(value, digits) + 0.0
