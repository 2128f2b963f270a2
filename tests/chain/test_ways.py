"""Ways of a signal: in order, strongest first, sockets beside the way told with it."""

from __future__ import annotations

from levelhead.show.model import Source
from tests.chain.bench import bench

LINKS = [("t.out", "d.ch1.line"), ("d.main-left.out", "w.in"), ("d.aux.out", "v.in")]
ITEMS = {"t": "tone", "d": "desk", "w": "monitor", "v": "monitor"}


def test_a_way_runs_from_the_source_to_the_air() -> None:
    (way,) = bench(ITEMS, LINKS).paths
    assert way == (
        "t.output",
        "t.out",
        "d.ch1.line",
        "d.ch1.preamp",
        "d.ch1.fader",
        "d.main-left.sum",
        "d.main-left.level",
        "d.main-left.out",
        "w.in",
        "w.driver",
    )


def test_the_strongest_way_comes_first_at_a_fork() -> None:
    loud = bench(ITEMS, LINKS, settings={"d.ch1.send": "6 dB"})
    faint = bench(ITEMS, LINKS, settings={"d.ch1.send": "-6 dB"})
    assert "d.aux.sum" in loud.paths[0]
    assert "d.aux.sum" not in faint.paths[0]
    assert {frozenset(way) for way in loud.paths} == {frozenset(way) for way in faint.paths}


def test_each_source_has_its_ways() -> None:
    solution = bench(
        {"mic": "microphone", "t": "tone", "d": "desk"},
        [("mic.out", "d.ch1.line"), ("t.out", "d.ch2.line")],
        sources=[Source("anna", "voice", "mic"), Source("ben", "voice", "mic")],
    )
    assert sorted(way[0] for way in solution.paths) == ["anna", "ben", "t.output"]


def test_hidden_points_are_not_told() -> None:
    solution = bench(
        {"mic": "microphone", "d": "desk"},
        [("mic.out", "d.ch1.line")],
        sources=[Source("anna", "voice", "mic")],
    )
    assert any(point.is_hidden for point in solution.graph.points)
    assert all("~" not in address for way in solution.paths for address in way)
