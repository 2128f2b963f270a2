"""Two shows as edits: they lead from one to the other, and say no more than changed."""

from __future__ import annotations

from itertools import permutations

from hypothesis import given, settings
from hypothesis import strategies as st

from levelhead.exchange.differences import changes_in_words, differences
from levelhead.exchange.longest_run import longest_rising
from levelhead.show import edits as e
from levelhead.show.document import parse_show
from levelhead.show.edits import Edit, apply
from levelhead.show.model import Cable, Item, Link
from tests.show.hall import HALL
from tests.show.random_edits import edited
from tests.show.random_shows import random_show, randoms

SHOW = parse_show(HALL, "f").show


def found(*edits: Edit) -> tuple[Edit, ...]:
    """What is read off the small show and the same after edits."""
    return differences(SHOW, apply(SHOW, edits)[0])


@given(randoms, randoms)
@settings(max_examples=300)
def test_edits_lead_from_any_show_to_any_other(one: object, other: object) -> None:
    old, new = random_show(one), random_show(other)  # type: ignore[arg-type]
    assert apply(old, differences(old, new))[0] == new


@given(randoms)
@settings(max_examples=200)
def test_edits_lead_to_what_a_few_edits_made(random: object) -> None:
    old = random_show(random)  # type: ignore[arg-type]
    new, _ = apply(old, edited(random, old, 3))  # type: ignore[arg-type]
    told = differences(old, new)
    assert apply(old, told)[0] == new
    for edit in changes_in_words(old, new):
        assert edit


def test_equal_shows_differ_by_nothing() -> None:
    assert found() == ()
    assert changes_in_words(SHOW, SHOW) == ()


def test_one_edit_is_read_back_as_itself() -> None:
    link = Link({"a": "comp.x", "b": "box.in1"}, (Cable("cable-xlr", 5.0),))
    for edit in (
        e.Set("desk.ch1.gain", "30 dB"),
        e.Set("desk.ch1.gain", None),
        e.Lock("desk.ch2.gain"),
        e.Unlock("desk.ch1.gain"),
        e.Plug(link),
        e.Unplug(SHOW.links[0]),
        e.Recable("vox-1.out", (Cable("cable-xlr", 20.0),)),
        e.SetPins("vox-1.out", {"2": "open"}),
        e.AddItem(Item("di", "di-active"), 1),
        e.Remove("desk"),
        e.Remove("vox-1"),
        e.Rename("desk", "mixer"),
        e.Retype("vox-1", "mic-vocal-condenser"),
        e.Relabel("vox-1", "Guest"),
        e.Annotate("vox-1", "Comes at nine."),
        e.Prioritise("vox-1", "nice"),
        e.Move("vox-1", (1.0, 2.0, 3.0)),
        e.SetStock("cable-xlr 33 m", 2),
        e.Retitle("Another", None, 9),
    ):
        assert found(edit) == (edit,), edit


def test_links_that_only_changed_places_in_the_file_are_no_change_for_the_crew() -> None:
    turned = apply(SHOW, [e.Unplug(SHOW.links[0]), e.Plug(SHOW.links[0])])[0]
    assert changes_in_words(SHOW, turned) == ()
    assert apply(SHOW, differences(SHOW, turned))[0] == turned


def test_a_changed_socket_is_told_as_unplugged_and_plugged() -> None:
    old = SHOW.links[0]
    moved = Link({"a": "vox-1.out", "b": "desk.ch9.mic"}, old.via)
    words = changes_in_words(SHOW, apply(SHOW, [e.Unplug(old), e.Plug(moved)])[0])
    assert [each.split()[0] for each in words] == ["Unplug", "Plug"]
    assert "desk.ch9.mic" in words[1]


@given(st.lists(st.integers(0, 8), max_size=7, unique=True))
def test_no_longer_run_rises(numbers: list[int]) -> None:
    """Against every choice of the list, tried one by one."""
    run = [numbers[index] for index in longest_rising(numbers)]
    assert run == sorted(run)
    longest = max(
        (
            len(part)
            for size in range(len(numbers) + 1)
            for part in permutations(range(len(numbers)), size)
            if list(part) == sorted(part)
            and [numbers[index] for index in part] == sorted(numbers[index] for index in part)
        ),
        default=0,
    )
    assert len(run) == longest
