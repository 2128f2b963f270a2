"""Inserts: what comes back, which contact sends, and plugs at their first click."""

from __future__ import annotations

import pytest

from levelhead.planning.remedy.remedies import remedies_for
from levelhead.verdicts.told.finding import Finding
from levelhead.verdicts.told.severity import Severity
from levelhead.verdicts.wiring.inserts import HALF_IN, INSERT, SWAPPED
from tests.verdicts.shows import tried_text, worst_of

RIGHT = "{ends: {a: d.ch1.insert, send: c.in, return: c.out}, via: [lead-insert 2 m]}"
CROSSED = "{ends: {a: d.ch1.insert, send: c.out, return: c.in}, via: [lead-insert 2 m]}"
PLAIN = "{from: d.ch1.insert, to: r.in-left, via: [lead-phono-jack 3 m]}"
JOINED = "{from: d.ch1.insert, to: r.in-left, via: [lead-direct-out 3 m, adaptor-jack-phono]}"


def show(link: str, wiring: str | None = "tip-send", figures: str = "") -> str:
    """A line feed into a channel, and what its insert is plugged to."""
    said = "" if wiring is None else f", insert-wiring: {wiring}"
    return f"""
        items:
          f: {{type: feed-line}}
          d:
            type: mixer-analogue-16
            figures: {{ch.insert.send: 75 ohm, ch.insert.return: 10 kohm}}
          c: {{type: compressor, figures: {{{figures}}}}}
          r:
            type: recorder-line
            figures: {{in-left.impedance: 10 kohm, input.ceiling: +18 dBu}}
        links:
          - {{from: f.out, to: d.ch1.line}}
          - {link}
        settings: {{d: {{ch1: {{gain: 20 dB}}{said}}}}}
        """


def insert(text: str) -> Finding:
    found = worst_of(text, SWAPPED) or worst_of(text, INSERT)
    assert found is not None
    return found


def test_a_compressor_the_right_way_round_is_fine() -> None:
    assert insert(show(RIGHT)).severity is Severity.FINE


def test_with_the_small_plugs_swapped_the_channel_is_silent_until_they_are_exchanged() -> None:
    trial = tried_text(show(CROSSED))
    found = next(each for each in trial.judgement.findings if each.code == SWAPPED)
    assert found.severity is Severity.FAILS
    assert "its send meets c, output, its return c, input" in found.what
    assert {each.verdict_after for each in remedies_for(trial, found)} == {Severity.FINE}


@pytest.mark.parametrize(("gain_db", "severity"), [(-39.5, Severity.FINE), (-40.5, Severity.FAILS)])
def test_40_db_below_nothing_has_come_back(gain_db: float, severity: Severity) -> None:
    found = insert(show(RIGHT, figures=f"output.gain: {gain_db} dB"))
    assert found.severity is severity
    assert found.margin == pytest.approx(40 + gain_db, abs=0.2)


def test_a_plain_plug_opens_the_channel_and_brings_nothing_back() -> None:
    assert insert(show(PLAIN)).severity is Severity.FAILS


def test_tip_and_ring_joined_keep_the_channel_going() -> None:
    """5 kohm behind 75 ohm, by Ohm's law."""
    found = insert(show(JOINED))
    assert found.severity is Severity.FINE
    assert found.why[0].value == pytest.approx(0.129, abs=0.005)


@pytest.mark.parametrize(
    ("link", "severity"),
    [
        (RIGHT, Severity.CARE),  # right if the tip sends
        (CROSSED, Severity.FAILS),  # right if the ring sends, which is seldom
        (JOINED, Severity.FINE),  # right both ways
        (PLAIN, Severity.FAILS),  # wrong both ways
    ],
)
def test_which_contact_sends_matters_only_where_the_ways_differ(
    link: str, severity: Severity
) -> None:
    assert insert(show(link, wiring=None)).severity is severity


def test_care_names_the_contact_with_which_it_works() -> None:
    assert "if it is the tip the signal comes back" in insert(show(RIGHT, wiring=None)).what


def test_small_plugs_in_each_others_sockets_are_told_with_the_doubt() -> None:
    """Who has not said which contact sends is told what that hangs on, and what to try."""
    assert "If the other contact sends, they are right" in insert(show(CROSSED, wiring=None)).what
    assert "other contact" not in insert(show(CROSSED)).what


def test_a_ring_send_desk_takes_the_swapped_lead() -> None:
    assert insert(show(CROSSED, wiring="ring-send")).severity is Severity.FINE
    assert insert(show(RIGHT, wiring="ring-send")).severity is Severity.FAILS


def test_an_empty_insert_and_one_of_a_silent_channel_say_nothing() -> None:
    empty = show("{from: d.main-left.out, to: r.in-left}")
    silent = show(PLAIN.replace("ch1", "ch2"))
    assert worst_of(empty, INSERT) is None
    assert worst_of(silent, INSERT) is None


# --- plugs at their first click ---


def test_a_plug_at_its_first_click_is_care_and_opens_nothing() -> None:
    text = show(PLAIN.replace("}", ", plugged: half}"))
    found = worst_of(text, HALF_IN)
    assert found is not None
    assert found.severity is Severity.CARE
    assert worst_of(text, INSERT) is None


def test_a_lead_with_tip_and_ring_joined_is_offered_for_both() -> None:
    for link, code in ((PLAIN, INSERT), (PLAIN.replace("}", ", plugged: half}"), HALF_IN)):
        trial = tried_text(show(link))
        found = next(each for each in trial.judgement.findings if each.code == code)
        offered = [each.do for each in remedies_for(trial, found)]
        assert any("lead-direct-out-phono" in each for each in offered), offered


@pytest.mark.parametrize("link", [PLAIN, JOINED, RIGHT])
def test_plugs_that_are_home_say_nothing(link: str) -> None:
    assert worst_of(show(link), HALF_IN) is None


@pytest.mark.parametrize("link", [RIGHT, CROSSED, PLAIN, JOINED])
def test_what_leads_to_an_insert_says_what_the_whole_rig_says(link: str) -> None:
    """The other contact is tried on a part of the rig: the loss is that of the whole."""
    both = [insert(show(link, wiring)) for wiring in (None, "tip-send", "ring-send")]
    unknown, *known = ({each.name: each.value for each in found.why} for found in both)
    (own,) = {name for name in unknown if "if the other" not in name}
    worst_db = max(unknown.values(), key=lambda each: each or 0.0)
    assert worst_db == pytest.approx(max(each[own] or 0.0 for each in known), abs=1e-6)
