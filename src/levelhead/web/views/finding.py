"""A finding, arranged for the eye."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final, Self

from levelhead.web.views.figures import chance, figure

Json = Mapping[str, Any]

FLIP_KINDS: Final = {
    "choice": "you choose it",
    "fact": "not known for certain",
    "chance": "differs from night to night",
}


@dataclass(frozen=True, slots=True)
class Compared:
    """One number that led to a finding."""

    name: str
    value: str
    limit: str

    @classmethod
    def from_json(cls, entry: Json) -> Self:
        """One entry of ``why``."""
        unit = str(entry.get("unit") or "")
        limit = entry.get("limit")
        shown = "" if limit is None else figure(limit, unit)
        return cls(str(entry["name"]), figure(entry.get("value"), unit), shown)


@dataclass(frozen=True, slots=True)
class Flip:
    """One input that would turn the verdict."""

    input: str
    kind: str
    from_: str
    to: str

    @classmethod
    def from_json(cls, entry: Json) -> Self:
        """One entry of ``flips``."""
        kind = str(entry.get("kind") or "")
        return cls(
            input=str(entry["input"]),
            kind=FLIP_KINDS.get(kind, kind),
            from_=figure(entry.get("from")),
            to=figure(entry.get("to")),
        )


@dataclass(frozen=True, slots=True)
class Remedy:
    """One solved way out: ``do`` names it, ``said`` is the same in the crew's words."""

    do: str
    verdict_after: str
    said: str

    @classmethod
    def from_json(cls, entry: Json) -> Self:
        """One entry of ``remedies``."""
        do = str(entry["do"])
        return cls(do, str(entry.get("verdict_after") or "depends"), str(entry.get("said") or do))


@dataclass(frozen=True, slots=True)
class FindingView:
    """One judged fact."""

    severity: str
    where: str
    what: str
    why: tuple[Compared, ...]
    margin: str
    chance: str
    flips: tuple[Flip, ...]
    settle_by: str
    remedies: tuple[Remedy, ...]
    assumed: tuple[str, ...]
    caution: str
    origin: str

    @classmethod
    def from_json(cls, finding: Json) -> Self:
        """A finding of the frozen form."""
        margin = finding.get("margin")
        origin = [str(finding.get(name) or "") for name in ("basis", "source")]
        return cls(
            severity=str(finding["severity"]),
            where=str(finding.get("where") or ""),
            what=str(finding["what"]),
            why=tuple(Compared.from_json(entry) for entry in finding.get("why") or ()),
            margin="" if margin is None else figure(margin, str(finding.get("margin_unit") or "")),
            chance=chance(finding.get("p_holds")),
            flips=tuple(Flip.from_json(entry) for entry in finding.get("flips") or ()),
            settle_by=str(finding.get("settle_by") or ""),
            remedies=tuple(Remedy.from_json(entry) for entry in finding.get("remedies") or ()),
            assumed=tuple(str(entry) for entry in finding.get("assumed") or ()),
            caution=str(finding.get("caution") or ""),
            origin="; ".join(dict.fromkeys(part for part in origin if part)),
        )
