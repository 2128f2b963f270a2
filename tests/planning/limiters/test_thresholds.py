"""Limiter thresholds of rigs: what decides, where it is told, what sets it."""

from __future__ import annotations

from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from levelhead.gear.book import load_book
from levelhead.planning.limiters.settings import LimiterSetting
from levelhead.planning.limiters.thresholds import limiter_settings
from levelhead.planning.trial import try_show
from levelhead.show.document import parse_show
from tests.paper.shows import checked
from tests.reference.test_limiter_thresholds import solved


@cache
def of_show(name: str) -> dict[str, LimiterSetting]:
    return {each.output: each for each in limiter_settings(checked(name).trial.reading)}


def test_an_attenuator_moves_the_threshold_by_as_much() -> None:
    up, down = solved(power_w=300, gain_db=32), solved(power_w=300, gain_db=32, level="-6 dB")
    assert up.rms is not None
    assert down.rms is not None
    assert down.rms.dbu - up.rms.dbu == pytest.approx(6.0, abs=0.01)
    assert down.rms.volts == up.rms.volts


def test_a_small_amplifier_needs_no_rms_limiter() -> None:
    """30 V of it, 42 V of it clipped to a square: less than the 49 V that the box takes."""
    found = solved(power_w=300, gain_db=32, ceiling_v=30)
    assert found.rms is None
    assert found.peak.volts == pytest.approx(30.0, abs=0.3)
    assert any("No rms limiter is needed" in each for each in found.notes)


def test_between_the_rating_and_its_clipping_the_peak_limiter_does_both() -> None:
    found = solved(power_w=300, gain_db=32, ceiling_v=45)
    assert found.rms is None
    assert any("the peak limiter holds its coil as well" in each for each in found.notes)


@settings(max_examples=15, deadline=None)
@given(st.floats(100, 1000), st.floats(60, 150))
def test_no_threshold_passes_a_rating_or_a_ceiling(power_w: float, ceiling_v: float) -> None:
    found = solved(power_w=round(power_w), gain_db=32, ceiling_v=round(ceiling_v))
    rated = (8.0 * round(power_w)) ** 0.5
    assert found.peak.volts <= round(ceiling_v) + 0.01
    assert found.peak.volts <= rated * 1.415
    if found.rms is not None:
        assert found.rms.volts == pytest.approx(rated, abs=0.01)
        assert found.rms.volts < round(ceiling_v)


def test_the_dial_before_the_amplifier_gets_it() -> None:
    """A limiter of peaks gets the threshold of peaks, told at its own stage."""
    found = solved(power_w=300, gain_db=32)
    assert found.control == "proc.threshold"
    assert found.now == "+18.0 dBu"
    (edit,) = found.edits
    assert float(edit.value.split()[0]) == pytest.approx(found.peak.dbu or 0.0, abs=0.06)


def test_what_is_set_is_left_alone_when_set_again() -> None:
    """The threshold that the plan sets is where the plan wants it."""
    check = checked("marquee-wedding.yaml")
    found = limiter_settings(check.trial.reading)
    edits = [edit for each in found for edit in each.edits]
    after = check.trial.after(edits) if edits else check.trial
    assert after is not None
    assert not [edit for each in limiter_settings(after.reading) for edit in each.edits]


def test_a_powered_subwoofer_adds_its_sides() -> None:
    """+8 dBu with the level up (gear book, common practice); it stands 6 dB down."""
    found = of_show("outdoor-stage.yaml")["sub.in-left"]
    assert found.is_powered
    assert found.peak.dbu == pytest.approx(14.0, abs=0.2)
    assert any("It adds 2 inputs" in each for each in found.notes)


def test_the_crossover_before_a_top_tells_how_low_it_plays() -> None:
    found = of_show("outdoor-stage.yaml")["left.in"]
    assert found.lowest_hz == pytest.approx(100.0, abs=15)


def test_several_loudspeakers_on_a_channel_have_one_threshold() -> None:
    found = of_show("outdoor-stage.yaml")["amp-wedges.ch1.out"]
    assert len(found.loudspeakers) == 3
    assert found.caution is not None


def test_nothing_drives_a_loudspeaker_and_nothing_is_told() -> None:
    from levelhead.show.model import Item, Show

    trial = try_show(Show("Empty", items={"desk": Item("desk", "mixer-compact")}), load_book())
    assert limiter_settings(trial.reading) == ()


def test_mixer_and_amplifier_in_one_box_are_told_in_volts() -> None:
    """There is no output before it: a microphone's level would say nothing."""
    found = of_show("pub-duo.yaml")["desk.power-left.out"]
    assert found.at is None
    assert found.peak.dbu is None
    assert any("one box" in each for each in found.notes)


def test_an_output_that_ends_before_says_so() -> None:
    found = solved(power_w=300, gain_db=26, level="-20 dB")
    assert found.peak.dbu is not None
    assert found.peak.dbu > 21.0  # the processor's ceiling
    assert any("ends at +21.0 dBu" in each for each in found.notes)
    assert not any("ends at" in each for each in solved(power_w=300, gain_db=32).notes)


def test_a_line_of_100_v_has_the_threshold_of_the_stage_before_its_transformer() -> None:
    """A hundred volts are the amplifier's own end there, whatever hangs on the line."""
    text = """levelhead: 1
show: {name: t}
items:
  player: {type: player-pro}
  amp: {type: amplifier-line-100v, figures: {power.gain: 26.8 dB, power.ceiling: 21.8 V}}
  box: {type: loudspeaker-ceiling-100v}
links:
  - {from: player.out-left, to: amp.in, via: [lead-xlr-jack-balanced 2 m]}
  - {from: amp.out-100v, to: box.in, via: [cable-loudspeaker-bare 10 m]}
settings: {amp: {level: -6 dB}}
"""
    trial = try_show(parse_show(text, "line.yaml").show, load_book())
    (found,) = limiter_settings(trial.reading)
    assert found.output == "amp.out-100v"
    assert found.peak.dbu is not None
    # 21.8 V are +29.0 dBu; less 26.8 dB of gain, and the 6 dB that its level takes
    assert found.peak.dbu == pytest.approx(29.0 - 26.8 + 6.0, abs=0.3)


@pytest.mark.parametrize(
    ("loudspeaker", "deepest_hz"), [("loudspeaker-powered-12", 60.0), ("subwoofer-powered", 35.0)]
)
def test_times_follow_how_deep_a_box_plays(loudspeaker: str, deepest_hz: float) -> None:
    """Nobody limits a box for notes that it does not play: 0.7 of a period of its deepest."""
    entry = "in" if loudspeaker == "loudspeaker-powered-12" else "in-left"
    text = f"""levelhead: 1
show: {{name: Box}}
items:
  vox: {{type: mic-vocal-dynamic}}
  desk: {{type: mixer-compact}}
  box: {{type: {loudspeaker}}}
sources: {{ada: {{type: voice-singer, at: vox, distance: 5 cm}}}}
links:
  - {{from: vox.out, to: desk.ch1.mic, via: [cable-xlr 10 m]}}
  - {{from: desk.main-left.out, to: box.{entry}, via: [cable-xlr 10 m]}}
"""
    trial = try_show(parse_show(text, "box.yaml").show, load_book())
    (found,) = limiter_settings(trial.reading)
    assert found.lowest_hz == pytest.approx(deepest_hz)
    assert found.rms_times.attack_s == pytest.approx(0.7 / deepest_hz, rel=0.1)
