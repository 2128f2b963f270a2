"""Full redraws against the rules of variances, and first order with bends against full redraws."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Final, NamedTuple

import numpy as np
import pytest
from numpy.typing import NDArray

from levelhead.chain.draws.bends import BEND_DB, Bends
from levelhead.chain.draws.levels import SHARED_BY_TYPE, draw_levels_db
from levelhead.chain.draws.redraws import PERFORMED, drawn_rig, redraw_levels_db
from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.errors import SolveError
from levelhead.gear.book import GearBook, load_book
from levelhead.gear.figures import Figure
from levelhead.rig.build import build_rig
from levelhead.rig.model import Rig
from levelhead.rig.refigured import refigured
from levelhead.show.document import parse_show
from levelhead.show.model import Item, Link, Show, Source
from tests.chain.bench import Items, bench_show, entries
from tests.random_rigs import random_rigs

SEED: Final = 4
AGREES_DB: Final = 1.0  # where first order is further off than that, the answer must redraw


def spread_book() -> GearBook:
    """Gear of the bench whose figures are doubtful: two standard deviations to each side."""
    found = entries()
    first, *_ = found["box"]["path"]["stages"]
    first["gain"] = {"value": "0 dB", "range": ["-4 dB", "4 dB"]}
    found["pair"]["path"]["from"][0]["generator"]["level"] = {
        "value": "0 dBu",
        "range": ["-6 dBu", "6 dBu"],
    }
    found["desk"]["blocks"]["ch"]["ports"]["line"] = {
        "socket": "xlr-f",
        "role": "in",
        "circuit": "unbalanced-input",
        "impedance": {"value": "1 kohm", "range": ["10 ohm", "100 kohm"]},
    }
    return GearBook(found)


BOOK: Final = spread_book()


def rig_of(items: Items, links: list[tuple[str, str]]) -> Rig:
    return build_rig(bench_show(items, links), BOOK)


# ---------------------------------------------------------------- redraws


def test_a_stage_spreads_as_its_range_says() -> None:
    """A quarter of 8 dB; 400 draws give a standard deviation within 4 %."""
    rig = rig_of({"play": "tone", "box": "box"}, [("play.out", "box.in")])
    before, after = redraw_levels_db(
        rig, ["box.in", "box.one"], draws=400, rng=np.random.default_rng(SEED)
    ).T
    assert (after - before).std() == pytest.approx(2.0, rel=0.12)


def test_things_of_one_type_share_half_of_a_variance() -> None:
    items: Items = {"a": "box", "b": "box", "one": "tone", "two": "tone"}
    rig = rig_of(items, [("one.out", "a.in"), ("two.out", "b.in")])
    at = ["a.in", "a.one", "b.in", "b.one"]
    drawn = redraw_levels_db(rig, at, draws=400, rng=np.random.default_rng(SEED))
    gains = drawn[:, [1, 3]] - drawn[:, [0, 2]]
    assert np.corrcoef(gains.T)[0, 1] == pytest.approx(SHARED_BY_TYPE, abs=0.12)


def test_a_performance_is_one_for_both_sides_and_its_own_for_each_item() -> None:
    items: Items = {"keys": "pair", "other": "pair", "desk": "desk"}
    ports = ("keys.out-left", "keys.out-right", "other.out-left")
    rig = rig_of(items, [(port, f"desk.ch{n}.line") for n, port in enumerate(ports, 1)])
    drawn = redraw_levels_db(
        rig, ["keys.output-left", "keys.output-right", "other.output-left"],
        draws=300, rng=np.random.default_rng(SEED),
    )  # fmt: skip
    assert drawn[:, 0] == pytest.approx(drawn[:, 1], abs=1e-9)
    assert abs(np.corrcoef(drawn[:, 0], drawn[:, 2])[0, 1]) < 0.2


def test_a_silent_draw_is_minus_infinity() -> None:
    """A condenser microphone that needs just the volts that it gets dies in half of the draws."""
    show = Show(
        "condenser",
        items={"mic": Item("mic", "mic-vocal-condenser"), "desk": Item("desk", "mixer-compact")},
        sources={"anna": Source("anna", "voice-singer", "mic")},
        links=(Link({"a": "mic.out", "b": "desk.ch1.mic"}),),
        settings={"desk.phantom": "on"},
    )
    rig = build_rig(show, load_book())
    arriving = solve(rig).phantom_at("mic")
    assert arriving is not None
    volts = arriving.volts - 0.01
    scarce = Figure(volts, 0.8 * volts, 1.2 * volts, "V", "typical")
    hungry = refigured(rig, lambda place, each: scarce if place.name.endswith("minimum") else each)
    drawn = redraw_levels_db(hungry, ["mic.out"], draws=60, rng=np.random.default_rng(SEED))
    assert 0.25 < np.isneginf(drawn).mean() < 0.75
    assert not np.isnan(drawn).any()


def test_a_point_that_is_not_there_is_refused() -> None:
    rig = rig_of({"play": "tone", "box": "box"}, [("play.out", "box.in")])
    with pytest.raises(SolveError, match=r"no point 'box\.nowhere'"):
        redraw_levels_db(rig, ["box.nowhere"], draws=1, rng=np.random.default_rng(SEED))


def test_ports_of_a_drawn_rig_are_those_of_its_items() -> None:
    rig = drawn_rig(rig_of({"play": "tone", "box": "box"}, [("play.out", "box.in")]),
                    np.random.default_rng(SEED))  # fmt: skip
    for port in rig.ports.values():
        assert port.item is rig.items[port.item.id]
        assert port.plan is port.item.plan.block(port.block.name).plan.ports[port.plan.name]


# ---------------------------------------------------------------- bends


def test_a_load_that_spreads_over_decades_bends() -> None:
    """A leg of 500 ohm into 10 ohm to 100 kohm: down by decades, up by 3.5 dB at most."""
    items: Items = {"play": ("tone", {"out.impedance": "1 kohm"}), "desk": "desk"}
    solution = solve(rig_of(items, [("play.out", "desk.ch1.line")]))
    row = solution.number("desk.ch1.line")
    edge = next(each for each in solution.graph.edges if each.target == row)
    moved = Bends(solution).moved_db(edge)
    assert moved is not None
    ratio_db = np.random.default_rng(0).normal(0, 20, 20_000)
    load_ohm, leg_ohm = 1000 * 10 ** (ratio_db / 20), 500  # the other leg lies on 0 V
    expected = 20 * np.log10(load_ohm / (leg_ohm + load_ohm) * 1.5)
    assert moved.std() == pytest.approx(float(expected.std()), rel=0.1)
    assert moved.mean() == pytest.approx(float(expected.mean()), abs=1.0)


def test_a_sure_load_does_not_bend() -> None:
    items: Items = {
        "play": ("tone", {"out.impedance": "1 kohm"}),
        "desk": ("desk", {"ch.line.impedance": "1 kohm"}),
    }
    solution = solve(rig_of(items, [("play.out", "desk.ch1.line")]))
    bends = Bends(solution)
    assert all(bends.moved_db(each) is None for each in solution.graph.edges)


BASS: Final = """\
levelhead: 1
show: {name: Bass into an isolator}
items:
  bass: {type: bass-active}
  box: {type: isolator-line}
  desk: {type: mixer-compact}
links:
  - {from: bass.out, to: box.in, via: [lead-jack-xlr 3 m]}
  - {from: box.out, to: desk.ch3.line, via: [lead-xlr-jack-balanced 10 m]}
"""


def test_a_bass_is_drawn_by_what_a_bass_plays() -> None:
    """What a small winding takes lies below 100 Hz: little of a programme, most of a bass."""
    found = compared(parse_show(BASS, "bass").show, draws=150)
    assert found is not None
    assert found.again.max() > 1.5
    assert found.bent == pytest.approx(found.again, rel=0.25, abs=0.05)


class Compared(NamedTuple):
    """Spreads at the points of a rig: first order alone, with bends, solved again. [dB]"""

    straight: NDArray[np.float64]
    bent: NDArray[np.float64]
    again: NDArray[np.float64]


def with_sure_performers(rig: Rig) -> Rig:
    """Performers move both sides alike; without them the gear's own spread is seen sharper."""
    return refigured(
        rig,
        lambda place, each: (
            each.at(each.value) if any(name in place.name for name in PERFORMED) else each
        ),
    )


def compared(show: Show, draws: int) -> Compared | None:
    """Spreads of a show's levels, of those draws in which nothing falls silent."""
    rig = with_sure_performers(build_rig(show, load_book()))
    solution = solve(rig)
    at = [each.at for each in solution.live_points() if each.nominal is not None]
    again = redraw_levels_db(rig, at, draws=draws, rng=np.random.default_rng(SEED))
    again = again[np.isfinite(again).all(axis=1)]
    if not at or len(again) < draws / 2:
        return None
    return Compared(
        spreads_db(solution, at, {}),
        spreads_db(solution, at, Bends(solution).of(solution.graph.edges)),
        again.std(axis=0),
    )


def spreads_db(
    solution: Solution, at: list[str], bent: dict[int, NDArray[np.float64]]
) -> NDArray[np.float64]:
    with np.errstate(over="ignore", invalid="ignore"):  # slopes beside a null are anything
        drawn = draw_levels_db(solution, at, draws=1000, rng=np.random.default_rng(1), bent=bent)
        return drawn.std(axis=0)


@pytest.mark.parametrize(
    ("rigs", "draws"), [(10, 40), pytest.param(100, 100, marks=pytest.mark.long)]
)
def test_spreads_with_bends_are_those_of_full_redraws(
    rigs: int, draws: int, record_property: Callable[[str, object], None]
) -> None:
    """On random rigs of the gear book, within 1 dB and thrice the error of so many draws."""
    shows = random_rigs(load_book(), np.random.default_rng(SEED), rigs, most_channels=3)
    found = [each for show in shows if (each := compared(show, draws)) is not None]
    assert len(found) > rigs / 2
    straight, bent, again = (np.concatenate(parts) for parts in zip(*found, strict=True))
    chance_db = 3 * again / math.sqrt(2 * draws)
    off_straight = ~(np.abs(straight - again) <= AGREES_DB + chance_db)
    record_property("points", len(again))
    record_property("first order off by more than 1 dB", int(off_straight.sum()))
    record_property("rms with bends", float(np.sqrt(((bent - again) ** 2).mean())))
    wrong = np.flatnonzero(~(np.abs(bent - again) <= AGREES_DB + chance_db))
    assert [(bent[each], again[each]) for each in wrong] == []
    assert BEND_DB < AGREES_DB
