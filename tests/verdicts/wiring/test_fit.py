"""Plugs that do not go into their sockets."""

from __future__ import annotations

import pytest

from levelhead.show.model import Item, Show
from levelhead.verdicts.told.severity import Severity
from tests.verdicts.cases import by_wire, judged
from tests.verdicts.shows import judged_text, worst_of

ITEMS = {
    name: Item(name, type_) for name, type_ in (("t", "tone"), ("j", "jack-box"), ("d", "desk"))
}


def test_a_plug_that_fits_is_not_mentioned() -> None:
    show = Show("bench", items=ITEMS, links=(by_wire("t.out", "d.ch1.line"),))
    assert [each for each in judged(show).findings if each.family == "fit"] == []


def test_a_plug_that_does_not_go_in_fails() -> None:
    show = Show("bench", items=ITEMS, links=(by_wire("t.out", "j.in"),))
    (finding,) = (each for each in judged(show).findings if each.family == "fit")
    assert (finding.code, finding.severity, finding.where) == ("fit.plug", Severity.FAILS, "j.in")
    assert finding.what == (
        "XLR, male does not go into j, input: what is there is 6.35 mm jack, two-pole. "
        "No lead or adaptor fits both."
    )


def test_nor_does_it_carry_anything() -> None:
    show = Show("bench", items=ITEMS, links=(by_wire("t.out", "j.in"),))
    judgement = judged(show)
    assert judgement.reading.solution.paths == ()
    assert [link.verdict for link in judgement.links] == [Severity.FAILS]


def test_a_lead_that_ends_in_a_socket_is_told_as_such() -> None:
    finding = worst_of(
        """
        items: {k: {type: keyboard-stereo}, d: {type: mixer-analogue-16}}
        links:
          - {ends: {a: k.out-right, first: d.ch4.line, second: d.ch5.line}, via: [adaptor-y-jack]}
        """,
        "fit.plug",
    )
    assert finding is not None
    assert "ends in a socket (6.35 mm jack" in finding.what
    assert "does not go into" not in finding.what


@pytest.mark.parametrize(
    ("lead", "cure"),
    [
        ("{from: mic.out, to: desk.ch1.line, via: [cable-xlr 5 m]}", "What fits both: Lead, XLR"),
        (
            "{from: desk.main-left.out, to: amp.ch1.link, via: [cable-xlr 5 m]}",
            "female to female (xlr turn",
        ),
        ("{from: desk.main-left.out, to: feed.out, via: [cable-xlr 5 m]}", "Both are outputs"),
        ("{from: dmx.data, to: desk.ch1.mic, via: [cable-xlr 5 m]}", "keep them apart"),
        ("{from: amp.ch1.in, to: desk.ch1.mic, via: [cable-xlr 5 m]}", "Both are inputs"),
    ],
)
def test_what_does_not_go_in_is_told_with_what_does(lead: str, cure: str) -> None:
    """Common practice: a turnaround between two like XLR, and first of all the right lead."""
    judged_ = judged_text(f"""
        items:
          mic: {{type: mic-vocal-dynamic}}
          desk: {{type: mixer-compact}}
          amp: {{type: amplifier-two-channel}}
          feed: {{type: feed-line}}
          dmx: {{type: lighting-data}}
        links: [{lead}]
    """)
    (finding,) = (each for each in judged_.worse_than_fine() if each.code == "fit.plug")
    assert cure in finding.what
