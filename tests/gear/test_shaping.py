"""Filters, limiters, companders and delay of entries: what is read, and what is refused."""

from __future__ import annotations

import math
from typing import Any

import pytest

from levelhead.errors import GearError
from levelhead.gear.book import GearBook
from levelhead.gear.compile import controls_of
from levelhead.gear.plan import StagePlan
from levelhead.gear.shaping import PLAIN
from levelhead.rig.settings import read_setting, setting_text


def entry(stage: dict[str, Any], controls: dict[str, Any] | None = None) -> dict[str, Any]:
    """A box with one stage behind an input."""
    port = {"socket": "xlr-f", "role": "in", "circuit": "balanced-input", "impedance": "20 kohm"}
    return {
        "label": "Box",
        "kind": "processor",
        "source": "typical",
        "ports": {"in": port},
        "controls": controls or {},
        "path": {"from": "in", "stages": [{"stage": "input"}, {"stage": "one"} | stage]},
    }


def planned(
    stage: dict[str, Any],
    controls: dict[str, Any] | None = None,
    chosen: dict[str, str] | None = None,
    figures: dict[str, Any] | None = None,
) -> StagePlan:
    book = GearBook({"box": entry(stage, controls)})
    plan = book.plan("box", chosen or {}, figures or {})
    return plan.block("").plan.paths[0].stages[1]


CUT = {"filter": "high-pass", "order": 3, "corner": "80 Hz"}
SWITCH = {"cut": {"options": ["off", "on"], "default": "off"}}


def test_a_stage_without_more_is_plain() -> None:
    assert planned({"gain": "3 dB"}).shaping == PLAIN
    assert planned({"filters": [CUT | {"when": {"cut": "on"}}]}, SWITCH).shaping.is_plain


def test_a_filter_is_read_with_its_corner() -> None:
    found = planned({"filters": [CUT]}).shaping.filters[0]
    assert found.corner_hz is not None
    assert (found.kind, found.order, found.corner_hz.value) == ("high-pass", 3, 80.0)


def test_a_unit_has_figures_of_its_own() -> None:
    limiter = {"limiter": {"threshold": "+8 dBu"}, "filters": [CUT, CUT], "delay": "1 ms"}
    own = {"one.filter-2.corner": "100 Hz", "one.limiter.threshold": "0 dBV", "one.delay": "2 ms"}
    shaping = planned(limiter, figures=own).shaping
    first, second = (each.corner_hz for each in shaping.filters)
    assert first is not None
    assert second is not None
    assert shaping.limiter is not None
    assert shaping.delay is not None
    assert shaping.delay.fixed is not None
    assert (first.value, second.value) == (80.0, 100.0)
    assert shaping.limiter.threshold.value == pytest.approx(1.0)
    assert shaping.delay.fixed.value == pytest.approx(0.002)


def test_a_limiter_has_no_end_of_ratio_unless_it_says_one() -> None:
    hard = planned({"limiter": {"threshold": "+8 dBu"}}).shaping.limiter
    soft = planned({"limiter": {"threshold": "+8 dBu", "ratio": "4"}}).shaping.limiter
    assert hard is not None
    assert soft is not None
    assert (hard.ratio, soft.ratio) == (math.inf, 4.0)


def test_thresholds_behind_a_converter_are_digital() -> None:
    stage = {"full-scale": "+18 dBu", "limiter": {"threshold": "-6 dBFS"}}
    found = planned(stage).shaping.limiter
    assert found is not None
    assert found.threshold.value == pytest.approx(10 ** (-6 / 20))


@pytest.mark.parametrize(
    ("stage", "said"),
    [
        ({"filters": [{"filter": "high-pass", "order": 2}]}, "has a corner"),
        ({"filters": [CUT | {"order": 5}]}, "order from 1 to 4"),
        ({"filters": [CUT | {"shape": "linkwitz-riley"}]}, "24 dB an octave"),
        ({"filters": [CUT | {"gain": "3 dB"}]}, "has no gain"),
        ({"filters": [{"filter": "peaking", "corner": "1 kHz", "order": 2}]}, "neither order"),
        ({"filters": [{"filter": "graphic"}]}, "gain-control"),
        ({"filters": [CUT | {"corner": "0 Hz"}]}, "the corner is not possible"),
        ({"filters": [CUT | {"corner-control": "corner"}]}, "no control 'corner'"),
        ({"limiter": {"threshold": "+8 dBu", "ratio": "0.5"}}, "the ratio is not possible"),
        ({"limiter": {"threshold": "8 kHz"}}, "8 kHz"),
        ({"delay": "-1 ms"}, "the delay is not possible"),
        ({"delay-control": "time"}, "no control 'time'"),
        ({"compander": {"link-noise": "-58 dB"}}, "has a ceiling"),
        ({"set-by": "ceiling"}, "has a ceiling"),
    ],
)
def test_what_cannot_be_is_refused(stage: dict[str, Any], said: str) -> None:
    with pytest.raises(GearError, match=said):
        planned(stage)


def test_a_limiter_on_a_sum_needs_a_stage_where_the_sum_is() -> None:
    entry_of_sum = entry({})
    entry_of_sum["path"] = {
        "from": [{"port": "in"}],
        "stages": [{"stage": "one", "limiter": {"threshold": "+8 dBu"}}],
    }
    with pytest.raises(GearError, match="where the sum is"):
        GearBook({"box": entry_of_sum}).plan("box", {}, {})


# ---------------------------------------------------------------- dials


@pytest.mark.parametrize(
    ("span", "default", "written"),
    [
        (["20 Hz", "400 Hz"], "80 Hz", "80 Hz"),
        (["0 ms", "1 s"], "12 ms", "12 ms"),
        (["-40 dBu", "+20 dBu"], "+4 dBu", "+4 dBu"),
        (["-60 dBFS", "0 dBFS"], "-6 dBFS", "-6 dBFS"),
    ],
)
def test_a_dial_reads_and_writes_its_own_unit(span: list[str], default: str, written: str) -> None:
    control = {"dial": {"range": span, "default": default}}
    book = GearBook({"box": entry({}, control)})
    dial = controls_of(book.entry("box"))["dial"]
    assert dial.kind == "dial"
    text = setting_text(dial.default, dial)
    assert read_setting(text, dial, where="here") == pytest.approx(dial.default)
    assert text.replace(".0 ", " ") == written


@pytest.mark.parametrize("high", ["60 kohm", "20 dBu", "3 m"])
def test_a_dial_of_mixed_or_strange_units_is_refused(high: str) -> None:
    book = GearBook({"box": entry({}, {"dial": {"range": ["10 Hz", high], "default": "20 Hz"}})})
    with pytest.raises(GearError, match="no position of a control"):
        controls_of(book.entry("box"))


def test_a_control_may_repeat_by_names() -> None:
    bands = {"band": {"range": ["-12 dB", "12 dB"], "default": "0 dB", "repeat": ["63", "125"]}}
    assert list(controls_of(GearBook({"box": entry({}, bands)}).entry("box"))) == [
        "band-63",
        "band-125",
    ]


def test_a_crossing_from_a_stage_that_is_not_there_begins_before_it() -> None:
    """A filter that a switch takes out of the way does not take the send with it."""
    mixer = entry({})
    strip = {
        "ports": mixer.pop("ports"),
        "controls": SWITCH,
        "path": {
            "from": "in",
            "stages": [
                {"stage": "preamp"},
                {"stage": "cut", "filters": [CUT], "when": {"cut": "on"}},
                {"stage": "fader"},
            ],
        },
    }
    mixer |= {
        "path": None,
        "blocks": {"ch": strip, "aux": {"path": {"from": "mix", "stages": [{"stage": "sum"}]}}},
        "mix": [{"from": "ch.cut", "to": "aux"}],
    }
    book = GearBook({"box": mixer})
    for option, start in (("off", "preamp"), ("on", "cut")):
        block = book.plan("box", {"ch.cut": option}, {}).block("ch")
        assert [each.from_stage for each in block.mixes] == [start]
