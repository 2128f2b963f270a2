"""Undo of several people at one show: everybody their own, nobody over somebody else's."""

from __future__ import annotations

import tempfile
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Literal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from levelhead.errors import EditError, LevelheadError
from levelhead.show.edits import (
    AddItem,
    Edit,
    Plug,
    Relabel,
    Remove,
    Rename,
    Set,
    SetStock,
    Unplug,
    apply,
)
from levelhead.show.history.journal import History
from levelhead.show.model import Cable, Item, Link, Show
from levelhead.show.opened.cells import touched
from levelhead.show.opened.open_show import Author, OpenShow, StaleError
from tests.show.hall import NOON, SMALL_HALL

PEOPLE = ("Anna", "Ben", "Ines")


def by(name: str, seen: int = 10**6) -> Author:
    return Author(f"page of {name}", name, seen, NOON)


def gain(text: str, channel: int = 1) -> list[Edit]:
    return [Set(f"desk.ch{channel}.gain", text)]


def undo(hall: OpenShow, name: str) -> Any:
    entry = hall.steps.to_undo(name)
    assert entry is not None
    return hall.undo(entry.of or entry.number, by(name))


def redo(hall: OpenShow, name: str) -> Any:
    entry = hall.steps.to_redo(name)
    assert entry is not None
    return hall.redo(entry.of or entry.number, by(name))


def test_everybody_takes_back_their_own(hall: OpenShow) -> None:
    hall.edit(gain("40 dB"), by("Anna"))
    hall.edit(gain("20 dB", 2), by("Ben"))
    undo(hall, "Anna")
    assert dict(hall.show.settings) == {"desk.ch1.gain": "36 dB", "desk.ch2.gain": "20 dB"}
    undo(hall, "Ben")
    redo(hall, "Anna")
    assert dict(hall.show.settings) == {"desk.ch1.gain": "40 dB"}
    assert hall.steps.to_undo("Ben") is None


def test_over_a_later_edit_of_the_same_place_it_is_refused_with_the_name(hall: OpenShow) -> None:
    hall.edit([*gain("40 dB"), Relabel("vox", "Anja")], by("Anna"))
    hall.edit(gain("20 dB"), by("Ben"))
    with pytest.raises(StaleError, match=r"undo: Ben changed desk\.ch1\.gain after that"):
        undo(hall, "Anna")
    assert hall.show.items["vox"].label == "Anja"
    undo(hall, "Ben")  # nothing of his stands any more
    undo(hall, "Anna")
    assert hall.document.text() == SMALL_HALL


def test_redo_over_a_later_edit_is_refused_likewise(hall: OpenShow) -> None:
    hall.edit(gain("40 dB"), by("Anna"))
    undo(hall, "Anna")
    hall.edit(gain("20 dB"), by("Ben"))
    with pytest.raises(StaleError, match=r"redo: Ben changed desk\.ch1\.gain after that"):
        redo(hall, "Anna")
    undo(hall, "Ben")
    redo(hall, "Anna")
    assert hall.show.settings["desk.ch1.gain"] == "40 dB"


def test_what_others_built_on_it_is_not_taken_along(hall: OpenShow) -> None:
    """Anna brings a microphone, Ben plugs it in: her undo would pull his lead."""
    hall.edit([AddItem(Item("vox-2", "mic-vocal-dynamic"))], by("Anna"))
    link = Link({"a": "vox-2.out", "b": "desk.ch2.mic"}, (Cable("cable-xlr", 10.0),))
    hall.edit([Plug(link)], by("Ben"))
    with pytest.raises(StaleError, match=r"Ben changed what is plugged into desk\.ch2\.mic"):
        undo(hall, "Anna")
    undo(hall, "Ben")
    undo(hall, "Anna")
    assert hall.document.text() == SMALL_HALL


def test_what_could_not_be_then_is_refused(hall: OpenShow) -> None:
    """A check of the show as a whole, such as whether its rig can be built."""

    def needs_gain(show: Show) -> None:
        if show.settings["desk.ch1.gain"] == "36 dB":
            raise EditError("too low", where="desk", expected="more", remedy="More.")

    hall.edit(gain("40 dB"), by("Anna"))
    hall.edit([Relabel("vox", "Ben's")], by("Ben"))
    with pytest.raises(StaleError, match="after later steps of Ben: too low"):
        hall.undo(1, by("Anna"), needs_gain)
    assert hall.show.settings["desk.ch1.gain"] == "40 dB"


def test_a_text_is_taken_back_under_what_others_changed_elsewhere(hall: OpenShow) -> None:
    hall.retype(SMALL_HALL.replace("The hall", "The barn").replace("36 dB", "30 dB"), by("Anna"))
    hall.edit([Relabel("vox", "Ines")], by("Ben"))
    undo(hall, "Anna")
    assert hall.document.text() == SMALL_HALL.replace('"Anna"', '"Ines"')
    redo(hall, "Anna")
    assert "30 dB" in hall.document.text()
    hall.edit(gain("31 dB"), by("Ben"))
    with pytest.raises(StaleError, match=r"Ben changed desk\.ch1\.gain after that"):
        undo(hall, "Anna")


def test_whose_step_it_is_outlives_a_new_start(path: Path) -> None:
    with History.at(path) as history:
        hall = OpenShow.at(path, history, at=NOON)
        hall.edit(gain("40 dB"), by("Anna"))
        hall.edit(gain("20 dB", 2), by("Ben"))
        hall.edit([Relabel("vox", "Anja")], by("Ben"))
        undo(hall, "Ben")
    with History.at(path) as history:
        hall = OpenShow.at(path, history, at=NOON)
        undo(hall, "Anna")
        redo(hall, "Ben")
        undo(hall, "Ben")
        undo(hall, "Ben")
        assert hall.document.text() == SMALL_HALL


def test_what_stood_before_a_new_start_is_not_written_over_unseen(path: Path) -> None:
    """A page comes back after the program was started anew, with an edit typed long before."""
    with History.at(path) as history:
        hall = OpenShow.at(path, history, at=NOON)
        hall.edit(gain("30 dB"), by("Anna"))
        seen = hall.revision
        hall.edit(gain("40 dB"), by("Ben"))
    with History.at(path) as history:
        hall = OpenShow.at(path, history, at=NOON)
        assert hall.revision == seen + 1
        with pytest.raises(StaleError, match=r"Ben changed desk\.ch1\.gain \(now 40 dB\)"):
            hall.edit(gain("20 dB"), by("Anna", seen))
        hall.edit([Relabel("vox", "Anja")], by("Anna", seen))
        hall.save(at=NOON)
        seen = hall.revision
    path.write_text(path.read_text().replace("40 dB", "12 dB"))
    with History.at(path) as history:
        hall = OpenShow.at(path, history, at=NOON)
        assert hall.revision > seen
        with pytest.raises(StaleError, match="while levelhead had it not open"):
            hall.edit([Relabel("vox", "Ines")], by("Anna", seen))
        hall.edit([Relabel("vox", "Ines")], by("Anna", hall.revision))


# ---------------------------------------------------------------- against a replay of what stands

Act = Literal["do", "undo", "redo"]


@dataclass
class Done:
    person: str
    values: dict[str, str]
    at: int


@dataclass
class Ledger:
    """What stands, in the order in which it came into force: the state is its replay."""

    clock: int = 0
    stands: list[Done] = field(default_factory=list)
    away: dict[str, list[Done]] = field(default_factory=dict)
    turned: list[tuple[int, str, Done]] = field(default_factory=list)  # undone, when and by whom

    def state(self) -> dict[str, str]:
        values = {"desk.ch1.gain": "36 dB"}
        for each in sorted(self.stands, key=lambda each: each.at):
            values.update(each.values)
        return values

    def act(self, person: str, act: Act, values: dict[str, str]) -> bool:
        """Whether it may be done; then it is."""
        self.clock += 1
        if act == "do":
            self.away[person] = []
            self.stands.append(Done(person, values, self.clock))
            return True
        own = [each for each in self.stands if each.person == person]
        own = own if act == "undo" else self.away.get(person, [])
        if not own or self._is_over(own[-1]):
            return False
        each = own[-1]
        if act == "undo":
            self.stands.remove(each)
            self.away.setdefault(person, []).append(each)
        else:
            self.away[person].pop()
            self.stands.append(each)
        each.at = self.clock
        return True

    def _is_over(self, own: Done) -> bool:
        return any(
            each.at > own.at and each.values.keys() & own.values.keys()
            for each in self.stands
            if each.person != own.person
        )


CELLS = st.sets(
    st.sampled_from([f"desk.ch{number}.gain" for number in (1, 2, 3)]), min_size=1, max_size=2
)
ACTS = st.lists(
    st.tuples(st.sampled_from(PEOPLE), st.sampled_from(["do", "do", "undo", "redo"]), CELLS),
    max_size=25,
)


@settings(max_examples=25)
@given(acts=ACTS)
def test_what_stands_is_what_a_replay_of_it_makes(acts: list[tuple[str, Act, Any]]) -> None:
    """Three people; which undo and redo are refused is told by a ledger of its own."""
    with opened() as hall:
        ledger = Ledger()
        for number, (person, act, cells) in enumerate(acts):
            values = dict.fromkeys(cells, f"{number} dB")  # each step has a value of its own
            edits: list[Edit] = [Set(address, value) for address, value in values.items()]
            may = ledger.act(person, act, values)
            assert did(hall, person, act, edits) == may, (person, act, values)
            assert dict(hall.show.settings) == ledger.state()


# ---------------------------------------------------------------- any edits


def did(hall: OpenShow, person: str, act: Act, edits: list[Edit]) -> bool:
    """Whether it was taken; what is refused changes nothing."""
    before, number = hall.document, hall.number
    try:
        if act == "do":
            hall.edit(edits, by(person))
        elif (hall.steps.to_undo(person) if act == "undo" else hall.steps.to_redo(person)) is None:
            return False
        else:
            undo(hall, person) if act == "undo" else redo(hall, person)
    except LevelheadError:
        assert (hall.document, hall.number) == (before, number)
        return False
    return True


class opened:  # noqa: N801 - used like a function
    """A fresh hall in a folder of its own: hypothesis runs many in one test."""

    def __enter__(self) -> OpenShow:
        self.folder = tempfile.TemporaryDirectory()
        self.path = Path(self.folder.name) / "hall.yaml"
        self.path.write_text(SMALL_HALL, encoding="utf-8")
        self.history = History.at(self.path)
        self.history._connection.execute("PRAGMA synchronous = OFF")  # many, and thrown away
        return OpenShow.at(self.path, self.history, at=NOON)

    def __exit__(self, *_: object) -> None:
        self.history.close()
        self.folder.cleanup()


ITEMS = st.sampled_from(["vox", "vox-2", "desk", "box"])
SOCKETS = st.sampled_from(["desk.ch1.mic", "desk.ch2.mic", "vox.out", "vox-2.out"])
ANY_EDIT = st.one_of(
    st.builds(lambda text: Set("desk.ch1.gain", text), st.sampled_from(["30 dB", None])),
    st.builds(Relabel, ITEMS, st.sampled_from(["A", "B"])),
    st.builds(lambda name: AddItem(Item(name, "mic-vocal-dynamic")), ITEMS),
    st.builds(Remove, ITEMS),
    st.builds(Rename, ITEMS, ITEMS),
    st.builds(
        lambda one, other: Plug(Link({"a": one, "b": other}, (Cable("cable-xlr", 5.0),))),
        SOCKETS,
        SOCKETS,
    ),
    st.builds(
        Unplug,
        st.just(Link({"a": "vox.out", "b": "desk.ch1.mic"}, (Cable("cable-xlr", 10.0),))),
    ),
    st.builds(SetStock, st.just("cable-xlr 5 m"), st.sampled_from([0, 2])),
)
ANY_ACTS = st.lists(
    st.tuples(
        st.sampled_from(PEOPLE),
        st.sampled_from(["do", "do", "undo", "redo"]),
        st.lists(ANY_EDIT, min_size=1, max_size=2),
    ),
    max_size=20,
)


@settings(max_examples=25)
@given(acts=ANY_ACTS)
def test_any_edits_of_three_people_replay_to_the_same_show(
    acts: list[tuple[str, Act, list[Edit]]],
) -> None:
    """The journal alone makes the show again, forwards and backwards; undo leaves others' be."""
    with opened() as hall:
        first = hall.show
        for person, act, edits in acts:
            before = hall.show
            entry = hall.steps.to_undo(person) if act == "undo" else None
            if did(hall, person, act, edits) and entry is not None:
                cells = touched(before, hall.show)
                assert cells <= touched(*around(hall, entry.number))
        steps = hall.history.steps_after(0)
        assert again(first, [step.change for step in steps]) == hall.show
        assert again(hall.show, [step.back for step in reversed(steps)]) == first
        new = OpenShow.at(hall.document.path or "", hall.history, at=NOON)
        assert new.show == hall.show
        for person in PEOPLE:
            for one, other in (
                (new.steps.to_undo(person), hall.steps.to_undo(person)),
                (new.steps.to_redo(person), hall.steps.to_redo(person)),
            ):
                assert (one and one.number) == (other and other.number)


def around(hall: OpenShow, number: int) -> tuple[Show, Show]:
    """The show before and after a step, from the journal."""
    show = hall.show
    for step in reversed(hall.history.steps_after(number)):
        show, _ = apply(show, step.back)
    (step,) = [each for each in hall.history.steps_after(number - 1) if each.number == number]
    return apply(show, step.back)[0], show


def again(show: Show, changes: list[Any]) -> Show:
    for change in changes:
        show, _ = apply(show, change)
    return show
