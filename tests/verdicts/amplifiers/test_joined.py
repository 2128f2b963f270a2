"""Outputs of amplifiers on one loudspeaker, and what a line amplifier can give to one of 8 ohm."""

from __future__ import annotations

import math

import pytest

from levelhead.verdicts.amplifiers.lines import CABLE
from levelhead.verdicts.amplifiers.loads import LOAD
from levelhead.verdicts.amplifiers.ratings import POWER
from levelhead.verdicts.loading.joined import JOINED
from levelhead.verdicts.told.severity import Severity
from tests.verdicts.shows import judged_text, worst_of

TWO_ON_ONE = """
items:
  feed: {type: feed-line}
  amp: {type: amplifier-two-channel}
  box: {type: loudspeaker-passive-12}
links:
  - {from: feed.out, to: amp.ch1.in, via: [cable-xlr 3 m]}
  - {from: amp.ch1.link, to: amp.ch2.in, via: [cable-xlr 1 m]}
  - {from: amp.ch1.out, to: box.in, via: [cable-loudspeaker 10 m]}
  - {from: amp.ch2.out, to: box.link, via: [cable-loudspeaker 10 m]}
"""
LINE_ON_8_OHM = """
items:
  feed: {type: feed-line}
  amp: {type: amplifier-line-100v}
  box: {type: loudspeaker-passive-12, figures: {in.impedance: 8 ohm}}
links:
  - {from: feed.out, to: amp.in, via: [lead-xlr-jack-balanced 3 m]}
  - {from: amp.out-100v, to: box.in, via: [lead-loudspeaker-bare 10 m]}
"""


def test_two_amplifier_outputs_on_one_loudspeaker_are_harm() -> None:
    """Volts of both over two cores of 10 m and 30 mohm twice: Ohm's law."""
    finding = worst_of(TWO_ON_ONE, JOINED)
    assert finding is not None
    assert finding.severity is Severity.HARM
    assert finding.caution is not None
    asked_a = 2 * 34.6 / (2 * 0.03 + 2 * 10 * 7.98e-3)
    assert finding.why[0].value == pytest.approx(asked_a, rel=0.05)


def test_a_lead_between_two_outputs_is_not_told_as_lossy() -> None:
    found = [each for each in judged_text(TWO_ON_ONE).findings if each.code == CABLE]
    assert not found


def test_one_output_for_a_loudspeaker_is_not_joined() -> None:
    one = "\n".join(line for line in TWO_ON_ONE.splitlines() if "box.link" not in line)
    assert worst_of(one, JOINED) is None


def test_a_line_amplifier_gives_a_loudspeaker_no_more_than_its_current() -> None:
    """10.5 A of the stage are 10.5 * 0.212 / sqrt(2) A rms on the 100 V side: 20 W in 8 ohm."""
    power = [each for each in judged_text(LINE_ON_8_OHM).findings if each.code == POWER]
    (finding,) = power
    given_w = next(each.value for each in finding.why if each.unit == "W")
    assert given_w == pytest.approx((10.5 * 0.212 / math.sqrt(2)) ** 2 * 8, rel=0.1)
    assert finding.severity is Severity.FINE


def test_a_tenth_of_the_least_load_is_harm_to_the_amplifier() -> None:
    finding = worst_of(LINE_ON_8_OHM, LOAD)
    assert finding is not None
    assert finding.severity is Severity.HARM
    assert "10 times" in finding.what


def test_two_line_amplifiers_on_one_line_are_told_once() -> None:
    """Each sees the milliohms of the other: no load, and no line of too few volts."""
    judgement = judged_text("""
        items:
          feed: {type: feed-line}
          one: {type: amplifier-line-100v}
          two: {type: amplifier-line-100v}
          box: {type: loudspeaker-line-100v}
        links:
          - {from: feed.out, to: one.in, via: [lead-xlr-jack-balanced 3 m]}
          - {from: one.link, to: two.in, via: [cable-jack-balanced 1 m]}
          - {from: one.out-100v, to: box.in, via: [cable-loudspeaker-bare 10 m]}
          - {from: two.out-100v, to: box.link, via: [cable-loudspeaker-bare 10 m]}
        """)
    bad = {each.code for each in judgement.worse_than_fine()}
    assert bad == {JOINED}


@pytest.mark.parametrize(
    ("figures", "current_a"),
    [("ch.power.ceiling: 80 V", 25.0), ("ch.power.ceiling: 80 V, ch.out.current: 12 A", 12.0)],
)
def test_a_ceiling_that_somebody_gave_is_not_cut_by_a_typical_current(
    figures: str, current_a: float
) -> None:
    """The most that the type may have, until its own current is given too; 10 cm of cable."""
    text = f"""
        items:
          feed: {{type: feed-line}}
          amp: {{type: amplifier-two-channel, figures: {{{figures}}}}}
          box: {{type: loudspeaker-passive-12, figures: {{in.impedance: 4 ohm}}}}
        links:
          - {{from: feed.out, to: amp.ch1.in}}
          - {{from: amp.ch1.out, to: box.in, via: [cable-loudspeaker-4 0.1 m]}}
        """
    (finding,) = [each for each in judged_text(text).findings if each.code == POWER]
    given_w = next(each.value for each in finding.why if each.unit == "W")
    assert given_w == pytest.approx((current_a / math.sqrt(2)) ** 2 * 4, rel=0.05)


@pytest.mark.parametrize(
    ("current_a", "severity"),
    [
        ("5 A", Severity.FINE),
        ("0.5 A", Severity.FAILS),
        ("78 mA", Severity.FAILS),  # peak: 519 mA rms are 9.4 times as much
        ("68 mA", Severity.HARM),  # 10.8 times
        ("20 mA", Severity.HARM),
    ],
)
def test_a_line_output_burns_far_beyond_its_current(current_a: str, severity: Severity) -> None:
    """34.6 V of an amplifier and 9.8 V of a line output, over 75 ohm to the tip."""
    text = f"""
        items:
          amp: {{type: amplifier-two-channel}}
          desk: {{type: mixer-analogue-16, figures: {{aux.out.current: {current_a}}}}}
        links:
          - {{from: amp.ch1.out, to: desk.aux1.out, via: [lead-loudspeaker-jack 3 m]}}
        """
    found = [each for each in judged_text(text).findings if each.code == JOINED]
    line = [each for each in found if each.where == "desk.aux1.out"]
    assert [each.severity for each in line] == [severity]


@pytest.mark.parametrize(
    ("current", "has_it"), [("10.5 A", False), ("40 A", False), ("60 A", True), ("200 A", True)]
)
def test_volts_without_the_current_for_them_are_told_as_that(current: str, *, has_it: bool) -> None:
    """49 V on 8 ohm are 6.1 A rms, 8.7 A peak, and 41 A at the stage before 1 to 4.72."""
    text = LINE_ON_8_OHM.replace("in.impedance: 8 ohm", "in.impedance: 8 ohm, in.damage: 49 V")
    finding = worst_of(
        text.replace(
            "type: amplifier-line-100v",
            f"type: amplifier-line-100v, figures: {{stage.current: {current}}}",
        ),
        "harm.level",
    )
    assert finding is not None
    assert finding.severity is Severity.HARM
    assert ("has not the current" in finding.what) is not has_it
