"""What a level hangs on: figures on its strongest way."""

from __future__ import annotations

import math

import pytest

from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.gear.book import load_book
from levelhead.gear.figures import Figure
from levelhead.rig.build import build_rig
from levelhead.show.edits import SetFigure, apply
from levelhead.show.model import Show, Source
from levelhead.verdicts.read.doubts import (
    controls_with_room,
    doubts_of_level,
    level_doubt,
    strongest_way,
)
from levelhead.verdicts.told.limit_state import Doubt
from tests.chain.bench import BOOK, Items, bench, bench_show, entries, nominal, solved_show

LOADED: Items = {
    "t": ("tone", {"out.impedance": "600 ohm"}),
    "d": ("desk", {"ch.line.impedance": "2 kohm", "ch.line.common-mode": "1 Mohm"}),
}
ENTRY_OF_VOICE = entries()["voice"]
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


def test_a_performers_level_is_two_doubts_that_add_to_its_whole_range() -> None:
    """Who it is, and what the evening makes of them: 16 dB of range are 8 dB either way."""
    singer = load_book().plan("voice-singer", {}, {}).air
    assert singer is not None
    who, evening = level_doubt(singer.level_pa, singer.within_db)
    assert evening is not None
    parts = [Doubt("", "chance", each, 1.0) for each in (who, evening)]
    whole = Doubt("", "chance", singer.level_pa, 1.0)
    assert math.hypot(*(each.spread_db for each in parts)) == pytest.approx(whole.spread_db)
    assert evening.value == 0.0
    assert 20 * math.log10(who.high / who.low) < 16


def test_a_level_of_one_spread_stays_one_doubt() -> None:
    voice = BOOK.plan("voice", {}, {}).air
    assert voice is not None
    assert level_doubt(voice.level_pa, voice.within_db) == (voice.level_pa, None)


def test_a_level_that_is_known_leaves_only_the_evening() -> None:
    """Measured at the sound check: who it is, is no doubt any more."""
    known = Figure(1.0, 1.0, 1.0, "Pa", "measured")
    who, evening = level_doubt(known, Figure(5.0, 4.0, 6.0, "dB", "typical"))
    assert (who.low, who.high) == (1.0, 1.0)
    assert evening == Figure(0.0, -5.0, 5.0, "dB", "typical")


def test_both_parts_are_told_by_a_microphones_level() -> None:
    air = {**ENTRY_OF_VOICE["air"], "within": "4 dB"}
    book = BOOK.extended({"voice": {**ENTRY_OF_VOICE, "air": air}})
    items: Items = {"mic": "microphone", "d": "desk"}
    show = bench_show(items, [("mic.out", "d.ch1.line")], sources=[Source("anna", "voice", "mic")])
    found = slopes(solve(build_rig(show, book)), "d.ch1.preamp")
    assert found["level of anna in the loud passage"] == 1.0
    assert found["anna on the night"] == 1.0
