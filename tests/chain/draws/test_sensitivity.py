"""First-order sensitivities of islands: against the divider rule, and against solving again."""

from __future__ import annotations

from collections.abc import Collection
from typing import Final

import numpy as np
import pytest
from numpy.typing import NDArray

from levelhead.chain.draws.sensitivity import Sensitivity, island_sensitivities
from levelhead.chain.solution import Solution
from levelhead.gear.book import load_book
from levelhead.planning.trial import try_show
from levelhead.quantity import mid_hz
from levelhead.show.edits import SetFigure, apply
from levelhead.show.model import Cable, Item, Link, Show
from levelhead.verdicts.read.doubts import strongest_way
from tests.chain.bench import bench, nominal

OUTPUT_OHM: Final = 600.0
INPUT_OHM: Final = 1800.0
INPUT: Final = "desk.ch1.mic"
DESK: Final = {f"{INPUT}.impedance", f"{INPUT}.common-mode"}  # the second follows the first
FLAT: Final = np.ones_like(mid_hz())  # equal power in every band


def sensitivities(
    solution: Solution, address: str, output: str, power: NDArray[np.float64] = FLAT
) -> dict[str, Sensitivity]:
    """What moves the level at a port, by where its figure stands."""
    (number,) = (
        number
        for number, island in enumerate(solution.islands)
        if address in island.sense_addresses
    )
    island, solved = solution.islands[number], solution.solved[number]
    drive = next(each for each in island.drives if each.port == output)
    found = island_sensitivities(island, solved, address, (output, drive.signal), power)
    return {each.tag: each for each in found}


def loaded_box() -> Solution:
    return bench(
        {
            "play": ("tone", {"out.impedance": f"{OUTPUT_OHM} ohm"}),
            "box": ("box", {"in.impedance": f"{INPUT_OHM} ohm"}),
        },
        [("play.out", "box.in")],
    )


def test_a_divider_moves_as_its_derivative_says() -> None:
    """The logarithm of Zi / (Zi + Zo) has slopes of Zo / (Zi + Zo), down and up."""
    found = sensitivities(loaded_box(), "box.in", "play.out")
    share = OUTPUT_OHM / (OUTPUT_OHM + INPUT_OHM)
    assert found["play.out.impedance"].slope == pytest.approx(-share, abs=1e-3)
    assert found["box.in.impedance"].slope == pytest.approx(share, abs=1e-3)


def test_parts_that_do_not_matter_are_not_named() -> None:
    """The gigaohm from the hot and the cold leg to the chassis moves nothing that anybody sees."""
    assert not any("common" in tag for tag in sensitivities(loaded_box(), "box.in", "play.out"))


def test_nothing_moves_what_does_not_pass() -> None:
    solution = loaded_box()
    island, solved = solution.islands[0], solution.solved[0]
    drive = island.drives[0]
    address = island.sense_addresses[0]
    assert island_sensitivities(island, solved, address, (drive.port, drive.signal), 0 * FLAT) == []


KEYS_INTO_A_DI: Final = Show(
    "one",
    items={
        "keys": Item("keys", "keyboard-stereo"),
        "di": Item("di", "di-passive"),
        "desk": Item("desk", "mixer-compact"),
    },
    links=(
        Link({"a": "keys.out-left", "b": "di.in"}, (Cable("cable-jack", 3.0),)),
        Link({"a": "di.out", "b": "desk.ch1.mic"}, (Cable("cable-xlr", 10.0),)),
    ),
)


def with_figure(item: str, figure: str, value: float, unit: str) -> Solution:
    """The keyboard through the box, a figure of an item changed."""
    changed, _ = apply(KEYS_INTO_A_DI, [SetFigure(item, figure, f"{value!r} {unit}".rstrip())])
    return try_show(changed, load_book()).solution


@pytest.mark.parametrize(
    ("item", "figure", "value", "unit", "tags"),
    [
        ("desk", "ch.mic.impedance", 1500.0, "ohm", DESK),
        ("keys", "out-left.impedance", 1000.0, "ohm", {"keys.out-left.impedance"}),
        ("di", "core.ratio", 12.0, "", {"di.transformer, ratio"}),
        ("di", "core.primary", 2400.0, "ohm", {"di.transformer, primary"}),
        ("di", "core.magnetising", 80.0, "H", {"di.transformer, magnetising"}),
    ],
)
def test_the_slope_is_the_difference_of_two_solutions(
    item: str, figure: str, value: float, unit: str, tags: Collection[str]
) -> None:
    """A real box: its transformer, what feeds it, and the input behind it, solved again."""
    step_db = 0.2
    more, less = (
        nominal(with_figure(item, figure, value * 10 ** (sign * step_db / 40), unit), INPUT)
        for sign in (1, -1)
    )
    solution = with_figure(item, figure, value, unit)
    power = strongest_way(solution, solution.number(INPUT)).power
    found = sensitivities(solution, INPUT, "keys.out-left", power)
    slope = sum(found[tag].slope for tag in tags)
    assert slope == pytest.approx((more - less) / step_db, rel=0.01, abs=1e-5)


def test_what_both_legs_share_falls_with_the_rejection_of_the_input() -> None:
    """A lead that feeds both legs alike leaves what the input does not reject: dB for dB."""
    show = Show(
        "both legs",
        items={"piano": Item("piano", "stage-piano"), "desk": Item("desk", "mixer-digital-32")},
        links=(
            Link({"a": "piano.out-left", "b": "desk.ch2.line"}, (Cable("lead-jack-both", 3.0),)),
        ),
    )
    solution = try_show(show, load_book()).solution
    found = sensitivities(solution, "desk.ch2.line", "piano.out-left")
    assert found["desk.ch2.line.cmrr"].slope == pytest.approx(-1.0, abs=0.01)


def test_the_rejection_of_an_input_moves_no_difference() -> None:
    """A balanced line loses or gains nothing by it."""
    show = Show(
        "line",
        items={"feed": Item("feed", "feed-line"), "desk": Item("desk", "mixer-digital-32")},
        links=(Link({"a": "feed.out", "b": "desk.ch1.mic"}, (Cable("cable-xlr", 3.0),)),),
    )
    found = sensitivities(try_show(show, load_book()).solution, "desk.ch1.mic", "feed.out")
    assert "desk.ch1.mic.cmrr" not in found or abs(found["desk.ch1.mic.cmrr"].slope) < 0.01
