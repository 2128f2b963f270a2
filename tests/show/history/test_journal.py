"""The history beside a show: kept texts, the journal, states of the file."""

from __future__ import annotations

import sqlite3
import subprocess
import sys
import threading
from datetime import UTC, datetime
from pathlib import Path

import pytest

from levelhead.errors import ShowError
from levelhead.show.edits import Lock, Plug, Retitle, Set, SetPins
from levelhead.show.history.journal import History, history_path
from levelhead.show.history.kept_texts import KeptText, keep_text, kept_text, kept_texts
from levelhead.show.history.steps import Change, Step
from levelhead.show.model import Cable, Link

FADER = (Lock("desk.fader"),)
NOON = datetime(2026, 12, 5, 12, 0, tzinfo=UTC)


@pytest.fixture
def show_path(tmp_path: Path) -> Path:
    return tmp_path / "hall.yaml"


def step(number: int, change: Change = FADER, back: Change = ()) -> Step:
    return Step(number, NOON, "Anna", "do", change, back)


def test_a_kept_text_comes_back_by_its_fingerprint(show_path: Path) -> None:
    """Of several under one fingerprint the newest, also after the file was closed."""
    with History.at(show_path) as history:
        keep_text(history, "first", "0a1b2c3d", at=NOON, person="Anna", reason="input list printed")
        keep_text(
            history, "second", "0a1b2c3d", at=NOON, person="Ben", reason="packing list printed"
        )
        assert kept_text(history, "ffffffff") is None
    with History.at(show_path) as history:
        assert kept_text(history, "0a1b2c3d") == "second"
        assert kept_texts(history) == (
            KeptText("0a1b2c3d", NOON, "Ben", "packing list printed"),
            KeptText("0a1b2c3d", NOON, "Anna", "input list printed"),
        )


def test_steps_come_back_as_they_were(show_path: Path) -> None:
    link = Link({"a": "vox.out", "b": "desk.ch1.mic"}, (Cable("cable-xlr", 10.0),), {"2": "open"})
    steps = (
        step(1, (Plug(link), Set("desk.ch1.gain", None)), (SetPins("desk.ch1.mic", {}),)),
        step(2, "levelhead: 1\nshow: {name: Ünï}\n", (Retitle("Hall", None, 1),)),
        Step(3, NOON, "Ben", "undo", (Lock("a.b"),), (), of=1),
    )
    with History.at(show_path) as history:
        history.record(steps[:2])
        history.record(steps[2:])
    with History.at(show_path) as history:
        assert history.steps_after(0) == steps
        assert history.steps_after(2) == steps[2:]
        assert history.last_step == 3


def test_steps_are_recorded_all_or_none(show_path: Path) -> None:
    with History.at(show_path) as history:
        history.record([step(1)])
        with pytest.raises(ShowError, match="another levelhead has this show open"):
            history.record([step(2), step(1)])
        assert history.last_step == 1


def test_two_programs_never_write_the_same_step(show_path: Path) -> None:
    """The second is refused; nothing of the first is lost."""
    with History.at(show_path) as one, History.at(show_path) as other:
        one.record([step(1)])
        with pytest.raises(ShowError, match="Close one of them"):
            other.record([step(1, (Lock("desk.main"),))])
        assert [each.change for each in other.steps_after(0)] == [FADER]


def test_a_state_of_the_file_tells_its_step(show_path: Path) -> None:
    with History.at(show_path) as history:
        assert history.last_save() == 0
        history.note_save(b"one", 0, at=NOON)
        history.note_save(b"two", 4, at=NOON)
        assert (history.step_of(b"one"), history.step_of(b"two")) == (0, 4)
        assert history.step_of(b"typed by somebody else") is None
        history.note_save(b"one", 6, at=NOON)  # two steps back
        assert (history.step_of(b"one"), history.last_save()) == (6, 6)
        assert history.chain_start() == 0
        history.note_save(b"typed by somebody else", 6, at=NOON, begins=True)
        assert history.chain_start() == 6


def test_one_file_is_left_when_it_is_closed(show_path: Path) -> None:
    with History.at(show_path) as history:
        history.record([step(1)])
    assert [each.name for each in show_path.parent.iterdir()] == ["hall.yaml.history"]


def test_a_recorded_step_outlives_a_kill(show_path: Path) -> None:
    """The process ends in the middle of the next step, without closing anything."""
    code = """
import os, sys
from datetime import datetime, UTC
from levelhead.show.edits import Lock
from levelhead.show.history.journal import History
from levelhead.show.history.steps import Step
history = History.at(sys.argv[1])
history.record([Step(1, datetime.now(UTC), "Anna", "do", (Lock("desk.fader"),), ())])
history._connection.execute("BEGIN IMMEDIATE")
history._connection.execute("INSERT INTO saves (at, step, begins, content) VALUES ('', 9, 0, '')")
os.kill(os.getpid(), 9)
"""
    subprocess.run([sys.executable, "-c", code, str(show_path)], check=False)
    with History.at(show_path) as history:
        assert (history.last_step, history.last_save()) == (1, 0)


def test_many_threads_may_use_one_history(show_path: Path) -> None:
    with History.at(show_path) as history:

        def keep(number: int) -> None:
            keep_text(history, f"text {number}", f"{number:08x}", at=NOON, person="", reason="")

        threads = [threading.Thread(target=keep, args=(number,)) for number in range(20)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        assert {each.fingerprint for each in kept_texts(history)} == {f"{n:08x}" for n in range(20)}


def test_a_file_that_is_no_history_is_refused(show_path: Path) -> None:
    history_path(show_path).write_text("a diary" * 100)
    with pytest.raises(ShowError, match="the history cannot be used"):
        History.at(show_path)


def test_a_database_of_another_program_is_left_alone(show_path: Path) -> None:
    with sqlite3.connect(history_path(show_path)) as other:
        other.execute("CREATE TABLE addresses (name TEXT)")
    other.close()
    before = history_path(show_path).read_bytes()
    with pytest.raises(ShowError, match="database of another program"):
        History.at(show_path)
    assert history_path(show_path).read_bytes() == before


def test_a_newer_history_is_refused(show_path: Path) -> None:
    History.at(show_path).close()
    with sqlite3.connect(history_path(show_path)) as newer:
        newer.execute("PRAGMA user_version = 2")
    newer.close()
    with pytest.raises(ShowError, match=r"history of version 2.*Use a newer levelhead"):
        History.at(show_path)


def test_a_folder_that_is_not_there_is_an_error(tmp_path: Path) -> None:
    with pytest.raises(ShowError, match="Check the folder"):
        History.at(tmp_path / "nowhere" / "hall.yaml")
