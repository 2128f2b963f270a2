"""Findings: judged facts, with the numbers that led there (JSON as in docs/formats.md)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from levelhead.show.edit_json import edit_to_json
from levelhead.show.edits import Edit
from levelhead.verdicts.told.limit_state import Flip, LimitState
from levelhead.verdicts.told.severity import Severity, worst

__all__ = ["Compared", "Finding", "Flip", "Remedy", "Severity", "rounded", "worst"]


@dataclass(frozen=True, slots=True)
class Compared:
    """A number that was held against a limit."""

    name: str
    value: float | None
    limit: float | None
    unit: str

    def to_json(self) -> dict[str, Any]:
        """As docs/formats.md prints it."""
        return {
            "name": self.name,
            "value": rounded(self.value),
            "limit": rounded(self.limit),
            "unit": self.unit,
        }


@dataclass(frozen=True, slots=True)
class Remedy:
    """Something that was tried on a copy of the show and worked."""

    do: str
    edits: tuple[Edit, ...]
    verdict_after: Severity

    def to_json(self) -> dict[str, Any]:
        """As docs/formats.md prints it."""
        return {
            "do": self.do,
            "edits": [edit_to_json(edit) for edit in self.edits],
            "verdict_after": self.verdict_after.value,
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One judged fact (fields as in docs/formats.md).

    Attributes
    ----------
    state
        Margin (positive while things are well) with its doubts; ``None`` for what has no margin,
        like a plug that does not fit.
    ports
        The plugs that the finding is about; they tell which links it marks.
    """

    code: str
    severity: Severity
    where: str
    what: str
    why: tuple[Compared, ...]
    source: str
    basis: str
    state: LimitState | None = None
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

    @property
    def margin(self) -> float | None:
        """How far from turning; positive while things are well."""
        return None if self.state is None else self.state.margin

    @property
    def margin_unit(self) -> str:
        """Unit of the margin."""
        return "" if self.state is None else self.state.unit

    @property
    def p_holds(self) -> float:
        """Chance that it is well."""
        return 0.0 if self.state is None else self.state.p_holds

    @property
    def flips(self) -> tuple[Flip, ...]:
        """Inputs that plausibly turn the verdict, each alone."""
        return () if self.state is None else self.state.flips()

    @property
    def settle_by(self) -> str | None:
        """The cheapest question, reading or measurement that removes the heaviest doubt."""
        if self.state is None or self.severity is Severity.FINE:
            return None
        return self.state.settle_by()

    @property
    def taken(self) -> tuple[str, ...]:
        """Figures that were taken without being known, and controls that nobody knows."""
        doubts = () if self.state is None else self.state.doubts
        unknown = (
            f"{each.input}: {each.text(each.figure.value)} (not known)"
            for each in doubts
            if each.is_even
        )
        return (*self.assumed, *unknown)

    @property
    def told_source(self) -> str:
        """Which computation leads here, and which of its figures were measured on this unit."""
        doubts = () if self.state is None else self.state.doubts
        measured = [each.input for each in doubts if each.figure.source == "measured"]
        return f"{self.source}; measured: {', '.join(measured)}" if measured else self.source

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
            "why": [each.to_json() for each in self.why],
            "margin": rounded(self.margin),
            "margin_unit": self.margin_unit,
            "p_holds": round(self.p_holds, 3),
            "flips": [_flip_to_json(flip) for flip in self.flips],
            "settle_by": self.settle_by,
            "remedies": [remedy.to_json() for remedy in self.remedies],
            "assumed": list(self.taken),
            "caution": self.caution,
            "source": self.told_source,
            "basis": self.basis,
        }


def _flip_to_json(flip: Flip) -> dict[str, str]:
    return {"input": flip.input, "kind": flip.kind, "from": flip.from_, "to": flip.to}


def rounded(value: float | None, digits: int = 2) -> float | None:
    """A number for JSON: silence and no limit stay ``None``."""
    return None if value is None else round(value, digits) + 0.0
