"""What a plan says is what the rig does with it, and a planned show stays as it is."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Final

import pytest

from levelhead.gear.book import GearBook, load_book
from levelhead.planning.gains.goals.worth import missed_db
from levelhead.planning.gains.make import Made, make_plan
from levelhead.planning.gains.planned.plan import GoalResult
from levelhead.show.document import load_show
from levelhead.show.edits import apply

ROOT: Final = Path(__file__).parents[3]
SHOWS: Final = (
    "tests/rigs/pub-duo.yaml",
    "tests/rigs/church-band.yaml",
    "tests/rigs/quiet-disco.yaml",
    "src/levelhead/examples/duo-in-a-pub.yaml",
    "src/levelhead/examples/conference.yaml",
    "src/levelhead/examples/village-hall.yaml",
)
RESERVE_DB: Final = 6.0


@cache
def book() -> GearBook:
    return load_book()


@cache
def made(path: str) -> Made:
    return make_plan(load_show(ROOT / path).show, book())


@pytest.mark.parametrize("path", SHOWS)
def test_levels_of_the_plan_are_those_of_the_rig(path: str) -> None:
    """Signals and noise at every point that the plan is about, the rig solved with its edits."""
    assert made(path).off_by_db <= 0.05


@pytest.mark.parametrize("path", SHOWS)
def test_the_gap_to_the_best_possible_is_closed(path: str) -> None:
    assert made(path).plan.gap_db <= 0.01


@pytest.mark.parametrize("path", [*SHOWS, "src/levelhead/examples/church-with-band.yaml"])
def test_the_fewest_changes_are_proven_on_any_machine(path: str) -> None:
    """No clock stops the search: a busy machine used to leave more controls touched."""
    found = made(path).plan.goal("changes")
    assert found.value_db == pytest.approx(found.bound_db, abs=0.01)


@pytest.mark.parametrize("path", SHOWS)
def test_the_plan_of_a_planned_show_changes_nothing(path: str) -> None:
    plan = made(path).plan
    planned, _ = apply(made(path).show, plan.edits)
    assert make_plan(planned, book()).plan.edits == ()


@pytest.mark.parametrize("path", SHOWS)
def test_no_reserve_is_used_up_that_the_plan_does_not_tell(path: str) -> None:
    """Headroom of every stage on the way to an end, against what the plan says of clipping."""
    made_ = made(path)
    told = made_.plan.goal("clipping")
    for each in made_.model.ceilings:
        if each.reserve_db:
            headroom = made_.after.levels(made_.model.addresses[each.point]).headroom
            assert headroom is None or headroom >= RESERVE_DB - max(told.gave_way_db, 0.35) - 0.05


@pytest.mark.parametrize("path", SHOWS)
def test_locked_controls_stay(path: str) -> None:
    for position in made(path).plan.positions:
        assert not (position.locked and position.is_moved)


@pytest.mark.parametrize("path", SHOWS)
def test_goals_are_told_of_the_rig_with_the_plan_in_it(path: str) -> None:
    """What is missed of the loudness, read again off the model corrected by the rig."""
    made_ = made(path)
    worst = max((abs(each) for each in missed_db(made_.model, made_.settings).values()), default=0)
    told = made_.plan.goal("loudness").gave_way_db
    assert worst <= max(told, 0.35) + 0.01


def test_no_pad_is_pressed_where_only_what_feeds_it_runs_out() -> None:
    """The bass's own preamp has 5.5 dB of room; a pad behind it gives that preamp no more.

    A passive DI carries the ceiling of what feeds it to the desk; it is no limit of its own.
    """
    plan = made("src/levelhead/examples/church-with-band.yaml").plan
    pad = plan.position("di-bass.pad")
    assert pad is None or pad.planned == "off"
    short = next(each for each in plan.goals if each.name == "clipping")
    assert short.gave_way_db == pytest.approx(0.5, abs=0.1)


def test_a_source_that_its_setting_drowns_is_told() -> None:
    """The narrator's receiver stands at microphone level, some 30 dB under line level.

    20 dB under the loudest is hardly heard: common practice.
    """
    told = made("src/levelhead/examples/school-play.yaml").plan.balance
    assert [each.split(" is set ")[0] for each in told] == ["Narrator"]
    assert not made("src/levelhead/examples/duo-in-a-pub.yaml").plan.balance


def _goal(made_: Made, name: str) -> GoalResult:
    return next(each for each in made_.plan.goals if each.name == name)


def test_a_pad_tried_and_dropped_leaves_the_ceiling_of_its_input() -> None:
    """The pad of a DI lowers what it carries to the desk, not what the desk's socket stands."""
    assert made("tests/rigs/outdoor-stage.yaml").off_by_db <= 0.05


ODD: Final = """\
levelhead: 1
show: {name: Odd leads}
items:
  feed: {type: feed-line}
  desk: {type: mixer-analogue-16}
  guitar: {type: guitar-acoustic-piezo}
  pocket: {type: recorder-minijack}
links:
  - {from: feed.out, to: desk.ch1.line, via: [lead-xlr-jack 3 m]}
  - {from: guitar.out, to: pocket.in, via: [cable-jack 3 m, adaptor-jack-mini]}
"""


def test_a_side_that_only_leaks_is_no_meter_to_be_set(tmp_path: Path) -> None:
    """A mono plug joins the right input to earth: what is left there is under the noise."""
    path = tmp_path / "odd.yaml"
    path.write_text(ODD)
    made_ = make_plan(load_show(path).show, book())
    told = {each.at for each in made_.plan.meters}
    assert "pocket.converter-left" in told
    assert "pocket.converter-right" not in told
    assert _goal(made_, "meters").gave_way_db < 60


def test_an_output_that_runs_out_of_current_is_not_told_to_move_its_microphone(
    tmp_path: Path,
) -> None:
    """Pin 3 at earth: one leg of a symmetrical output drives into a short."""
    path = tmp_path / "odd.yaml"
    path.write_text(ODD)
    made_ = make_plan(load_show(path).show, book())
    goal = _goal(made_, "clipping")
    assert goal.where[0] == "feed.output"
    assert "more current than it gives" in goal.mends[0]
