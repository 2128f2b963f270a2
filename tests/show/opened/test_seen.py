"""What others changed unseen: refused over what stands there, not where nothing does."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from levelhead.show.model import Item, Show
from levelhead.show.opened.cells import touched
from levelhead.show.opened.seen import Author, Seen
from levelhead.show.opened.undoing import StaleError

BEFORE = Show("Hall", items={"desk": Item("desk", "mixer-compact")})
ANNA = Author("a", "Anna", seen=0, at=datetime(2026, 11, 28, tzinfo=UTC))
NOTE = ("items", "vox", "note")


def with_vox(note: str) -> Show:
    return replace(
        BEFORE, items={**BEFORE.items, "vox": Item("vox", "mic-vocal-dynamic", note=note)}
    )


def seen_after(*shows: Show) -> Seen:
    """Ben brought one show after another."""
    seen, before = Seen(), BEFORE
    for revision, show in enumerate(shows, 1):
        seen.mark(touched(before, show), revision, "b", "Ben")
        before = show
    return seen


def test_an_empty_field_of_what_somebody_brought_may_be_filled_unseen() -> None:
    """Anna's note waited for the microphone that Ben plugged: nobody's word is lost."""
    seen_after(with_vox("")).check([NOTE], ANNA, with_vox(""))


@pytest.mark.parametrize(
    "shows",
    [
        pytest.param([with_vox("spare")], id="brought with a note"),
        pytest.param([with_vox(""), with_vox("spare")], id="noted later"),
        pytest.param([with_vox("old"), with_vox("")], id="cleared later"),
    ],
)
def test_what_somebody_wrote_or_cleared_unseen_stays(shows: list[Show]) -> None:
    with pytest.raises(StaleError, match="Ben changed note of vox"):
        seen_after(*shows).check([NOTE], ANNA, shows[-1])
