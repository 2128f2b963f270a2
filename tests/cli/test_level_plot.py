"""``levelhead levels --plot``, and the ways that ``--path`` picks."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Levelhead = Callable[..., Any]


def test_plot_writes_a_drawing_and_says_what_is_in_it(
    levelhead: Levelhead, tmp_path: Path, duo: str
) -> None:
    place = tmp_path / "duo.svg"
    ran = levelhead("levels", duo, "--plot", str(place))
    assert (ran.status, ran.out) == (0, "")
    assert "Mia (mia) to Monitor (monitor)" in ran.err
    assert ET.parse(place).getroot().tag.endswith("svg")  # noqa: S314  # our own drawing
    assert [path.name for path in tmp_path.iterdir()] == ["duo.svg"]


def test_plot_and_json_go_together(levelhead: Levelhead, tmp_path: Path, duo: str) -> None:
    ran = levelhead("levels", duo, "--plot", str(tmp_path / "duo.svg"), "--json")
    assert ran.json["points"]


@pytest.mark.parametrize(
    ("name", "said"), [("duo.png", "ends in .svg"), ("no/duo.svg", "another place")]
)
def test_a_place_that_will_not_do_is_told(
    levelhead: Levelhead, tmp_path: Path, duo: str, name: str, said: str
) -> None:
    ran = levelhead("levels", duo, "--plot", str(tmp_path / name))
    assert (ran.status, ran.out) == (2, "")
    assert said in ran.err


def test_path_keeps_only_the_ways_through_a_point(levelhead: Levelhead, duo: str) -> None:
    ran = levelhead("levels", duo, "--path", "mia", "--path", "top-left", "--json").json
    assert len(ran["paths"]) == 1
    assert [point["at"] for point in ran["points"]] == ran["paths"][0]


def test_at_takes_a_channel_and_not_those_that_begin_like_it(
    levelhead: Levelhead, tmp_path: Path
) -> None:
    show = tmp_path / "show.yaml"
    show.write_text(
        'levelhead: 1\nshow: {name: "Band"}\n'
        "items: {vox: {type: mic-vocal-dynamic}, gtr: {type: mic-vocal-dynamic},"
        " desk: {type: mixer-analogue-16}}\n"
        "sources: {ana: {type: voice-singer, at: vox}, ben: {type: voice-singer, at: gtr}}\n"
        "links: [{from: vox.out, to: desk.ch1.mic}, {from: gtr.out, to: desk.ch10.mic}]\n",
        encoding="utf-8",
    )
    points = levelhead("levels", str(show), "--at", "desk.ch1", "--json").json["points"]
    assert points
    assert {point["at"].split(".")[1] for point in points} == {"ch1"}


@pytest.mark.parametrize("option", ["--at", "--path"])
def test_an_address_that_nothing_has_is_told(levelhead: Levelhead, duo: str, option: str) -> None:
    ran = levelhead("levels", duo, option, "dsek")
    assert (ran.status, ran.out) == (2, "")
    assert "Did you mean 'desk'?" in ran.err
