"""Remedies that a practitioner would reach for first, on rigs of our own."""

from __future__ import annotations

from levelhead.planning.remedy.remedies import remedies_for
from tests.verdicts.shows import tried_text


def remedies(text: str, code: str) -> list[str]:
    trial = tried_text(text)
    finding = next(each for each in trial.judgement.worse_than_fine() if each.code == code)
    return [f"{each.do}: {each.verdict_after}" for each in remedies_for(trial, finding)]


def test_an_active_box_goes_before_a_guitar_and_is_given_its_supply() -> None:
    """Half of a mono desk off: it is dead until phantom power is on, and so is the guitar.

    Pickups want a megohm (common practice); the box in stock has it, the line input 20 kohm.
    """
    text = """
        items:
          vox: {type: mic-vocal-dynamic}
          guitar: {type: guitar-electric-passive}
          desk: {type: mixer-powered}
          box: {type: loudspeaker-passive-10}
        sources: {sue: {type: voice-singer, at: vox}}
        links:
          - {from: vox.out, to: desk.ch1.mic, via: [cable-xlr 6 m]}
          - {from: guitar.out, to: desk.ch2.line, via: [cable-jack 6 m]}
          - {from: desk.power-left.out, to: box.in, via: [cable-loudspeaker 10 m]}
        settings: {desk: {main: -10 dB, ch1: {gain: 38 dB}, ch2: {gain: 25 dB}}}
        stock: {di-active: 1, cable-xlr 6 m: 4, cable-jack 5 m: 1}
        """
    first, *_ = remedies(text, "loading.tone")
    assert first.startswith("Put di-active-1 (")
    assert "between guitar.out and desk.ch2.mic" in first
    assert "Set desk.phantom to on" in first
    assert "(in stock): fine" in first


def test_a_camera_that_gets_too_much_is_not_moved_to_a_bus_that_says_nothing() -> None:
    """Its socket has two sides: what each side heard counts, not the name of the socket."""
    text = """
        items:
          vox: {type: mic-vocal-dynamic}
          desk: {type: mixer-digital-16}
          box: {type: loudspeaker-powered-12}
          camera: {type: camera-mic}
        sources: {ann: {type: voice-singer, at: vox}}
        links:
          - {from: vox.out, to: desk.ch1.mic}
          - {from: desk.main-left.out, to: box.in}
          - {from: desk.aux2.out, to: camera.mic, via: [lead-xlr-mini 3 m]}
        settings: {desk: {ch1: {gain: 36 dB, send2: 0 dB}}, box: {level: -12 dB}}
        stock: {lead-xlr-mini-pad 3 m: 1}
        """
    found = remedies(text, "enough.too-high")
    assert found
    assert all("desk.aux2" in each for each in found)
    assert any("lead-xlr-mini-pad 3 m" in each and "in stock" in each for each in found)


def test_a_box_for_microphone_inputs_is_left_out_before_a_line_input() -> None:
    """Its transformer steps down twelve to one, 21.6 dB (the ratio of the book's DI box)."""
    text = """
        items:
          tracks: {type: laptop}
          box: {type: di-passive-stereo}
          desk: {type: mixer-compact}
          left: {type: loudspeaker-powered-12}
          right: {type: loudspeaker-powered-12}
        links:
          - {from: tracks.phones, to: box.in, via: [cable-mini 1 m]}
          - {from: box.out-left, to: desk.st1.in-left, via: [lead-xlr-jack-balanced 3 m]}
          - {from: box.out-right, to: desk.st1.in-right, via: [lead-xlr-jack-balanced 3 m]}
          - {from: desk.main-left.out, to: left.in}
          - {from: desk.main-right.out, to: right.in}
        settings: {left: {level: -10 dB}, right: {level: -10 dB}}
        stock: {lead-mini-two-jacks 3 m: 1}
        """
    found = remedies(text, "enough.too-low")
    assert found[0].startswith(
        "Plug Y lead, 3.5 mm stereo to two jacks, 3 m, from tracks.phones: left"
    )
