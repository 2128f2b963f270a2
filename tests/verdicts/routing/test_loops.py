"""Returns into their own sends; the same sound twice, one copy late."""

from __future__ import annotations

import math

import pytest

from levelhead.verdicts.routing.copies import COMB
from levelhead.verdicts.routing.loops import LOOP, added_db
from levelhead.verdicts.told.severity import Severity
from tests.verdicts.shows import judged_text, worst_of

RETURN = """
items: {{desk: {{type: mixer-analogue-16}}, rev: {{type: effect-unit}}}}
links: [{{from: desk.aux4.out, to: rev.in}}, {{from: rev.out, to: desk.ch15.line}}]
settings: {{desk: {{ch15: {{gain: 20 dB, send4: {send}}}}}}}
"""


def test_the_series_of_all_rounds() -> None:
    """1 / (1 - g): at half (-6.02 dB) twice as much, 6.02 dB; from one on without end."""
    assert added_db(20 * math.log10(0.5)) == pytest.approx(6.02, abs=0.01)
    assert added_db(0.0) == math.inf


@pytest.mark.parametrize(
    ("send", "severity"),
    [
        ("off", None),
        ("-30 dB", None),
        ("-20 dB", None),  # just this side of -19.3 dB, with the 0.13 dB of the leads
        ("-18 dB", Severity.CARE),  # just that side
        ("-4 dB", Severity.CARE),  # adds 8.7 dB
        ("-2 dB", Severity.FAILS),
        ("6 dB", Severity.FAILS),
    ],
)
def test_the_send_of_a_return_decides(send: str, severity: Severity | None) -> None:
    found = worst_of(RETURN.format(send=send), LOOP)
    assert (None if found is None else found.severity) == severity


def test_two_directions_in_one_lead_are_no_loop() -> None:
    text = """
        items: {desk: {type: mixer-usb}, pc: {type: laptop-usb}}
        links: [{from: pc.usb, to: desk.usb}]
        """
    assert worst_of(text, LOOP) is None


def comb_at(apart_ms: float, weaker_db: float) -> Severity | None:
    """One voice on the network and on the desk, so much later and weaker."""
    found = worst_of(
        f"""
        items:
          mic: {{type: mic-vocal-dynamic}}
          split: {{type: splitter-parallel}}
          sb: {{type: stagebox-digital-16, figures: {{ch.converter.delay: {1 + apart_ms} ms}}}}
          desk: {{type: mixer-digital-32, figures: {{ch.converter.delay: 1 ms}}}}
          pa: {{type: loudspeaker-powered-12}}
        sources: {{ada: {{type: voice-singer, at: mic}}}}
        links:
          - {{from: mic.out, to: split.in}}
          - {{from: split.direct-1, to: desk.ch17.mic}}
          - {{from: split.direct-2, to: sb.ch1.mic}}
          - {{from: sb.net, to: desk.net}}
          - {{from: desk.main-left.out, to: pa.in}}
        settings:
          sb: {{ch1: {{gain: 30 dB}}}}
          desk: {{ch17: {{gain: 30 dB}}, ch1: {{source: network, fader: {-weaker_db} dB}}}}
        """,
        COMB,
    )
    return None if found is None else found.severity


@pytest.mark.parametrize(
    ("apart_ms", "weaker_db", "severity"),
    [
        (1.5, 0, Severity.FAILS),
        (1.5, 3, Severity.FAILS),  # falls by 10.7 dB
        (1.5, 4, Severity.CARE),  # by 8.7 dB
        (1.5, 10, Severity.CARE),  # by 3.3 dB
        (1.5, 12, None),  # by 2.5 dB
        (0, 0, None),
        (35, 0, None),  # an echo, no comb
    ],
)
def test_the_second_copy_decides(
    apart_ms: float, weaker_db: float, severity: Severity | None
) -> None:
    """1 - 10^(-w/20): 10.7 dB at 3 dB weaker, 3.3 dB at 10 dB weaker."""
    assert comb_at(apart_ms, weaker_db) == severity


def test_reverb_is_no_second_copy() -> None:
    """Converters before and behind the unit make it late, and it is another sound."""
    judgement = judged_text("""
        items:
          mic: {type: mic-vocal-dynamic}
          desk: {type: mixer-digital-32}
          rev: {type: effect-unit}
          pa: {type: loudspeaker-powered-12}
        sources: {ada: {type: voice-singer, at: mic}}
        links:
          - {from: mic.out, to: desk.ch1.mic}
          - {from: desk.aux1.out, to: rev.in, via: [lead-xlr-jack-balanced 3 m]}
          - {from: rev.out, to: desk.ch2.line}
          - {from: desk.main-left.out, to: pa.in}
        settings: {desk: {ch1: {tap: post, send1: 0 dB}, ch2: {gain: 14 dB}}}
        """)
    assert not [each for each in judgement.findings if each.code == COMB]
