"""Figures in people's words: no address is left in what people read."""

from __future__ import annotations

from pathlib import Path
from typing import Final

import pytest

import levelhead
from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.gear.book import load_book
from levelhead.rig.build import build_rig
from levelhead.show.document import load_show
from levelhead.verdicts.judge import judge
from levelhead.verdicts.told.words import control_words, figure_words, gain_words, place_words
from tests.chain.bench import Items, bench

EXAMPLES: Final = Path(levelhead.__file__).parent / "examples"


def demo(name: str) -> Solution:
    document = load_show(str(EXAMPLES / name))
    return solve(build_rig(document.show, load_book(), document))


def test_a_place_is_told_without_commas() -> None:
    assert place_words("Desk, ch3, mic input") == "Desk ch3 mic input"


@pytest.mark.parametrize(
    ("tag", "words"),
    [
        ("d.ch1.line.common-mode", "leg-to-ground impedance of d ch1 line"),
        ("t.out.impedance", "impedance of t out"),
        ("link 0, wire, core resistance", "core resistance of the cable into d ch1 line"),
        ("link 7, wire, capacitance", "capacitance"),
        ("t.transformer, ratio", "turns ratio of t"),
        ("t.resistor", "resistor of t"),
    ],
)
def test_tags_of_circuits_become_words(tag: str, words: str) -> None:
    items: Items = {"t": "tone", "d": "desk"}
    assert figure_words(bench(items, [("t.out", "d.ch1.line")]).rig, tag) == words


@pytest.mark.parametrize(
    ("unit", "words"),
    [
        ("dB", "gain of Desk ch1 preamp"),
        ("V/Pa", "sensitivity of Desk ch1 preamp"),
        ("V", "full-scale level of Desk ch1 preamp"),
    ],
)
def test_a_figure_of_a_stage_is_named_by_what_it_does(unit: str, words: str) -> None:
    assert gain_words("Desk, ch1, preamp", unit) == words


def test_controls_have_words() -> None:
    rig = bench({"t": "tone", "d": "desk"}, [("t.out", "d.ch1.line")]).rig
    assert control_words(rig, "d.ch1.gain") == "the gain of d ch1"
    assert control_words(rig, "d.main") == "the main of d"


@pytest.mark.parametrize("name", ["village-hall.yaml", "duo-in-a-pub.yaml"])
def test_every_tag_of_the_demo_shows_has_words(name: str) -> None:
    """Whatever circuits come to name, no item's id and no dot is left of it."""
    solution = demo(name)
    for island in solution.islands:
        tags = [each.tag for each in island.elements if each.figure is not None]
        tags += [each.tag for each in island.drives if each.figure is not None]
        tags += [f"{each.tag}, {part}" for each in island.windings for part in each.spread]
        for tag in tags:
            words = figure_words(solution.rig, tag)
            assert words != tag
            assert "." not in words
            assert "," not in words


@pytest.mark.parametrize("name", ["village-hall.yaml", "duo-in-a-pub.yaml"])
def test_doubts_of_the_demo_shows_name_no_address(name: str) -> None:
    solution = demo(name)
    for finding in judge(solution).findings:
        for flip in finding.flips:
            assert "." not in flip.input
        assert not any(
            point.address in finding.what for point in solution.graph.points if "." in point.address
        )
