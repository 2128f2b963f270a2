"""The worst finding of each row of the input list."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from levelhead.exchange.paperwork.input_rows import InputRow
from levelhead.verdicts.told.finding import Finding
from levelhead.verdicts.told.severity import Severity

__all__ = ["RowVerdict", "row_verdicts"]


@dataclass(frozen=True, slots=True)
class RowVerdict:
    """Worst severity of what touches a row, and what it says; nothing where all is fine."""

    severity: Severity
    what: str = ""


def row_verdicts(
    rows: Mapping[str, InputRow], findings: Iterable[Finding]
) -> dict[str, RowVerdict]:
    """A verdict for each row that is full: of its strip, and of all that stands before it."""
    by_item: dict[str, list[str]] = defaultdict(list)
    for row in rows.values():
        for name in (*row.chain, row.source_id):
            by_item[name].append(row.id)
    worst = {row.id: RowVerdict(Severity.FINE) for row in rows.values() if not row.is_free}
    for finding in findings:
        if finding.severity is Severity.FINE:
            continue
        for place in (finding.where, *finding.ports):
            strip = place if place in rows else place.rpartition(".")[0]
            for name in (strip, *by_item.get(place.partition(".")[0], ())):
                if name in worst and worst[name].severity.rank < finding.severity.rank:
                    worst[name] = RowVerdict(finding.severity, finding.what)
    return worst
