"""Plugs that do not go into their sockets."""

from __future__ import annotations

from levelhead.show.model import Item, Show
from levelhead.verdicts.severity import Severity
from tests.verdicts.cases import by_wire, judged
from tests.verdicts.shows import worst_of

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
