"""``levelhead diff``: what changed between two shows, in the crew's words, and what it does."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final

from levelhead.cli.reports.columns import entry
from levelhead.exchange.paperwork.named import Named
from levelhead.exchange.printed.changes_sheet import cables_words
from levelhead.exchange.printed.crew_changes import cables_changed, crew_changes
from levelhead.planning.trial import Trial
from levelhead.show.edit_json import edit_to_json
from levelhead.verdicts.told.finding import Finding
from levelhead.verdicts.told.severity import Severity

__all__ = ["DIFFERS", "SAME", "diff_json", "diff_report", "write_diff"]

SAME: Final = 0
DIFFERS: Final = 1


def diff_report(old: Trial, new: Trial) -> tuple[str, int]:
    """Changes, cables, and findings that come or go; with the exit status."""
    shows = old.show, new.show
    changes = crew_changes(*shows)
    if not changes:
        return "Nothing changed.", SAME
    named = Named(new.show, new.solution.rig)
    told = enumerate(map(named.sentence, (each.line for each in changes)), 1)
    lines = [line for number, words in told for line in entry(str(number), words)]
    cables = cables_words(*shows, named)
    if cables:
        lines += ["", *entry("Cables", cables)]
    lines += ["", *entry("Verdict", _verdicts(old, new))]
    gone, came = _apart(old.judgement.findings, new.judgement.findings)
    lines += [line for each in came for line in entry("New", _told(each))]
    lines += [line for each in gone for line in entry("Gone", _told(each))]
    return "\n".join(lines), DIFFERS


def _verdicts(old: Trial, new: Trial) -> str:
    before, after = old.judgement.verdict.value, new.judgement.verdict.value
    return f"{after} as before" if before == after else f"{after}, was {before}"


def _apart(old: Sequence[Finding], new: Sequence[Finding]) -> tuple[list[Finding], list[Finding]]:
    """Findings worse than fine that only one of the two has, or that are worse there."""
    before = {each.key: each for each in old if each.severity is not Severity.FINE}
    after = {each.key: each for each in new if each.severity is not Severity.FINE}
    gone = [each for key, each in before.items() if key not in after]
    came = [
        each
        for key, each in after.items()
        if key not in before or before[key].severity.rank < each.severity.rank
    ]
    return gone, came


def _told(finding: Finding) -> str:
    return f"{finding.severity.value}: {finding.what}"


def diff_json(old: Trial, new: Trial) -> dict[str, Any]:
    """The same as docs/formats.md prints it."""
    shows, named = (old.show, new.show), Named(new.show, new.solution.rig)
    gone, came = _apart(old.judgement.findings, new.judgement.findings)
    return {
        "changes": [
            {
                "line": named.sentence(each.line),
                "edits": [edit_to_json(edit) for edit in each.edits],
            }
            for each in crew_changes(*shows)
        ],
        "cables": [{"cable": name, "more": by} for name, by in cables_changed(*shows)],
        "verdict": {"before": old.judgement.verdict.value, "after": new.judgement.verdict.value},
        "new": [{"code": each.code, "where": each.where, "what": each.what} for each in came],
        "gone": [{"code": each.code, "where": each.where, "what": each.what} for each in gone],
    }


def write_diff(old: Trial, new: Trial, place: str) -> None:
    """The changes as a sheet.

    Raises
    ------
    PaperError
        A name that no writer knows, or a place that cannot be written.
    """
    from levelhead.cli.commands.paper import write_sheets
    from levelhead.exchange.printed.changes_sheet import changes_sheet
    from levelhead.exchange.printed.since import Dated
    from levelhead.exchange.sheet.plan import sheet_head
    from levelhead.show.fingerprint import fingerprint

    named = Named(new.show, new.solution.rig)
    changes = [
        Dated(named.sentence(each.line), None, "", each.edits)
        for each in crew_changes(old.show, new.show)
    ]
    cables = cables_words(old.show, new.show, named)
    note = f"From {old.show.name}, state {fingerprint(old.show)}, to {new.show.name}."
    note += f" Cables: {cables}." if cables else ""
    sheet = changes_sheet(sheet_head(new.solution), [("", changes)], note)
    write_sheets(Path(place), [sheet], is_phone=False, page="a4")
