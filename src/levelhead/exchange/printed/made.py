"""Paper as it was made beside the show as it is: read from the history, remembered in it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime

from levelhead.exchange.printed.pages import lying_after
from levelhead.exchange.printed.since import Beside, Held, Since, changes_since, held, made_of
from levelhead.exchange.sheet.values import Sheet
from levelhead.show.document import parse_show
from levelhead.show.fingerprint import fingerprint
from levelhead.show.history.journal import History
from levelhead.show.history.kept_texts import keep_text, kept_text
from levelhead.show.history.printed import How, Printed, last_printed, note_printed
from levelhead.show.model import Show

__all__ = ["Paper", "contents_of", "remember", "since_printed", "stale_names", "wanted_pages"]


def contents_of(sheets: Sequence[Sheet]) -> dict[str, str]:
    """By the name of each sheet, the text that tells what stands on it."""
    return {sheet.name: made_of(sheet).content for sheet in sheets}


@dataclass(frozen=True, slots=True)
class Paper:
    """Sheets as they were made just now, each by its name.

    Attributes
    ----------
    contents
        The text that tells what stands on it.
    hows, pages
        How it was printed, and what tells the content of its pages; none of a spreadsheet.
    kept
        Sheets of which unchanged pages stay, as they were printed before.
    """

    contents: Mapping[str, str]
    hows: Mapping[str, How] = field(default_factory=dict)
    pages: Mapping[str, Sequence[str]] = field(default_factory=dict)
    kept: Mapping[str, Printed] = field(default_factory=dict)

    def printed(self, state: str, *, at: datetime, by: str) -> list[Printed]:
        """What is remembered of it."""
        lying = lying_after(self.pages, state, self.kept)
        return [
            Printed(name, content, state, at, by, self.hows.get(name, How()), lying.get(name, ()))
            for name, content in self.contents.items()
        ]


def remember(
    history: History, show: Show, text: str, paper: Paper, *, at: datetime, by: str
) -> None:
    """Keep the state that paper was made of, and what stands on each sheet and page.

    Raises
    ------
    ShowError
        The history cannot be written.
    """
    state = fingerprint(show)
    if kept_text(history, state) is None:
        reason = f"printed {', '.join(paper.contents)}"
        keep_text(history, text, state, at=at, person=by, reason=reason)
    note_printed(history, paper.printed(state, at=at, by=by))


def since_printed(history: History, show: Show, now: Beside) -> tuple[Since, ...]:
    """What was printed last of each sheet, by the state it was printed of, with what changed since.

    Parameters
    ----------
    now
        Sheets as they would be made now, by name: those of :func:`last_printed` at least.
    """
    by_state: dict[str, list[Held]] = {}
    for each in last_printed(history):
        if each.name in now.made:
            found = held(each, now.made[each.name], now.pages.get(each.name, ()))
            by_state.setdefault(each.fingerprint, []).append(found)
    return tuple(_since(history, show, state, found) for state, found in by_state.items())


def _since(history: History, show: Show, state: str, found: Sequence[Held]) -> Since:
    text = kept_text(history, state)
    if text is None:
        return Since(state, tuple(found), (), is_known=False)
    then = parse_show(text, f"state {state}").show
    first = min(each.printed.at for each in found)
    steps = [step for step in history.steps_after(0) if step.at >= first]
    return Since(state, tuple(found), changes_since(then, show, steps))


def stale_names(found: Sequence[Since]) -> tuple[str, ...]:
    """Sheets that are out of date, in the order in which they were first printed."""
    return tuple(
        each.printed.name for since in found for each in since.sheets if not each.is_current
    )


def wanted_pages(found: Sequence[Since]) -> dict[str, tuple[int, ...]]:
    """By the name of a sheet that is out of date, its pages to print; others are printed whole."""
    return {
        each.printed.name: each.pages.comes
        for since in found
        for each in since.sheets
        if not each.is_current and each.pages is not None
    }
