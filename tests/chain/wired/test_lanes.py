"""Lanes: which origin is in force, what stands where, what a dead item passes."""

from __future__ import annotations

import pytest

from levelhead.gear.book import GearBook
from levelhead.show.edits import Set, apply
from tests.chain.bench import BOOK, POWERED, bench, bench_show, entries, solved_show

TWO_WAYS = {
    "label": "Strip with two inputs",
    "kind": "processor",
    "source": "standard",
    "earth": "mains",
    "ports": {
        name: {"socket": "xlr-f", "role": "in", "circuit": "balanced-input", "impedance": "1 Gohm",
               "common-mode": "1 Gohm"}
        for name in ("mic", "line")
    },
    "path": {
        "from": [{"port": "mic"}, {"port": "line", "gain": "-20 dB", "wins": "plugged"}],
        "stages": [{"stage": "preamp"}],
    },
}  # fmt: skip


def two_way_book() -> GearBook:
    return GearBook({**entries(), "two-ways": TWO_WAYS})


@pytest.mark.parametrize(
    ("plugged", "level"), [(["mic"], 4.0), (["line"], -16.0), (["mic", "line"], -16.0)]
)
def test_an_origin_that_wins_is_alone(
    plugged: list[str], level: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Tip contacts of a line jack part the microphone socket from the preamp."""
    monkeypatch.setattr("tests.chain.bench.BOOK", two_way_book())
    tones = {f"t-{port}": "tone" for port in plugged}
    links = [(f"t-{port}.out", f"s.{port}") for port in plugged]
    solution = bench({**tones, "s": "two-ways"}, links)
    assert solution.levels("s.preamp").nominal == pytest.approx(level, abs=1e-6)


def test_points_have_labels_for_people() -> None:
    solution = bench({"p": "pair", "d": "desk"}, [("p.out-left", "d.ch3.line")])
    assert solution.point("d.ch3.preamp").label == "d, ch3, preamp"
    assert solution.point("p.output-left").label == "p, output left"


def test_a_dead_item_passes_nothing_and_is_silent(monkeypatch: pytest.MonkeyPatch) -> None:
    """No phantom power at a line input: not even its noise arrives."""
    monkeypatch.setattr("tests.chain.bench.BOOK", BOOK.extended({"powered": POWERED}))
    show = bench_show(
        {"t": "tone", "p": "powered", "d": "desk"}, [("t.out", "p.in"), ("p.out", "d.ch1.line")]
    )
    dead = solved_show(show)
    assert dead.dead == {"p"}
    assert dead.levels("d.ch1.line").nominal is None
    assert dead.levels("p.buffer").floor is None
    alive, _ = apply(show, [Set("p.battery", "fitted")])
    assert solved_show(alive).dead == frozenset()
    assert solved_show(alive).levels("d.ch1.line").nominal == pytest.approx(4.0, abs=1e-6)
