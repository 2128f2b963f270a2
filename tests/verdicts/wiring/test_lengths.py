"""Digital leads against the reach of what they carry."""

from __future__ import annotations

import pytest

from levelhead.planning.remedy.remedies import remedies_for
from levelhead.verdicts.told.severity import Severity
from levelhead.verdicts.wiring.lengths import TOO_LONG
from tests.verdicts.shows import tried_text, worst_of

ENDS = {
    "cable-network": ("stagebox-digital-16", "net", "mixer-digital-32", "net"),
    "cable-digital-110": ("digital-out-aes3", "out", "digital-in-aes3", "in"),
    "cable-coax-75": ("digital-out-spdif", "out", "digital-in-spdif", "in"),
    "cable-usb": ("mic-usb", "usb", "mixer-usb", "usb"),
    "cable-hdmi": ("laptop", "hdmi", "projector", "hdmi"),
}


def link(cable: str, *lengths_m: float) -> str:
    """One link of such cables, coupled in a row."""
    start, out, end, port = ENDS[cable]
    via = ", ".join(f"{cable} {each} m" for each in lengths_m)
    return f"""
        items: {{s: {{type: {start}}}, r: {{type: {end}}}}}
        links: [{{from: s.{out}, to: r.{port}, via: [{via}]}}]
        """


@pytest.mark.reference("IEEE 802.3: 100 m; USB 2.0, 7.1.16: 26 ns, 5 m")
@pytest.mark.parametrize(
    ("cable", "length_m", "severity"),
    [
        ("cable-network", 80, Severity.FINE),
        ("cable-network", 100, Severity.FINE),
        ("cable-network", 105, Severity.CARE),
        ("cable-network", 130, Severity.FAILS),
        ("cable-digital-110", 100, Severity.FINE),
        ("cable-digital-110", 150, Severity.CARE),
        ("cable-digital-110", 250, Severity.FAILS),
        ("cable-coax-75", 10, Severity.FINE),
        ("cable-coax-75", 20, Severity.CARE),
        ("cable-coax-75", 40, Severity.FAILS),
        ("cable-usb", 26 / 5.2, Severity.FINE),
        ("cable-usb", 6, Severity.CARE),
        ("cable-usb", 10, Severity.FAILS),
        ("cable-hdmi", 10, Severity.FINE),
        ("cable-hdmi", 25, Severity.FAILS),
    ],
)
def test_a_digital_lead_ends_within_the_reach_of_what_it_carries(
    cable: str, length_m: float, severity: Severity
) -> None:
    finding = worst_of(link(cable, length_m), TOO_LONG)
    assert finding is not None
    assert finding.severity is severity
    assert finding.why[0].value == length_m


@pytest.mark.parametrize(
    ("cable", "length_m", "by", "sure"),
    [
        ("cable-network", 105, "IEEE 802.3", "for sure (IEEE 802.3)"),
        ("cable-usb", 6, "USB 2.0, 7.1.16", "for sure (USB 2.0, 7.1.16)"),
        ("cable-digital-110", 150, "handbook", "as a rule."),
        ("cable-coax-75", 20, "from memory", "as a rule."),
        ("cable-hdmi", 15, "from memory", "as a rule."),
    ],
)
def test_a_standard_is_named_only_where_the_figure_is_of_one(
    cable: str, length_m: float, by: str, sure: str
) -> None:
    """The gear book says of each reach where it comes from, and the sentence claims no more."""
    finding = worst_of(link(cable, length_m), TOO_LONG)
    assert finding is not None
    assert finding.basis == by
    assert sure in finding.what


def test_an_analogue_signal_on_the_same_cable_has_no_such_reach() -> None:
    """110 ohm pairs are microphone cable as well."""
    text = """
        items: {m: {type: mic-vocal-dynamic}, d: {type: mixer-compact}}
        links: [{from: m.out, to: d.ch1.mic, via: [cable-digital-110 150 m]}]
        """
    assert worst_of(text, TOO_LONG) is None


def told(places: tuple[str, str], stock: str) -> tuple[str, ...]:
    """What is offered for 130 m of network cable."""
    text = f"""
        items:
          box: {{type: stagebox-digital-16{places[0]}}}
          desk: {{type: mixer-digital-32{places[1]}}}
        links: [{{from: box.net, to: desk.net, via: [cable-network 130 m]}}]
        {stock}
        """
    trial = tried_text(text)
    finding = next(each for each in trial.judgement.findings if each.code == TOO_LONG)
    assert "A switch with a supply of its own halfway begins the count anew" in finding.what
    return tuple(each.do for each in remedies_for(trial, finding))


def test_a_shorter_lead_is_offered_where_the_places_say_that_it_reaches() -> None:
    """20 m apart take 1.3 times that and 5 m at the ends: a roll of 50 m of the stock does."""
    near = ", at: [0, 0, 1]", ", at: [0, 20, 1]"
    assert told(near, "stock: {cable-network 50 m: 1}") == (
        "Plug box.net into desk.net with cable-network 50 m (in stock)",
    )
    assert told(near, "") == ("Plug box.net into desk.net with cable-network 35 m",)
    assert told((", at: [0, 0, 1]", ", at: [0, 120, 1]"), "") == ()
    assert told(("", ""), "stock: {cable-network 50 m: 1}") == ()
