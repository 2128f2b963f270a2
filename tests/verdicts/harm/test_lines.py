"""Intercom lines and lighting data on audio sockets."""

from __future__ import annotations

import pytest

from levelhead.verdicts.harm.lines import CURRENT, NO_AUDIO, VOLTS
from levelhead.verdicts.told.severity import Severity
from tests.verdicts.shows import judged_text, worst_of


def intercom(tolerance_v: float = 16.0, supply_v: float = 30.0) -> str:
    return f"""
    items:
      com: {{type: intercom-party-line, figures: {{line.supply: {supply_v} V}}}}
      pow: {{type: loudspeaker-powered-12, figures: {{in.dc-tolerance: {tolerance_v} V}}}}
    links: [{{from: com.line, to: pow.in, via: [cable-xlr 10 m]}}]
    """


@pytest.mark.parametrize(
    ("tolerance_v", "code"),
    [(16.0, VOLTS), (29.8, VOLTS), (30.2, NO_AUDIO), (63.0, NO_AUDIO)],
)
def test_direct_volts_are_held_against_what_the_input_stands(tolerance_v: float, code: str) -> None:
    """30 V stand on pin 2; an input that stands them is not hurt, and gets no sound either."""
    assert worst_of(intercom(tolerance_v), code) is not None


@pytest.mark.parametrize(("port", "code"), [("ch1.mic", NO_AUDIO), ("ch1.line", VOLTS)])
@pytest.mark.parametrize("phantom", ["on", "off"])
def test_an_input_that_can_feed_48_v_stands_30_v(port: str, code: str, phantom: str) -> None:
    """IEC 61938: its capacitors hold 48 V, wherever the switch stands. A line input has none."""
    lead = "cable-xlr 10 m" if port == "ch1.mic" else "lead-xlr-jack-balanced 10 m"
    text = f"""
    items: {{com: {{type: intercom-party-line}}, desk: {{type: mixer-compact}}}}
    links: [{{from: com.line, to: desk.{port}, via: [{lead}]}}]
    settings: {{desk: {{phantom: "{phantom}"}}}}
    """
    finding = worst_of(text, code)
    assert finding is not None
    assert finding.severity is (Severity.HARM if code == VOLTS else Severity.FAILS)


def microphone(back_fed_ma: float) -> str:
    return f"""
    items:
      com: {{type: intercom-party-line}}
      mic: {{type: mic-vocal-dynamic, figures: {{out.impedance: 150 ohm,
             out.coil-current: {back_fed_ma} mA}}}}
    links: [{{from: mic.out, to: com.line, via: [cable-xlr 10 m, adaptor-xlr-turnaround]}}]
    """


@pytest.mark.parametrize(("stands_ma", "is_harm"), [(40, True), (82, True), (84, False)])
def test_direct_current_through_a_coil_is_ohms_law(stands_ma: float, is_harm: bool) -> None:  # noqa: FBT001
    """30 V over 10 + 150 + 200 ohm and the cable: 83 mA."""
    finding = worst_of(microphone(stands_ma), CURRENT)
    assert (finding is not None) is is_harm
    if finding is not None:
        assert finding.why[0].value == pytest.approx(30 / 360, rel=0.01)


def data(phantom: str) -> str:
    return f"""
    items:
      lights: {{type: lighting-data}}
      desk: {{type: mixer-compact}}
    links: [{{from: lights.data, to: desk.ch1.mic, via: [adaptor-xlr-male-male, cable-xlr 20 m]}}]
    settings: {{desk: {{phantom: {phantom}}}}}
    """


@pytest.mark.reference("TIA/EIA-485: -7 to +12 V at a driver or receiver")
def test_phantom_power_stands_on_a_driver_that_is_off() -> None:
    finding = worst_of(data("on"), VOLTS)
    assert finding is not None
    assert finding.severity is Severity.HARM
    assert finding.why[0].value == pytest.approx(48, abs=0.1)


def test_without_phantom_power_it_is_noise_and_told_once() -> None:
    told = judged_text(data("off")).worse_than_fine()
    assert [(each.code, each.severity) for each in told] == [(NO_AUDIO, Severity.FAILS)]


def test_an_intercom_on_its_own_kind_is_fine() -> None:
    text = """
    items: {a: {type: intercom-party-line}, b: {type: intercom-party-line}}
    links: [{from: a.line, to: b.line, via: [adaptor-xlr-turnaround, cable-xlr 10 m]}]
    """
    codes = {each.code for each in judged_text(text).findings}
    assert codes.isdisjoint({CURRENT, VOLTS, NO_AUDIO})
