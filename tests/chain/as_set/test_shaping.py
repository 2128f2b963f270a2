"""Stages that do more than gain, in a chain: filters, delay, limiters in signal order."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any, Final

import numpy as np
import pytest
from numpy.typing import NDArray

from levelhead.chain.draws.levels import draw_levels_db
from levelhead.chain.draws.redraws import drawn_rig
from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.chain.stages.responses import Filter, band_response
from levelhead.errors import ShowError
from levelhead.gear.book import GearBook
from levelhead.quantity.bands import exact_mid_hz, mid_hz
from levelhead.quantity.spectra import band_levels_db
from levelhead.rig.build import build_rig
from levelhead.verdicts.read.doubts import doubts_of_level
from tests.chain.bench import Items, bench_show, entries, floor, nominal

TO_BOX: Final = [("t.out", "b.in")]
PINK: Final = 10 ** (band_levels_db("pink") / 10)


def box(*stages: Mapping[str, Any], **more: Any) -> dict[str, Any]:
    """The bench's box with other stages."""
    found: dict[str, Any] = entries()["box"]
    return found | {"path": {"from": "in", "stages": list(stages), "to": "out"}} | more


def solved(
    boxes: Mapping[str, Mapping[str, Any]],
    items: Items,
    links: Sequence[tuple[str, str]],
    settings: Mapping[str, str] | None = None,
) -> Solution:
    """Bench gear and these boxes, plugged and solved."""
    book = GearBook(entries() | dict(boxes))
    return solve(build_rig(bench_show(items, links, settings=settings), book))


def one(entry: Mapping[str, Any], settings: Mapping[str, str] | None = None) -> Solution:
    """A tone of pink noise at +4 dBu into a box of this kind."""
    return solved({"shaped": entry}, {"t": "tone", "b": "shaped"}, TO_BOX, settings)


def through(gain: NDArray[np.complex128]) -> float:
    """Change of level of pink noise. [dB]"""
    return float(10 * np.log10((PINK * np.abs(gain) ** 2).sum()))


LOW_CUT: Final = {"filter": "high-pass", "order": 3, "corner": "80 Hz"}


# ---------------------------------------------------------------- responses


def test_a_high_pass_takes_the_bands_below_it() -> None:
    solution = one(box({"stage": "cut", "filters": [LOW_CUT]}))
    expected = through(band_response((Filter("high-pass", 80.0, 3),)))
    assert expected < -0.5
    assert nominal(solution, "b.cut") == pytest.approx(4.0 + expected, abs=0.001)


def test_a_switch_takes_a_filter_away() -> None:
    switch = {"cut": {"options": ["off", "on"], "default": "off"}}
    entry = box({"stage": "cut", "filters": [LOW_CUT | {"when": {"cut": "on"}}]}, controls=switch)
    assert nominal(one(entry), "b.cut") == pytest.approx(4.0, abs=1e-6)
    assert nominal(one(entry, {"b.cut": "on"}), "b.cut") < 3.6


def test_a_dial_sets_the_corner() -> None:
    dial = {"corner": {"range": ["20 Hz", "400 Hz"], "default": "20 Hz"}}
    cut = LOW_CUT | {"corner-control": "corner"}
    solution = one(box({"stage": "cut", "filters": [cut]}, controls=dial), {"b.corner": "400 Hz"})
    expected = through(band_response((Filter("high-pass", 400.0, 3),)))
    assert nominal(solution, "b.cut") == pytest.approx(4.0 + expected, abs=0.001)


def test_a_dial_outside_its_range_is_refused() -> None:
    dial = {"corner": {"range": ["20 Hz", "400 Hz"], "default": "20 Hz"}}
    cut = LOW_CUT | {"corner-control": "corner"}
    with pytest.raises(ShowError, match="20 Hz to 400 Hz"):
        one(box({"stage": "cut", "filters": [cut]}, controls=dial), {"b.corner": "1 kHz"})


def test_bands_of_a_graphic_equaliser_are_set_one_by_one() -> None:
    names = [str(number) for number in range(1, 32)]
    bands = {"band": {"range": ["-12 dB", "12 dB"], "default": "0 dB", "repeat": names}}
    graphic = {"filter": "graphic", "gain-control": "band"}
    entry = box({"stage": "bands", "filters": [graphic]}, controls=bands)
    assert nominal(one(entry), "b.bands") == pytest.approx(4.0, abs=1e-6)
    kilohertz = Filter("peaking", float(exact_mid_hz(0)), gain_db=12.0, q=4.318)
    expected = through(band_response((kilohertz,)))
    solution = one(entry, {"b.band-18": "12 dB"})
    assert mid_hz()[17] == pytest.approx(1000.0)
    assert nominal(solution, "b.bands") == pytest.approx(4.0 + expected, abs=0.001)


def test_a_graphic_equaliser_without_31_bands_is_refused() -> None:
    bands = {"band": {"range": ["-12 dB", "12 dB"], "default": "0 dB", "repeat": ["1", "2"]}}
    graphic = {"filter": "graphic", "gain-control": "band"}
    with pytest.raises(ShowError, match="31 of it"):
        one(box({"stage": "bands", "filters": [graphic]}, controls=bands))


def test_outputs_of_a_crossover_add_up_to_what_went_in() -> None:
    """Low and high of 24 dB an octave, added in a desk: flat to 0.1 dB in each band."""
    split = {"filter": "low-pass", "shape": "linkwitz-riley", "order": 4, "corner": "100 Hz"}
    boxes = {
        "low": box({"stage": "split", "filters": [split]}),
        "high": box({"stage": "split", "filters": [split | {"filter": "high-pass"}]}),
        "y": entries()["wire"] | {"ends": {"a": "xlr-f", "b": "xlr-m", "c": "xlr-m"}},
    }
    items: Items = {"t": "tone", "l": "low", "h": "high", "d": "desk"}
    links = [("t.out", "l.in"), ("l.out", "d.ch1.line"), ("h.out", "d.ch2.line")]
    low = solved(boxes, items, links)
    assert nominal(low, "d.main-left.sum") < 4.0 - 3
    graph = low.graph
    responses = [shape.response for shape in graph.shapes.values() if shape.response is not None]
    assert 20 * np.log10(np.abs(sum(responses))) == pytest.approx(0.0, abs=0.1)


def test_a_filter_brings_doubt_to_the_peaks() -> None:
    """3 dB to each side, and none to the level."""
    solution = one(box({"stage": "cut", "filters": [LOW_CUT]}))
    row = solution.number("b.cut")
    peak = [each.input for each in doubts_of_level(solution, row, slope=-1.0, peak=True)]
    level = [each.input for each in doubts_of_level(solution, row, slope=-1.0)]
    assert sum(each.startswith("peak to rms behind") for each in peak) == 1
    assert not any(each.startswith("peak to rms behind") for each in level)


# ---------------------------------------------------------------- delay


def test_a_delay_and_its_control_make_a_comb() -> None:
    """A copy 1 ms later, as strong: 500 Hz cancels, 1 kHz adds (CV-81)."""
    dial = {"time": {"range": ["0 ms", "100 ms"], "default": "0 ms"}}
    boxes = {
        "late": box({"stage": "wait", "delay": "0.4 ms", "delay-control": "time"}, controls=dial)
    }
    items: Items = {"t": "tone", "b": "late", "d": "desk"}
    links = [("t.out", "b.in"), ("b.out", "d.ch1.line")]
    solution = solved(boxes, items, links, {"b.time": "0.6 ms"})
    edges = [each for each in solution.graph.edges if each.delay_s]
    assert [each.delay_s for each in edges] == pytest.approx([1e-3])
    assert nominal(solution, "d.main-left.sum") == pytest.approx(4.0, abs=0.01)
    assert solution.carried.delay_s.max() == pytest.approx(1e-3)


# ---------------------------------------------------------------- limiters


def limiter(threshold: str, **more: str) -> dict[str, Any]:
    return {"stage": "limiter", "limiter": {"threshold": threshold} | more}


def test_no_peak_passes_a_limiter() -> None:
    """Peaks of 4 + 12 - 3.01 = 12.99 dBu at a threshold of +6 dBu."""
    levels = one(box(limiter("+6 dBu"))).levels("b.limiter")
    assert levels.peak == pytest.approx(6.0, abs=0.01)
    assert levels.nominal is not None
    assert -3 < levels.nominal < 4.0


def test_a_limiter_that_is_not_reached_does_nothing() -> None:
    solution = one(box(limiter("+14 dBu")))
    assert nominal(solution, "b.limiter") == pytest.approx(4.0, abs=1e-9)
    assert solution.limited_at(solution.number("b.limiter")) is None


def test_a_dial_sets_the_threshold() -> None:
    dial = {"threshold": {"range": ["-20 dBu", "+20 dBu"], "default": "+20 dBu"}}
    stage = {
        "stage": "limiter",
        "limiter": {"threshold": "+20 dBu", "threshold-control": "threshold"},
    }
    solution = one(box(stage, controls=dial), {"b.threshold": "+5 dBu"})
    assert solution.levels("b.limiter").peak == pytest.approx(5.0, abs=0.01)


def test_noise_of_a_pause_passes_a_limiter_as_it_is() -> None:
    """Nothing is taken while nobody plays."""
    entry = box({"stage": "input", "noise": "-80 dBu"}, limiter("-10 dBu"))
    assert floor(one(entry), "b.limiter") == pytest.approx(-80.0, abs=0.01)


def test_limiters_in_a_row_see_what_the_one_before_left() -> None:
    """+6 dBu, then +3 dBu behind 0 dB: the second takes 3 dB off the peaks, not 10."""
    second = limiter("+3 dBu") | {"stage": "second"}
    solution = one(box(limiter("+6 dBu"), second))
    taken = solution.limited_at(solution.number("b.second"))
    assert taken is not None
    assert taken.peak_gain_db == pytest.approx(-3.0, abs=0.02)
    assert solution.levels("b.second").peak == pytest.approx(3.0, abs=0.02)


def test_gain_behind_a_limiter_lifts_its_ceiling_with_it() -> None:
    entry = box(limiter("+6 dBu"), {"stage": "after", "gain": "10 dB"})
    assert one(entry).levels("b.after").peak == pytest.approx(16.0, abs=0.01)


def test_a_compressor_turns_down_by_its_ratio() -> None:
    """Peaks 6.99 dB over the threshold at 2 to 1 keep 3.5 dB of it."""
    levels = one(box(limiter("+6 dBu", ratio="2"))).levels("b.limiter")
    assert levels.peak == pytest.approx(6.0 + 6.99 / 2, abs=0.02)


def test_in_a_sum_a_limited_signal_counts_by_its_power() -> None:
    """Alone, the crest is that of the limiter; under a second signal 20 dB up, that signal's."""
    boxes = {"shaped": box(limiter("0 dBu"))}
    items: Items = {"t": "tone", "b": "shaped", "u": "tone", "d": "desk"}
    links = [("t.out", "b.in"), ("b.out", "d.ch1.line"), ("u.out", "d.ch2.line")]
    alone = solved(boxes, items, links, {"d.ch2.fader": "off"})
    under = solved(boxes, items, links, {"d.ch1.gain": "-20 dB"})
    row = alone.number("d.main-left.sum")
    limited = alone.limited_at(alone.number("b.limiter"))
    assert limited is not None
    assert alone.crest_db[row] == pytest.approx(limited.crest_db, abs=0.01)
    assert under.crest_db[row] == pytest.approx(12.0, abs=0.1)


def test_two_signals_are_limited_as_one_sum() -> None:
    """A limiter on a sum turns all that is in it down by the same."""
    both = entries()["desk"]
    both["blocks"]["main"]["path"]["stages"].insert(1, limiter("+6 dBu"))
    items: Items = {"t": "tone", "u": "tone", "d": "sum-desk"}
    links = [("t.out", "d.ch1.line"), ("u.out", "d.ch2.line")]
    solution = solved({"sum-desk": both}, items, links)
    assert solution.levels("d.main-left.limiter").peak == pytest.approx(6.0, abs=0.01)
    row = solution.number("d.main-left.limiter")
    powers = solution.carried.power[solution.carried.point == row].sum(axis=1)
    assert powers[0] == pytest.approx(powers[1], rel=1e-9)


def test_drawn_levels_are_held_by_a_limiter() -> None:
    """The feed's level spreads by 2 dB; behind a limiter that works hard by far less."""
    loud = entries()["tone"]
    loud["path"]["from"][0]["generator"]["level"] = {
        "value": "+4 dBu",
        "range": ["0 dBu", "+8 dBu"],
    }
    boxes = {"loud": loud, "shaped": box(limiter("-6 dBu"))}
    solution = solved(boxes, {"t": "loud", "b": "shaped"}, TO_BOX)
    rng = np.random.default_rng(1)
    drawn = draw_levels_db(solution, ["t.output", "b.limiter"], draws=4000, rng=rng)
    before, after = drawn.std(axis=0)
    assert before == pytest.approx(2.0, abs=0.1)
    assert after < 0.5


FIRST_ORDER = 0.1  # dB, and dB2: of the two circuits, whose figures enter by their slopes alone
ERRORS = 5.0  # of the standard: chance is further off once in 1.7 million (normal distribution)


def moments(draws: NDArray[np.float64]) -> tuple[tuple[float, float], tuple[float, float]]:
    """Mean and variance of draws, each with its standard error, however they are spread.

    The variance of a sample's variance is (m4 - m2^2) / n, m2 and m4 about the mean.
    """
    off = draws - draws.mean()
    m2, m4 = float((off**2).mean()), float((off**4).mean())
    count = len(draws)
    return (float(draws.mean()), math.sqrt(m2 / count)), (m2, math.sqrt((m4 - m2**2) / count))


@pytest.mark.parametrize("threshold_dbu", [-2.0, 9.0, 16.0])
def test_levels_and_peaks_at_a_limiter_are_drawn_as_solving_again_has_them(
    threshold_dbu: float,
) -> None:
    """Works, is just reached, rests: 400 rigs with figures drawn, solved, against 4000 draws.

    Means and variances differ by chance alone: within five standard errors, whatever the seed.
    """
    loud = entries()["tone"]
    generator = loud["path"]["from"][0]["generator"]
    generator["level"] = {"value": "+4 dBu", "range": ["-6 dBu", "+14 dBu"]}
    generator["peak-to-rms"] = {"value": "12 dB", "range": ["10 dB", "14 dB"]}
    doubtful = {
        "value": f"{threshold_dbu} dBu",
        "range": [f"{threshold_dbu + by} dBu" for by in (-3, 3)],
    }
    boxes = {"loud": loud, "shaped": box({"stage": "limiter", "limiter": {"threshold": doubtful}})}
    usual = solved(boxes, {"t": "loud", "b": "shaped"}, TO_BOX)
    rng = np.random.default_rng(3)
    again = [solve(drawn_rig(usual.rig, rng)).levels("b.limiter") for _ in range(400)]
    expected = np.array([[each.nominal, each.peak] for each in again], dtype=float)
    here = usual.levels("b.limiter")
    for column, now in enumerate((here.nominal, here.peak)):
        assert now is not None
        drawn = draw_levels_db(
            usual, ["b.limiter"], draws=4000, rng=np.random.default_rng(4), of_peaks=bool(column)
        )
        found, redrawn = moments(now + drawn[:, 0]), moments(expected[:, column])
        for (one, error), (other, its_error) in zip(found, redrawn, strict=True):
            chance = ERRORS * math.hypot(error, its_error)
            assert one == pytest.approx(other, abs=chance + FIRST_ORDER)


def test_what_a_limiter_takes_its_threshold_decides() -> None:
    """Far over the threshold, the margin behind hangs on the threshold and hardly on the source."""
    solution = one(box(limiter("-6 dBu")))
    row = solution.number("b.limiter")
    slopes = {
        each.input: each.slope for each in doubts_of_level(solution, row, slope=-1.0, peak=True)
    }
    assert slopes["threshold of b limiter"] == pytest.approx(-1.0, abs=0.01)
    assert max(abs(s) for name, s in slopes.items() if "threshold" not in name) < 0.01


def test_a_limiter_in_a_loop_is_told_by_the_gain_for_weak_signals() -> None:
    """A loop that holds is solved; the limiter then takes what is too much of the sum."""
    boxes = {"shaped": box(limiter("0 dBu"), {"stage": "back", "gain": "-6 dB"})}
    items: Items = {"t": "tone", "d": "desk", "b": "shaped"}
    links = [("t.out", "d.ch1.line"), ("d.aux.out", "b.in"), ("b.out", "d.ch2.line")]
    sends = {"d.ch1.send": "0 dB", "d.ch2.send": "0 dB", "d.ch2.fader": "off"}
    solution = solved(boxes, items, links, sends)
    assert solution.loop_gain_db == pytest.approx(-6.0, abs=0.01)
    peak = solution.levels("b.limiter").peak
    assert peak is not None
    assert peak <= 0.01
    assert math.isfinite(peak)


def test_a_limiter_is_solved_again_to_the_last_bit() -> None:
    """From below its threshold to above and back: each time as from a fresh start."""
    boxes = {"shaped": box(limiter("0 dBu"))}
    book = GearBook(entries() | boxes)
    items: Items = {"t": "tone", "d": "desk", "b": "shaped", "u": "desk"}
    links = [("t.out", "d.ch1.line"), ("d.main-left.out", "b.in"), ("b.out", "u.ch1.line")]
    before: Solution | None = None
    for fader in ("-30 dB", "0 dB", "6 dB", "-30 dB", "-3 dB"):
        rig = build_rig(bench_show(items, links, settings={"d.ch1.fader": fader}), book)
        before, fresh = solve(rig, before), solve(rig)
        for column in ("nominal", "crest_db", "floor", "ceiling"):
            assert np.array_equal(getattr(before, column), getattr(fresh, column)), (fader, column)


def test_a_dial_is_read_again_on_wiring_that_stays() -> None:
    dial = {"corner": {"range": ["20 Hz", "400 Hz"], "default": "20 Hz"}}
    cut = LOW_CUT | {"corner-control": "corner"}
    book = GearBook(entries() | {"shaped": box({"stage": "cut", "filters": [cut]}, controls=dial)})
    items: Items = {"t": "tone", "b": "shaped"}
    low, high = (
        build_rig(bench_show(items, TO_BOX, settings={"b.corner": each}), book)
        for each in ("20 Hz", "400 Hz")
    )
    before = solve(low)
    assert nominal(solve(high, before), "b.cut") == nominal(solve(high), "b.cut")
    assert nominal(solve(high, before), "b.cut") < nominal(before, "b.cut") - 2
