"""Drawn controls: now and planned told apart by shape, one colour for screen and paper."""

from __future__ import annotations

import math
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from levelhead.drawing.knobs import SIZE, control_drawing
from levelhead.gear.positions import Face

GAIN = tuple((place / 6, str(10 * place)) for place in range(7))
SWITCH = ((0.0, "off"), (1.0, "on"))


def drawn(face: Face) -> ET.Element:
    return ET.fromstring(str(control_drawing(face, label="gain")))  # noqa: S314 - our own text


def of_class(picture: ET.Element, name: str) -> list[ET.Element]:
    return [node for node in picture.iter() if node.get("class") == name]


def where(node: ET.Element) -> tuple[float, float]:
    return float(node.get("cx", "nan")), float(node.get("cy", "nan"))


@pytest.mark.parametrize("shape", ["knob", "fader"])
def test_now_is_an_open_ring_and_planned_a_disc(shape: str) -> None:
    """Two shapes, so that print without colour tells them apart."""
    picture = drawn(Face(shape, 0.2, 0.7, GAIN))
    (ring,), (disc,) = of_class(picture, "now"), of_class(picture, "planned")
    assert ring.get("fill") is None
    assert disc.get("fill") == "currentColor"
    assert float(ring.get("r", 0)) > float(disc.get("r", 0))
    assert len(of_class(picture, "way")) == 1


@pytest.mark.parametrize("shape", ["knob", "fader"])
def test_where_nothing_moves_the_disc_stands_in_the_ring(shape: str) -> None:
    picture = drawn(Face(shape, 0.4, 0.4, GAIN))
    (ring,), (disc,) = of_class(picture, "now"), of_class(picture, "planned")
    assert where(ring) == where(disc)
    assert not of_class(picture, "way")


def test_there_is_no_colour_but_that_of_the_text() -> None:
    for face in (
        Face("knob", 0.2, 0.7, GAIN),
        Face("fader", 0.2, 0.7),
        Face("switch", 0, 1, SWITCH),
    ):
        for node in drawn(face).iter():
            assert {node.get("fill"), node.get("stroke")} <= {None, "none", "currentColor"}


def test_the_pointer_of_a_knob_is_a_clock_hand() -> None:
    """From 7 o'clock, 30 degrees an hour: common practice. 0.8 of its travel is 3 o'clock."""
    (pointer,) = of_class(drawn(Face("knob", None, 0.8)), "pointer")
    x, y = (float(each) for each in pointer.get("d", "").split("L")[-1].split())
    assert math.degrees(math.atan2(x - SIZE / 2, SIZE / 2 - y)) == pytest.approx(90.0, abs=0.1)


def test_the_filled_box_of_a_switch_is_where_it_goes() -> None:
    boxes = of_class(drawn(Face("switch", 0.0, 1.0, SWITCH)), "position")
    assert [box.get("fill") for box in boxes] == ["none", "currentColor"]


@given(
    st.sampled_from(["knob", "fader"]),
    st.none() | st.floats(0.0, 1.0),
    st.none() | st.floats(0.0, 1.0),
)
def test_all_of_it_stands_on_the_page(shape: str, now: float | None, planned: float | None) -> None:
    for node in drawn(Face(shape, now, planned, GAIN)).iter():
        if node.tag.endswith("circle"):
            x, y = where(node)
            radius = float(node.get("r", 0))
            assert radius <= x <= SIZE - radius
            assert radius <= y <= SIZE - radius
