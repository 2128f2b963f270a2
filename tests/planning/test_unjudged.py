"""What a check says that it did not judge."""

from __future__ import annotations

import pytest

from levelhead.cli.reports.check import check_report
from levelhead.gear.book import load_book
from levelhead.planning.check import check_show
from levelhead.show.document import parse_show

LIST = """\
levelhead: 1
show: {name: Hall}
items:
  vox: {type: mic-vocal-dynamic, label: Anna's microphone}
  desk: {type: mixer-compact, label: Desk}
  left: {type: loudspeaker-powered-12}
  tape: {type: recorder-mic}
links:
  - {from: vox.out, to: desk.ch1.mic, via: [cable-xlr 10 m]}
"""
SILENT = LIST.replace("  left: {type: loudspeaker-powered-12}\n", "")
PLUGGED = "  - {from: desk.main-left.out, to: tape.ch1.mic, via: [cable-xlr 10 m]}\n"
NO_MIXER = """\
levelhead: 1
show: {name: Hall}
items: {vox: {type: mic-vocal-dynamic}, tape: {type: recorder-mic}}
links: [{from: vox.out, to: tape.ch1.mic, via: [cable-xlr 2 m]}]
"""


def notes_of(text: str) -> tuple[str, ...]:
    return check_show(parse_show(text, "hall").show, load_book()).notes


def test_inputs_alone_are_fine_and_it_is_said_what_was_not_judged() -> None:
    """A band's list without a loudspeaker: a note, the verdict stays what it is."""
    check = check_show(parse_show(SILENT, "hall").show, load_book())
    assert check.verdict.value == "fine"
    assert check.notes[0].startswith("No loudspeaker is in the rig: nothing behind Desk was judged")
    report = check_report(check, path="hall.yaml", in_full=False)
    assert "Note    No loudspeaker is in the rig" in report
    assert check.to_json()["notes"] == list(check.notes)
    assert check.only("phantom").notes == ()


@pytest.mark.parametrize(
    ("text", "why"),
    [
        (LIST, "a loudspeaker is there"),
        (SILENT + PLUGGED, "what hangs on the outputs was judged"),
        (NO_MIXER, "no mixer"),
    ],
)
def test_nothing_is_said_where_it_was_judged(text: str, why: str) -> None:
    assert notes_of(text) == (), why


def test_a_wireless_set_is_no_mixer_with_something_behind_it() -> None:
    """Its receiver is plugged into the desk: still nothing hangs on the desk."""
    text = (
        "levelhead: 1\nshow: {name: List}\n"
        "items: {vox: {type: wireless-handheld}, desk: {type: mixer-digital-16, label: Desk}}\n"
        "links: [{from: vox.out, to: desk.ch1.mic, via: [cable-xlr 5 m]}]\n"
    )
    (note,) = notes_of(text)
    assert note.startswith("No loudspeaker is in the rig: nothing behind Desk was judged")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("levelhead: 1\nshow: {name: Hall}\n", "No item is in the show"),
        (SILENT.partition("links:")[0], "Nothing is plugged"),
    ],
)
def test_a_show_without_items_or_links_is_not_called_fine(text: str, said: str) -> None:
    """It read FINE, and was told to be printed."""
    check = check_show(parse_show(text, "hall").show, load_book())
    (note,) = check.notes
    assert note.startswith(said)
    report = check_report(check, path="hall.yaml", in_full=False)
    assert report.startswith("EMPTY ")
    assert "FINE" not in report
    assert "Print" not in report
    assert f"Note    {said}" in report
