"""One fault is one finding: what follows from a cause is not told beside it."""

from __future__ import annotations

import pytest

from levelhead.planning.remedy.remedies import remedies_for
from levelhead.verdicts.told.severity import Severity
from levelhead.verdicts.wiring.poles import POLES
from levelhead.verdicts.wiring.unreached import HALF_BRIDGE
from tests.verdicts.shows import judged_text, tried_text


def told(text: str) -> list[tuple[str, str]]:
    """Code and place of all that somebody would act on."""
    return [(each.code, each.where) for each in judged_text(text).worse_than_fine()]


def headset(phone: str, worn: str, via: str = "", pins: str = "") -> str:
    """A headset in the socket of a phone."""
    return f"""
        items: {{phone: {{type: {phone}}}, set: {{type: {worn}}}}}
        links: [{{from: phone.headset, to: set.in{via}{pins}}}]
        """


def test_a_headset_of_the_other_order_of_poles_is_one_finding() -> None:
    """Its cancelling, its dead microphone and the bias in its earpieces all come of that."""
    assert told(headset("phone", "headset-trrs-ground-last")) == [(POLES, "set.in")]
    assert told(headset("phone-ground-last", "headset-trrs")) == [(POLES, "set.in")]


@pytest.mark.parametrize(
    "text",
    [
        headset("phone", "headset-trrs"),
        headset("phone-ground-last", "headset-trrs-ground-last"),
        headset(
            "phone",
            "headset-trrs-ground-last",
            ", via: [adaptor-headset-swap, cable-mini-four-pole 1 m]",
        ),
        headset("phone", "headset-trrs-ground-last", pins=", pins: {ring2: sleeve, sleeve: ring2}"),
    ],
)
def test_one_order_of_poles_or_contacts_exchanged_say_nothing(text: str) -> None:
    assert told(text) == []


def test_the_adaptor_that_exchanges_the_contacts_is_offered() -> None:
    trial = tried_text(headset("phone", "headset-trrs-ground-last"))
    found = next(each for each in trial.judgement.findings if each.code == POLES)
    first, *_ = remedies_for(trial, found)
    assert "adaptor-headset-swap" in first.do
    assert first.verdict_after is Severity.FINE


def test_loudspeakers_on_both_halves_of_a_bridge_are_one_finding() -> None:
    """The second half plays the first input, upside down: that both loudspeakers do follows."""
    text = """
        items:
          f: {type: feed-line, figures: {generator.level: -20 dBu}}
          a: {type: amplifier-bridgeable}
          b: {type: loudspeaker-passive-12}
          c: {type: loudspeaker-passive-12}
        links:
          - {from: f.out, to: a.ch1.in}
          - {from: a.ch1.out, to: b.in, via: [cable-loudspeaker 2 m]}
          - {from: a.ch2.out, to: c.in, via: [cable-loudspeaker 2 m]}
        settings: {a: {mode: bridge}}
        """
    assert [code for code, _ in told(text)] == [HALF_BRIDGE]


def hot(level: str, gain: str) -> list[tuple[str, str]]:
    """A line of this level into a microphone input."""
    return told(
        f"""
        items:
          f: {{type: feed-line, figures: {{generator.level: {level}, output.ceiling: +20 dBu}}}}
          desk: {{type: mixer-analogue-16}}
        links: [{{from: f.out, to: desk.ch1.mic}}]
        settings: {{desk: {{ch1: {{gain: {gain}}}}}}}
        """
    )


def test_what_clips_at_the_lowest_gain_is_told_once() -> None:
    codes = [code for code, _ in hot("+10 dBu", "10 dB") if code.startswith("enough")]
    assert codes == ["enough.too-high"]


def test_what_a_knob_mends_is_told_once_with_what_is_left_then() -> None:
    """Peaks of +10.1 dBu, ceiling of +11 dBu at the lowest gain (10 dB): 0.9 dB."""
    text = """
        items:
          f: {type: feed-line, figures: {generator.level: +1.5 dBu}}
          desk: {type: mixer-analogue-16}
        links: [{from: f.out, to: desk.ch1.mic}]
        settings: {desk: {ch1: {gain: 30 dB}}}
        """
    found = [each for each in judged_text(text).worse_than_fine() if each.family == "enough"]
    assert [each.code for each in found] == ["enough.clips-as-set"]
    assert "At the lowest gain of that input 0.9 dB" in found[0].what


def test_an_open_leg_under_phantom_power_is_one_finding() -> None:
    """That little comes, and that the gain would have to make it up, follows from the wire."""
    text = """
        items:
          r: {type: mic-ribbon-passive}
          desk: {type: mixer-compact}
        sources: {t: {type: sound-trumpet, at: r}}
        links: [{from: r.out, to: desk.ch1.mic, via: [cable-xlr 15 m], pins: {3: open}}]
        settings: {desk: {phantom: on, ch1: {gain: 30 dB}}}
        """
    assert told(text) == [("phantom.one-leg", "desk.ch1.mic")]


def test_a_leg_that_is_held_and_the_clipping_that_it_brings_are_one_finding() -> None:
    text = """
        items: {dj: {type: mixer-dj-main}, tx: {type: transmitter-hearing-assist}}
        links: [{from: dj.out-left, to: tx.in-left}]
        """
    codes = {code for code, _ in told(text)}
    assert "wiring.shorted" in codes
    assert "enough.clips-as-set" not in codes


def test_by_how_much_a_held_leg_clips_is_said_with_it() -> None:
    """Modest levels are no comfort where the level that stands is 11 dB over."""
    text = """
        items:
          keys: {type: keyboard-stereo}
          desk: {type: mixer-compact-8}
          enc: {type: encoder-line}
        links:
          - {from: keys.out-left, to: desk.st1.in-left, via: [cable-jack 3 m]}
          - {from: keys.out-right, to: desk.st1.in-right, via: [cable-jack 3 m]}
          - {from: desk.main-left.out, to: enc.in-left, via: [lead-xlr-phono 3 m]}
        settings: {desk: {main: 10 dB, st1: {fader: 6 dB}}}
        """
    worse = judged_text(text).worse_than_fine()
    (shorted,) = (each for each in worse if each.code == "wiring.shorted")
    assert "As it is set, its peaks clip there by" in shorted.what
    assert "enough.clips-as-set" not in {each.code for each in worse}


PLAIN_ADAPTOR = """
    items: {lapel: {type: mic-lavalier-plugin}, desk: {type: mixer-compact-8}}
    sources: {talker: {type: voice-talker, at: lapel}}
    links: [{from: lapel.plug, to: desk.ch1.mic, via: [adaptor-mini-xlr, cable-xlr 10 m]}]
    settings: {desk: {phantom: on, ch1: {gain: 46 dB}}}
    """


def test_phantom_power_by_a_plain_adaptor_is_harm_and_no_broken_wire() -> None:
    """48 V less 0.3 mA through 6.8 kohm are 46 V (IEC 61938) on a capsule made for 10 V."""
    codes = [code for code, _ in told(PLAIN_ADAPTOR)]
    assert codes[0] == "phantom.volts"
    assert "phantom.one-leg" not in codes


def test_what_makes_plug_in_power_of_phantom_power_goes_between() -> None:
    trial = tried_text(PLAIN_ADAPTOR)
    first = remedies_for(trial, trial.judgement.findings[0])[0]
    assert "plug-in power" in first.do


def test_a_switch_that_keeps_a_signal_out_is_no_remedy_for_its_level() -> None:
    """A microphone in the tape input, and the tape off: nothing was too soft any more."""
    text = """
        items:
          v: {type: mic-vocal-dynamic}
          desk: {type: mixer-compact-8}
          rec: {type: recorder-line}
        sources: {s: {type: voice-talker, at: v}}
        links: [{from: v.out, to: desk.ch1.mic}, {from: desk.record-left, to: rec.in-left}]
        settings: {desk: {ch1: {gain: 45 dB, mute: on}}}
        """
    trial = tried_text(text)
    for finding in trial.judgement.worse_than_fine():
        for remedy in remedies_for(trial, finding):
            assert "tape-to-mix" not in remedy.do


def test_an_unplugged_through_socket_tells_nothing_besides_the_plugged_one() -> None:
    text = """
        items: {p: {type: phone}, l: {type: loudspeaker-powered-12}}
        links: [{from: p.headset, to: l.in, via: [lead-mini-jack-balanced 3 m]}]
        """
    assert told(text) == [("wiring.cancels", "l.in")]


@pytest.mark.parametrize("socket", ["ch1.line", "st1.in-left"])
def test_a_cartridge_in_a_line_input_is_one_finding(socket: str) -> None:
    """IEC 60098: it wants 47 kohm and an equaliser; a preamplifier brings the level besides."""
    text = f"""
        items: {{deck: {{type: turntable}}, desk: {{type: mixer-compact}}}}
        links: [{{from: deck.out-left, to: desk.{socket}, via: [lead-phono-jack 2 m]}}]
        settings: {{desk: {{ch1: {{gain: 60 dB}}}}}}
        """
    bad = [each for each in judged_text(text).findings if each.severity is Severity.FAILS]
    # told of its tone on a load of its own (loading.tone) before what the groove needs was judged
    assert [(each.code, each.where) for each in bad] == [("wiring.record-curve", f"desk.{socket}")]
    assert "too weak for that input besides" in bad[0].what
