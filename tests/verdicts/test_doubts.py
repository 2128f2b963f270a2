"""What a level hangs on: figures on its strongest way."""

from __future__ import annotations

import math

import pytest

from levelhead.chain.solution import Solution
from levelhead.show.edits import SetFigure, apply
from levelhead.show.model import Show
from levelhead.verdicts.doubts import controls_with_room, doubts_of_level, strongest_way
from tests.chain.bench import Items, bench, bench_show, nominal, solved_show

LOADED: Items = {
    "t": ("tone", {"out.impedance": "600 ohm"}),
    "d": ("desk", {"ch.line.impedance": "2 kohm", "ch.line.common-mode": "1 Mohm"}),
}
LINKS = [("t.out", "d.ch1.line")]


def slopes(solution: Solution, address: str, **options: bool) -> dict[str, float]:
    """Level per decibel of a figure, by its words; figures that stand twice add."""
    found: dict[str, float] = {}
    for doubt in doubts_of_level(solution, solution.number(address), slope=1.0, **options):
        found[doubt.input] = found.get(doubt.input, 0.0) + doubt.slope
    return found


def moved_db(show: Show, item: str, figure: str, value: str) -> float:
    """What the level at the strip does when one figure is another, solved afresh."""
    after, _ = apply(show, [SetFigure(item, figure, value)])
    return nominal(solved_show(after), "d.ch1.preamp") - nominal(solved_show(show), "d.ch1.preamp")


@pytest.mark.parametrize(
    ("item", "figure", "value", "words"),
    [
        ("t", "out.impedance", "606 ohm", "impedance of t out"),
        ("d", "ch.line.impedance", "2020 ohm", "impedance of d ch1 line"),
    ],
)
def test_slopes_of_circuits_agree_with_a_full_redraw(
    item: str, figure: str, value: str, words: str
) -> None:
    """1 % of a figure is 0.0864 dB of it."""
    show = bench_show(LOADED, LINKS)
    slope = slopes(solved_show(show), "d.ch1.preamp")[words]
    one_per_cent_db = 20 * math.log10(1.01)
    expected = moved_db(show, item, figure, value)
    assert slope * one_per_cent_db == pytest.approx(expected, rel=0.02, abs=1e-6)


def test_gains_and_levels_have_slope_1() -> None:
    items: Items = {"t": "tone", "d": ("desk", {"ch.preamp.gain": "3 dB"})}
    found = slopes(bench(items, LINKS), "d.ch1.preamp", peak=True)
    assert found["level of t in the loud passage"] == 1.0
    assert found["peak to rms of t"] == 1.0
    assert found["gain of d ch1 preamp"] == 1.0


def test_peaks_are_doubted_only_where_they_matter() -> None:
    assert "peak to rms of t" not in slopes(bench({"t": "tone", "d": "desk"}, LINKS), "d.ch1.fader")


def test_the_strongest_way_leads_to_the_loudest_source() -> None:
    solution = bench(
        {"a": "tone", "b": "tone", "d": "desk"},
        [("a.out", "d.ch1.line"), ("b.out", "d.ch2.line")],
        settings={"d.ch1.fader": "-20 dB"},
    )
    way = strongest_way(solution, solution.number("d.main-left.level"))
    assert way.source is not None
    assert way.source.label == "b"
    assert way.controls == ("d.ch2.gain", "d.ch2.fader", "d.ch2.pan", "d.main")


def test_silence_has_no_way() -> None:
    solution = bench({"t": "tone", "d": "desk"}, LINKS)
    way = strongest_way(solution, solution.number("d.ch2.preamp"))
    assert (way.edges, way.source) == ((), None)
    assert way.power.sum() == pytest.approx(1.0)


def test_room_to_turn_up_is_that_of_the_free_controls() -> None:
    show = bench_show(
        {"t": "tone", "d": "desk"},
        LINKS,
        settings={"d.ch1.gain": "20 dB", "d.main": "-5 dB"},
        locks=["d.main"],
    )
    solution = solved_show(show)
    room = controls_with_room(solution, solution.number("d.main-left.level"))
    assert room == {"d.ch1.gain": 40.0, "d.ch1.fader": 10.0}
