"""The microphone pole of a headset socket: leads that reach it, and boxes that hide none."""

from __future__ import annotations

import pytest

from levelhead.gear.book import load_book
from levelhead.planning.check import check_show
from levelhead.rig.usual import usual_cable
from levelhead.verdicts.read.doubts import strongest_way
from levelhead.verdicts.told.severity import Severity
from levelhead.verdicts.wiring.lost import LOST
from tests.verdicts.shows import judged_text, tried_text, worst_of

BEHIND_A_BOX = """
    items: {{k: {{type: keyboard-stereo}}, di: {{type: di-passive}}, p: {{type: phone}}}}
    links:
      - {{from: k.out-left, to: di.in}}
      - {{from: di.out, to: p.headset-mic, via: [{lead} 2 m]}}
    """

RECEIVER = """
    items:
      w: {{type: wireless-lavalier, figures: {{jack-amplifier.output.gain: {gain}}}}}
      p: {{type: phone}}
    sources: {{ann: {{type: voice-talker, at: w, distance: 20 cm}}}}
    links: [{{from: w.jack, to: p.headset-mic, via: [lead-jack-headset 2 m]}}]
    """


@pytest.mark.parametrize(
    ("giving", "port", "lead"),
    [
        ("mic-vocal-dynamic", "out", "lead-xlr-headset"),
        ("wireless-lavalier", "jack", "lead-jack-headset"),
    ],
)
def test_the_usual_lead_reaches_the_microphone_pole(giving: str, port: str, lead: str) -> None:
    """ITU-T P.381: tip left, ring right, then ground, then microphone."""
    book = load_book()
    start = book.plan(giving, {}, {}).blocks[0].plan.ports[port]
    end = book.plan("phone", {}, {}).blocks[0].plan.ports["headset-mic"]
    cable = usual_cable(book, start, end)
    assert cable is not None
    assert cable.type_id == lead


def test_a_lead_that_misses_the_pole_fails_behind_a_box_too() -> None:
    """A DI box has no supply: what it gives is what comes in, and ends at the wrong contacts."""
    finding = worst_of(BEHIND_A_BOX.format(lead="lead-xlr-mini"), LOST)
    assert finding is not None
    assert finding.severity is Severity.FAILS
    assert finding.where == "p.headset-mic"


def test_a_lead_that_reaches_it_loses_nothing() -> None:
    finding = worst_of(BEHIND_A_BOX.format(lead="lead-xlr-headset"), LOST)
    assert finding is not None
    assert finding.severity is Severity.FINE


@pytest.mark.parametrize(("gain", "severity"), [("-6 dB", "fails"), ("-36 dB", "fine")])
def test_a_receiver_at_line_level_is_too_hot_for_it(gain: str, severity: str) -> None:
    """Common practice: such inputs take some -22 dBu; what plays beside leaks and is no signal."""
    finding = worst_of(RECEIVER.format(gain=gain), "enough.too-high")
    assert finding is not None
    assert finding.severity.value == severity


def test_earphones_alone_are_no_recording() -> None:
    """What the common ground of a stereo plug lets leak into the microphone pole means nothing."""
    text = """
        items: {t: {type: tablet-charging}, desk: {type: mixer-compact}}
        links:
          - ends: {a: t.headset, left: desk.ch1.mic, right: desk.ch2.mic}
            via: [lead-mini-two-jacks 2 m]
        """
    told = {each.where for each in judged_text(text).worse_than_fine()}
    assert "t.headset-mic" not in told


def test_a_lead_with_resistors_that_misses_the_pole_is_told() -> None:
    """It is made to lose 6 dB; of a hundred it says that there is no way."""
    text = """
        items: {w: {type: wireless-lavalier}, p: {type: phone}}
        sources: {ann: {type: voice-talker, at: w, distance: 20 cm}}
        links: [{from: w.jack, to: p.headset-mic, via: [lead-mini-sum-jack 2 m]}]
        """
    finding = worst_of(text, LOST)
    assert finding is not None
    assert finding.severity is Severity.FAILS
    assert worst_of(text.replace("mini-sum-jack", "jack-headset"), LOST) is not None


def test_the_level_of_the_receiver_is_on_the_way() -> None:
    """It stands in the first stage behind a mix within the receiver; a remedy turns it."""
    trial = tried_text(RECEIVER.format(gain="-6 dB"))
    point = trial.solution.number("p.headset-mic")
    assert "w.level" in strongest_way(trial.solution, point).controls
    (finding,) = [
        each
        for each in check_show(trial.show, trial.book).findings
        if each.code == "enough.too-high"
    ]
    assert any("w.level" in each.do for each in finding.remedies)
