"""Stages before the first gain that come near their own ceiling."""

from __future__ import annotations

import pytest

from levelhead.verdicts.enough.clipping import CODE as CLIPS
from levelhead.verdicts.enough.first_stages import NEAR
from levelhead.verdicts.told.severity import Severity
from tests.verdicts.shows import judged_text, worst_of


def kick(ceiling_v: float) -> str:
    """Peaks of 139 dB SPL at a microphone of 2 mV/Pa: 0.356 V as a sine."""
    return f"""
    items:
      mic: {{type: mic-vocal-dynamic, figures: {{capsule.sensitivity: 2 mV/Pa,
             capsule.ceiling: {ceiling_v} V}}}}
      desk: {{type: mixer-compact}}
    sources: {{kick: {{type: sound-kick, at: mic, distance: 10 cm}}}}
    links: [{{from: mic.out, to: desk.ch1.mic, via: [cable-xlr 10 m]}}]
    settings: {{desk: {{ch1: {{gain: 0 dB}}}}}}
    """


@pytest.mark.parametrize(
    ("ceiling_v", "code"),
    [(1.4, None), (0.72, None), (0.70, NEAR), (0.36, NEAR), (0.35, CLIPS), (0.1, CLIPS)],
)
def test_headroom_that_no_gain_gives_decides(ceiling_v: float, code: str | None) -> None:
    """6 dB is fine, below 0 it clips: 0.356 V and 0.711 V are the borders."""
    told = {each.code for each in judged_text(kick(ceiling_v)).worse_than_fine()}
    assert told & {NEAR, CLIPS} == ({code} if code else set())


def test_what_can_be_turned_down_before_it_is_no_such_stage() -> None:
    """A transmitter 3 dB below full deviation: its sensitivity goes down."""
    text = """
    items:
      tx: {type: wireless-handheld}
      desk: {type: mixer-compact}
    sources: {ann: {type: voice-singer, at: tx, distance: 5 cm}}
    links: [{from: tx.out, to: desk.ch1.mic, via: [cable-xlr 10 m]}]
    settings: {tx: {sensitivity: -10 dB, output: mic}}
    """
    assert worst_of(text, NEAR) is None
    locked = worst_of(text.replace("output: mic", "output: mic, lock: [sensitivity]"), NEAR)
    assert locked is not None
    assert locked.severity is Severity.CARE


def test_a_player_at_full_scale_is_made_for_it() -> None:
    text = """
    items:
      laptop: {type: laptop, figures: {generator.level: -9 dBFS, generator.peak-to-rms: 12 dB}}
      desk: {type: mixer-compact}
    links:
      - ends: {a: laptop.phones, left: desk.st1.in-left, right: desk.st1.in-right}
        via: [lead-mini-two-jacks 3 m]
    """
    assert worst_of(text, NEAR) is None
