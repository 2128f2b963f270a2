"""Paper as it was made beside the show as it is: read from the history, remembered in it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime

from levelhead.exchange.sheet import Sheet
from levelhead.exchange.since_printed import Held, Made, Since, changes_since, held, made_of
from levelhead.show.document import parse_show
from levelhead.show.fingerprint import fingerprint
from levelhead.show.history import History
from levelhead.show.model import Show
from levelhead.show.printed import Printed, last_printed, note_printed

__all__ = ["contents_of", "printed_names", "remember", "since_printed", "stale_names"]


def contents_of(sheets: Sequence[Sheet]) -> dict[str, str]:
    """By the name of each sheet, the text that tells what stands on it."""
    return {sheet.name: made_of(sheet).content for sheet in sheets}


def remember(
    history: History, show: Show, text: str, contents: Mapping[str, str], *, at: datetime, by: str
) -> None:
    """Keep the state that paper was made of, and what stands on each sheet.

    Raises
    ------
    ShowError
        The history cannot be written.
    """
    state = fingerprint(show)
    if history.text_of(state) is None:
        reason = f"printed {', '.join(contents)}"
        history.keep(text, state, at=at, person=by, reason=reason)
    note_printed(history, contents, state, at=at, person=by)


def since_printed(history: History, show: Show, made: Mapping[str, Made]) -> tuple[Since, ...]:
    """What was printed last of each sheet, by the state it was printed of, with what changed since.

    Parameters
    ----------
    made
        Sheets as they would be made now, by name: those of :func:`last_printed` at least.
    """
    by_state: dict[str, list[Held]] = {}
    for each in last_printed(history):
        if each.name in made:
            by_state.setdefault(each.fingerprint, []).append(held(each, made[each.name]))
    return tuple(_since(history, show, state, found) for state, found in by_state.items())


def _since(history: History, show: Show, state: str, found: Sequence[Held]) -> Since:
    text = history.text_of(state)
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


def printed_names(history: History) -> tuple[str, ...]:
    """Sheets that were printed at some time."""
    found: Sequence[Printed] = last_printed(history)
    return tuple(each.name for each in found)
