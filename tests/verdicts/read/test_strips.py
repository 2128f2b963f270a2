"""Strips: what lies between a plug and its meter."""

from __future__ import annotations

from typing import Any

import pytest

from levelhead.chain.solve import solve
from levelhead.gear.book import load_book
from levelhead.rig.build import build_rig
from levelhead.show.model import Cable, Item, Link, Show
from levelhead.verdicts.judge import judge
from levelhead.verdicts.read.strips import Strip, strips
from tests.chain.bench import BOOK, Items, bench_show
from tests.verdicts.cases import case

LINKS = [("t.out", "d.ch1.line")]


def the_strip(items: Items, **settings: str) -> Strip:
    told = {f"d.ch1.{name}": text for name, text in settings.items()}
    (strip,) = strips(case(items, LINKS, settings=told))
    return strip


def test_a_strip_knows_its_range_and_where_it_stands() -> None:
    strip = the_strip({"t": "tone", "d": "desk"}, gain="12 dB")
    assert (strip.port, strip.gain_control) == ("d.ch1.line", "d.ch1.gain")
    assert (strip.low_db, strip.now_db, strip.high_db) == (-20.0, 12.0, 60.0)
    assert strip.comfortable_db == pytest.approx(52.0)
    assert strip.makeup_db == 10.0


def test_what_is_needed_brings_nominal_to_the_meters_zero() -> None:
    strip = the_strip({"t": ("tone", {"generator.level": "-17.6 dBu"}), "d": "desk"})
    assert strip.needed_db == pytest.approx(21.6, abs=1e-6)
    assert strip.setting_for(strip.needed_db) == pytest.approx(21.6, abs=1e-6)


def test_a_fixed_gain_before_the_knob_moves_its_setting() -> None:
    """A stage of -6 dB: the knob has to stand 6 dB higher for the same gain."""
    strip = the_strip({"t": "tone", "d": ("desk", {"ch.preamp.gain": "-6 dB"})})
    assert (strip.fixed_db, strip.low_db, strip.high_db) == (-6.0, -26.0, 54.0)
    assert strip.setting_for(0.0) == 6.0


def test_the_first_ceiling_is_told_as_it_looks_at_the_port() -> None:
    strip = the_strip({"t": "tone", "d": "desk"})
    assert strip.lowest_ceiling is not None
    assert strip.lowest_ceiling.at_lowest_dbu == pytest.approx(41.0)


def test_a_strip_tells_what_stands_in_it() -> None:
    """Its stages and those on the way to its meter; not its neighbour's, not the source's."""
    solution = case({"t": "tone", "d": "desk"}, LINKS)
    (strip,) = strips(solution)
    own = [*(each.point.address for each in strip.ceilings), strip.metered.address, "d.ch1.gain"]
    assert all(strip.holds(solution.rig, each) for each in own)
    assert not any(strip.holds(solution.rig, each) for each in ("t.generator", "d.ch2.preamp"))


def test_a_locked_control_stays_where_it_is() -> None:
    show = bench_show(
        {"t": "tone", "d": "desk"}, LINKS, settings={"d.ch1.gain": "12 dB"}, locks=["d.ch1.gain"]
    )
    (strip,) = strips(solve(build_rig(show, BOOK)))
    assert strip.gain_control is None
    assert strip.low_db == strip.high_db == 12.0


DIGITAL: dict[str, Any] = {
    "label": "Digital input",
    "kind": "mixer",
    "source": "standard",
    "earth": "mains",
    "controls": {"gain": {"range": ["0 dB", "60 dB"], "default": "0 dB"}},
    "ports": {
        "line": {
            "socket": "xlr-f",
            "role": "in",
            "circuit": "balanced-input",
            "impedance": "1 Gohm",
            "common-mode": "1 Gohm",
        }
    },
    "path": {
        "from": "line",
        "stages": [
            {"stage": "preamp", "control": "gain"},
            {
                "stage": "converter",
                "full-scale": "+18 dBu",
                "ceiling": "0 dBFS",
                "meter": {"kind": "peak", "zero": "-18 dBFS"},
            },
        ],
    },
}


def test_a_meter_behind_a_converter_is_reached_at_its_alignment() -> None:
    """EBU R68: 0 dBu is -18 dBFS, so +4 dBu are 4 dB too much and -30 dBu want 30 dB."""
    book = BOOK.extended({"digital": DIGITAL})
    items: Items = {"t": ("tone", {"generator.level": "-30 dBu"}), "d": "digital"}
    show = bench_show(items, [("t.out", "d.line")])
    (strip,) = strips(solve(build_rig(show, book)))
    assert strip.setting_for(strip.needed_db) == pytest.approx(30.0, abs=0.01)
    assert strip.lowest_ceiling is not None
    assert strip.lowest_ceiling.at_lowest_dbu == pytest.approx(18.0, abs=0.01)


def test_idle_strips_are_left_out() -> None:
    assert [strip.port for strip in strips(case({"t": "tone", "d": "desk"}, LINKS))] == [
        "d.ch1.line"
    ]


def test_a_gain_that_goes_to_off_leaves_no_lowest_ceiling() -> None:
    """Turned off, nothing clips: the effect unit of the book, once, could not be checked."""
    items = {"f": Item("f", "feed-line-unbalanced"), "e": Item("e", "effect-unit")}
    run = Link({"a": "f.out", "b": "e.in"}, (Cable("cable-jack", 3.0),))
    solution = solve(build_rig(Show("off", items=items, links=(run,)), load_book()))
    (strip,) = (each for each in strips(solution) if each.port == "e.in")
    assert strip.lowest_ceiling is None
    assert judge(solution).findings


@pytest.mark.parametrize(("level", "count"), [("-130 dBu", 1), ("-132 dBu", 0)])
def test_what_lies_under_the_noise_of_150_ohm_is_no_signal(level: str, count: int) -> None:
    """Johnson and Nyquist: 150 ohm at 20 degC make -130.9 dBu in 20 kHz; -131 as handbooks say."""
    items: Items = {"t": ("tone", {"generator.level": level}), "d": "desk"}
    assert len(list(strips(case(items, LINKS)))) == count
