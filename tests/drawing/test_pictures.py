"""The drawings: to scale, complete, and proper SVG."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from levelhead.chain.levels import PointLevels
from levelhead.drawing.cable_picture import cable_picture
from levelhead.drawing.control_picture import degrees_from_top, fader_picture, knob_picture
from levelhead.drawing.levels.picture import NARROW, WIDE, level_picture
from levelhead.drawing.marks import MARKS, badge
from levelhead.drawing.svg import WIDEST_LETTER, wrapped
from tests.web.fake_asker import AMPLIFIER_HARMS, ANSWERS, MIC_FINE, point

WIDTHS = [NARROW, WIDE]


def parsed(markup: str) -> ET.Element:
    return ET.fromstring(markup)  # noqa: S314  # our own drawings


def drawn(answer: dict[str, Any], width: int = NARROW) -> ET.Element:
    points = [PointLevels.from_json(entry) for entry in answer["levels"]]
    return parsed(level_picture(points, width=width))


def of_class(picture: ET.Element, name: str) -> list[ET.Element]:
    return [node for node in picture.iter() if name in node.get("class", "").split()]


def start_x(node: ET.Element) -> float:
    """Where a path begins."""
    return float(node.get("d", "M0 0").removeprefix("M").split()[0])


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("source", ANSWERS)
def test_every_point_has_its_signs_and_figures(source: str, width: int) -> None:
    """One of each sign stands in the heads."""
    levels = ANSWERS[source]["levels"]
    picture = drawn(ANSWERS[source], width)
    for name in ("nominal", "peak", "ceiling"):
        present = sum(entry[name] is not None for entry in levels)
        assert len(of_class(picture, name)) == present + 1
    assert len(of_class(picture, "figure")) == 4 * len(levels)


@pytest.mark.parametrize("width", WIDTHS)
def test_equal_decibels_have_equal_lengths_throughout(width: int) -> None:
    """Nominal to ceiling, in drawing units per decibel, at points of different units."""
    picture = drawn(MIC_FINE, width)
    discs = of_class(picture, "nominal")[1:]
    walls = of_class(picture, "ceiling")[1:]
    levels = [entry for entry in MIC_FINE["levels"] if entry["ceiling"] is not None]
    lengths = [
        (start_x(wall) - float(disc.get("cx", 0))) / (entry["ceiling"] - entry["nominal"])
        for wall, disc, entry in zip(walls, discs[1:], levels, strict=True)
    ]
    assert lengths == pytest.approx([lengths[0]] * len(lengths), abs=0.01)
    assert lengths[0] > 1


@pytest.mark.parametrize("width", WIDTHS)
def test_signs_stand_at_the_numbers_of_their_scale(width: int) -> None:
    levels = {"levels": [point("a.b", "dBu", 0.0, 10.0, 20.0, -90.0)]}
    picture = drawn(levels, width)
    numbers = {node.text: float(node.get("x", 0)) for node in of_class(picture, "tick")}
    disc, wall = of_class(picture, "nominal")[1], of_class(picture, "ceiling")[1]
    assert float(disc.get("cx", 0)) == pytest.approx(numbers["0"], abs=0.01)
    assert start_x(wall) == pytest.approx(numbers["+20"], abs=0.01)


def test_what_lies_above_the_ceiling_is_drawn_as_lost() -> None:
    assert len(of_class(drawn(AMPLIFIER_HARMS), "lost")) == 1
    assert of_class(drawn(MIC_FINE), "lost") == []


@pytest.mark.parametrize("width", WIDTHS)
@given(
    levels=st.lists(st.tuples(*[st.none() | st.floats(-200, 200)] * 4), min_size=0, max_size=5),
    unit=st.sampled_from(["dBu", "dBFS", "dB SPL"]),
)
def test_nothing_is_drawn_outside_the_picture(
    width: int, levels: list[tuple[float | None, ...]], unit: str
) -> None:
    points = [PointLevels.from_json(point(f"a.b{n}", unit, *row)) for n, row in enumerate(levels)]
    picture = parsed(level_picture(points, width=width))
    for node in picture.iter():
        for name in ("x", "cx"):
            assert -0.01 <= float(node.get(name, 0)) <= width + 0.01


def test_text_on_a_phone_is_large_enough() -> None:
    """Drawn one to one on a phone of 390 pixels, less its margins."""
    for node in drawn(MIC_FINE).iter():
        if node.tag.endswith("text"):
            assert float(node.get("font-size", 0)) * (390 - 36) / NARROW >= 14


def test_long_names_are_broken_and_never_cut() -> None:
    name = "mixer-of-the-village-hall.input-channel-number-twelve.preamplifier"
    picture = parsed(level_picture([PointLevels.from_json(point(name, "dBu", 0, 1, 2, -9))]))
    lines = [node.text or "" for node in of_class(picture, "at")]
    assert "".join(lines) == name
    assert len(lines) > 1


@given(
    text=st.text(st.sampled_from("ab.-/ "), max_size=80),
    width=st.floats(20, 400),
)
def test_wrapped_text_fits_and_keeps_its_letters(text: str, width: float) -> None:
    lines = wrapped(text, width=width, type_size=15)
    room = max(1, int(width / (15 * WIDEST_LETTER)))
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")
    assert all(len(line) <= room for line in lines)


def test_texts_are_escaped_in_drawings() -> None:
    picture = level_picture([PointLevels.from_json(point("<b>&", "dBu", 0, 1, 2, -9))])
    assert "&lt;b&gt;&amp;" in picture
    parsed(picture)


# ---------------------------------------------------------------- cable


def test_swapped_pins_cross() -> None:
    picture = parsed(cable_picture([("1", "1"), ("2", "3"), ("3", "2")]))
    ends = []
    for wire in of_class(picture, "wire"):
        steps = [step.split() for step in wire.get("d", "").removeprefix("M").split(" L")]
        ends.append((float(steps[0][1]), float(steps[-1][1])))
    assert ends[0][0] == ends[0][1]
    assert ends[1] == ends[2][::-1]
    assert ends[1][0] < ends[1][1]


def test_joined_pins_are_drawn_once() -> None:
    picture = parsed(cable_picture([("1", "sleeve"), ("3", "sleeve"), ("2", "tip")]))
    assert [node.text for node in picture.iter() if node.tag.endswith("text")] == [
        *["1", "2", "3"],
        *["sleeve", "tip"],
    ]
    assert len(of_class(picture, "wire")) == 3


def test_an_open_pin_ends_in_the_air() -> None:
    picture = parsed(cable_picture([("2", "tip"), ("3", None), (None, "ring")]))
    assert len(of_class(picture, "open")) == 2
    assert picture.get("aria-label") == "pin 2 to pin tip; pin 3 open; pin ring open"


def test_a_lead_with_two_far_ends_has_two_plugs_there() -> None:
    pairs = [("tip", "left tip"), ("sleeve", "left sleeve"), ("ring", "right tip")]
    picture = parsed(cable_picture(pairs))
    assert len(of_class(picture, "plug")) == 3
    words = [node.text for node in picture.iter() if node.tag.endswith("text")]
    assert words == ["tip", "sleeve", "ring", "left tip", "left sleeve", "right tip"]


@given(
    pins=st.lists(
        st.tuples(
            st.none() | st.text("123abc+- ", min_size=1, max_size=12),
            st.none() | st.text("123abc+- ", min_size=1, max_size=12),
        ).filter(any),
        max_size=8,
    )
)
def test_any_cable_can_be_drawn_inside_its_picture(
    pins: list[tuple[str | None, str | None]],
) -> None:
    picture = parsed(cable_picture(pins))
    width, height = (float(side) for side in picture.get("viewBox", "").split()[2:])
    for node in picture.iter():
        if node.tag.endswith("circle"):
            assert 0 < float(node.get("cx", 0)) < width
            assert 0 < float(node.get("cy", 0)) < height


# ---------------------------------------------------------------- knob, marks


@pytest.mark.parametrize(
    ("travel", "degrees"), [(0.0, -150), (0.5, 0), (0.65, 45), (0.9, 120), (1.0, 150), (7.0, 150)]
)
def test_the_pointer_stands_where_a_clock_hand_would(travel: float, degrees: float) -> None:
    """A dial of 300 degrees, 30 of them an hour (common practice); 4 o'clock is 120 degrees."""
    assert degrees_from_top(travel) == pytest.approx(degrees)


def pointer_tip(markup: str) -> tuple[float, float]:
    (pointer,) = of_class(parsed(markup), "pointer")
    x, y = pointer.get("d", "").split(" L")[-1].split()
    return float(x), float(y)


def test_the_knob_turns_clockwise_and_the_fader_goes_up() -> None:
    left, middle, right = (pointer_tip(knob_picture(p, label="")) for p in (0.2, 0.5, 0.8))
    assert left[0] < middle[0] < right[0]
    assert middle[1] < left[1]
    low, high = (pointer_tip(fader_picture(p, label="")) for p in (0.2, 0.8))
    assert high[1] < low[1]


def test_marks_differ_in_shape_and_word() -> None:
    """Colour alone never tells two verdicts apart."""
    assert len({badge(verdict) for verdict in MARKS}) == len(MARKS)
    assert len({mark.word for mark in MARKS.values()}) == len(MARKS)
    assert all("#" not in badge(verdict) for verdict in MARKS)
