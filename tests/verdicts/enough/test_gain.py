"""Enough or too much: the gain at hand, the lowest gain, a gain that is set too low.

The bench's strip goes from -20 to +60 dB (90 % of its travel: +52 dB) with 10 dB on the fader.
"""

from __future__ import annotations

import pytest

from levelhead.chain.solution import Solution
from levelhead.verdicts.enough.lent import SHARED_MAKEUP_DB
from levelhead.verdicts.told.severity import Severity
from tests.chain.bench import Items
from tests.verdicts.cases import case, found, the
from tests.verdicts.shows import worst_of


def plugged(level_dbu: float, **settings: str) -> Solution:
    items: Items = {
        "t": ("tone", {"generator.level": f"{level_dbu} dBu", "output.ceiling": "+80 dBu"}),
        "d": "desk",
    }
    told = {f"d.ch1.{name}": text for name, text in settings.items()}
    return case(items, [("t.out", "d.ch1.line")], settings=told)


@pytest.mark.parametrize(
    ("needed_db", "severity"),
    [
        (40.0, Severity.FINE),
        (52.0, Severity.FINE),  # just this side of 90 % of the travel
        (52.2, Severity.CARE),  # just that side
        (60.0, Severity.CARE),
        (75.9, Severity.CARE),  # the end of the gain, the fader and 6 dB of the masters
        (76.2, Severity.FAILS),
        (90.0, Severity.FAILS),
    ],
)
def test_gain_that_is_needed_against_gain_at_hand(needed_db: float, severity: Severity) -> None:
    finding = the(plugged(4.0 - needed_db), "enough.too-low")
    assert finding.severity is severity
    assert finding.margin == pytest.approx(60 + 10 + SHARED_MAKEUP_DB - needed_db, abs=1e-3)


@pytest.mark.parametrize(
    ("needed_db", "words"),
    [
        (40.0, "40.0 dB of gain bring it to +4.0 dBu: gain at half past 2 (75 % of its travel)"),
        (56.0, "gain at half past 4"),
        (62.0, "has 60.0 dB at most: 2.0 dB are missing, which the fader makes up"),
        (80.0, "Even with the fader up, 10.0 dB are missing"),
    ],
)
def test_the_sentence_says_where_the_knob_goes(needed_db: float, words: str) -> None:
    assert words in the(plugged(4.0 - needed_db), "enough.too-low").what


@pytest.mark.parametrize(
    ("spare_db", "severity"),
    [
        (10.0, Severity.FINE),
        (0.4, Severity.FINE),  # just this side
        (-0.4, Severity.CARE),  # just that side
        (-30.0, Severity.FAILS),
    ],
)
def test_speech_is_loud_enough_below_the_zero(spare_db: float, severity: Severity) -> None:
    """ISO 9921: speech at 70 to 80 dB(A) is well understood; music plays 10 dB louder and more.

    The mixer's gain ends at +60 dB, 90 % of its travel are +55 dB: 10 dB below +4 dBu want -61 dBu.
    """
    at_mic_pa = 20e-6 * 10 ** (68.3 / 20)  # ANSI S3.5-1997, raised voice at 1 m
    sensitivity = 0.7746 * 10 ** ((4.0 - 10.0 - 55.0 + spare_db) / 20) / at_mic_pa
    show = f"""
    items:
      mic:
        type: mic-vocal-dynamic
        figures: {{capsule.sensitivity: {sensitivity * 1e3:.5f} mV/Pa, out.impedance: 1 ohm}}
      desk: {{type: mixer-analogue-16}}
    sources: {{who: {{type: voice-talker, at: mic, distance: 1 m}}}}
    links: [{{from: mic.out, to: desk.ch1.mic, via: [cable-xlr 1 m]}}]
    """
    finding = worst_of(show, "enough.too-low")
    assert finding is not None
    assert finding.severity is severity


def test_a_locked_gain_is_no_gain_at_hand() -> None:
    items: Items = {"t": ("tone", {"generator.level": "-36 dBu"}), "d": "desk"}
    solution = case(items, [("t.out", "d.ch1.line")], locks=["d.ch1.gain"])
    finding = the(solution, "enough.too-low")
    assert finding.severity is Severity.FAILS
    assert "has none" in finding.what


def test_what_can_be_turned_up_before_the_input_is_care() -> None:
    """A player whose volume is down 70 dB: the level is there for the turning."""
    items: Items = {"p": "player", "d": "desk"}
    links = [("p.out", "d.ch1.line")]
    finding = the(case(items, links, settings={"p.volume": "-70 dB"}), "enough.too-low")
    assert finding.severity is Severity.CARE
    assert "turn up the volume of p first" in finding.what


def test_the_source_is_what_its_level_hangs_on() -> None:
    finding = the(plugged(4.0 - 56.0), "enough.too-low")
    assert finding.settle_by == "Let t give the loudest passage and read the first meter."


def test_nothing_is_judged_without_a_signal() -> None:
    solution = case({"mic": "microphone", "d": "desk"}, [("mic.out", "d.ch1.line")])
    assert found(solution, "enough.too-low") == []
    assert found(solution, "enough.too-high") == []


# ---------------------------------------------------------------- too high


@pytest.mark.parametrize(
    ("peak_dbu", "severity"),
    [
        (20.0, Severity.FINE),
        (35.0, Severity.FINE),  # 6 dB under +21 dBu at -20 dB
        (40.9, Severity.CARE),  # just this side
        (41.1, Severity.FAILS),  # just that side
        (50.0, Severity.FAILS),
    ],
)
def test_peaks_against_the_ceiling_at_the_lowest_gain(peak_dbu: float, severity: Severity) -> None:
    """With the gain at its lowest: else it clips as it is set, and that finding says it."""
    finding = the(plugged(peak_dbu - 12 + 3.0103, gain="-20 dB"), "enough.too-high")
    assert finding.severity is severity
    assert finding.margin == pytest.approx(41.0 - peak_dbu, abs=1e-3)


def test_crest_and_ceiling_are_among_the_doubts_of_peaks() -> None:
    finding = the(plugged(40.9 - 12 + 3.0103, gain="-20 dB"), "enough.too-high")
    assert finding.state is not None
    inputs = {doubt.input for doubt in finding.state.doubts}
    assert {"peak to rms of t", "ceiling of d ch1 preamp"} <= inputs


@pytest.mark.parametrize(
    ("ceiling_dbu", "severity"),
    [(20.0, Severity.FINE), (40.9, Severity.FINE), (41.1, Severity.FAILS)],
)
def test_what_clips_before_gets_no_louder_than_its_ceiling(
    ceiling_dbu: float, severity: Severity
) -> None:
    """Peaks of +50 dBu out of an output that ends lower: its own ceiling is what arrives."""
    items: Items = {
        "t": ("tone", {"generator.level": "41.0103 dBu", "output.ceiling": f"{ceiling_dbu} dBu"}),
        "d": "desk",
    }
    solution = case(items, [("t.out", "d.ch1.line")], settings={"d.ch1.gain": "-20 dB"})
    finding = the(solution, "enough.too-high")
    assert finding.severity is severity
    assert finding.margin == pytest.approx(41.0 - ceiling_dbu, abs=1e-3)


def test_a_clip_level_of_the_input_itself_stops_nothing_before_it() -> None:
    """A camera's mic input ends at -20 dBu, and a bus of a mixer brings peaks of +3 dBu there."""
    show = """
    items: {vox: {type: mic-vocal-dynamic}, desk: {type: mixer-digital-16}, cam: {type: camera-mic}}
    sources: {ann: {type: voice-singer, at: vox}}
    links:
      - {from: vox.out, to: desk.ch1.mic}
      - {from: desk.aux2.out, to: cam.mic, via: [lead-xlr-mini 3 m]}
    settings: {desk: {ch1: {gain: 36 dB, send2: 0 dB}}}
    """
    finding = worst_of(show, "enough.too-high")
    assert finding is not None
    assert finding.severity is Severity.FAILS


# ---------------------------------------------------------------- set too low


@pytest.mark.parametrize(
    ("gain_db", "is_told"),
    [(30.0, False), (14.1, False), (13.9, True), (0.0, True)],
)
def test_a_gain_far_below_its_place_is_told(gain_db: float, *, is_told: bool) -> None:
    """-26 dBu want 30 dB; 10 dB of the fader and 6 dB of the masters make up 16 dB."""
    told = found(plugged(-26.0, gain=f"{gain_db} dB"), "enough.set-too-low")
    assert bool(told) is is_told
    if is_told:
        assert told[0].severity is Severity.CARE
        assert told[0].margin == pytest.approx(10.0 + SHARED_MAKEUP_DB - (30.0 - gain_db), abs=1e-3)
        assert "30 dB is its place" in told[0].what


def test_a_gain_that_nobody_has_set_is_not_set_too_low() -> None:
    assert found(plugged(-26.0), "enough.set-too-low") == []
