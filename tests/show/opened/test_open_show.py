"""A show that is open: steps, undo and redo, what others changed, the journal and the file."""

from __future__ import annotations

from pathlib import Path

import pytest

from levelhead.errors import EditError, ShowError
from levelhead.show.edits import Edit, Plug, Relabel, Remove, Rename, Set, SetStock, Unplug, apply
from levelhead.show.history.journal import History
from levelhead.show.history.kept_texts import kept_text
from levelhead.show.model import Cable, Link
from levelhead.show.opened.cells import touched
from levelhead.show.opened.open_show import Author, OpenShow, StaleError
from tests.show.hall import NOON, SMALL_HALL


def author(seen: int = 0, name: str = "a") -> Author:
    return Author(name, f"page {name}", seen, NOON)


def gain(text: str | None) -> list[Edit]:
    return [Set("desk.ch1.gain", text)]


def test_undo_and_redo_go_back_and_forth_over_many_steps(hall: OpenShow) -> None:
    shows = [hall.show]
    steps = []
    for edits in (gain("40 dB"), [Relabel("vox", "Ben")], [Remove("vox")], gain(None)):
        steps.append(hall.edit(edits, author(hall.revision)))
        shows.append(hall.show)
    for step, before in zip(reversed(steps), reversed(shows[:-1]), strict=True):
        hall.undo(step.number, author())
        assert hall.show == before
    for step, after in zip(steps, shows[1:], strict=True):
        hall.redo(step.number, author())
        assert hall.show == after
    assert hall.steps.to_redo("page a") is None


def test_a_new_step_ends_redo(hall: OpenShow) -> None:
    hall.undo(hall.edit(gain("40 dB"), author()).number, author())
    hall.edit(gain("20 dB"), author(9))
    with pytest.raises(StaleError, match="another step to redo"):
        hall.redo(1, author())


def test_undo_names_the_step_that_it_means(hall: OpenShow) -> None:
    """So nobody takes back what they have not seen."""
    hall.edit(gain("40 dB"), author())
    hall.edit([Relabel("vox", "Ben")], author())
    with pytest.raises(StaleError, match="another step to undo by now"):
        hall.undo(1, author())


def test_a_write_over_what_another_changed_unseen_is_refused(hall: OpenShow) -> None:
    hall.edit(gain("40 dB"), author(name="b"))
    with pytest.raises(StaleError, match=r"page b changed desk\.ch1\.gain \(now 40 dB\) meanwhile"):
        hall.edit(gain("20 dB"), author(0))
    hall.edit([Relabel("vox", "Ben")], author(0))  # another cell goes through
    hall.edit(gain("20 dB"), author(2))
    assert hall.show.settings["desk.ch1.gain"] == "20 dB"


def test_own_steps_in_a_row_are_never_stale(hall: OpenShow) -> None:
    """A page sends faster than it hears."""
    for text in ("30 dB", "31 dB", "32 dB"):
        hall.edit(gain(text), author(0))
    assert hall.show.settings["desk.ch1.gain"] == "32 dB"


def test_an_edit_of_what_another_removed_is_refused(hall: OpenShow) -> None:
    hall.edit([Remove("vox")], author(name="b"))
    with pytest.raises(EditError, match="there is no item 'vox'"):
        hall.edit([Relabel("vox", "Ben")], author(0))


def test_the_file_keeps_its_comments_and_all_steps(hall: OpenShow, path: Path) -> None:
    hall.edit([*gain("40 dB"), Relabel("vox", "Ben")], author())
    assert hall.save(at=NOON)
    assert path.read_text() == SMALL_HALL.replace("36 dB", "40 dB").replace("Anna", "Ben")
    assert not hall.dirty


def test_a_text_is_a_step_that_can_be_undone(hall: OpenShow) -> None:
    step = hall.retype(SMALL_HALL.replace("The hall", "The barn"), author())
    assert hall.document.text().startswith("# The barn.")
    hall.undo(step.number, author())
    assert hall.document.text() == SMALL_HALL


def test_a_wrong_text_is_refused_with_its_line_and_column(hall: OpenShow) -> None:
    with pytest.raises(ShowError, match=r"hall\.yaml:5:9, items\.vox\.tpye: unknown field"):
        hall.retype(
            SMALL_HALL.replace("type: mic-vocal-dynamic", "tpye: mic-vocal-dynamic"), author()
        )
    assert hall.number == 0


def test_a_text_typed_over_what_others_did_is_refused(hall: OpenShow) -> None:
    hall.edit(gain("40 dB"), author(name="b"))
    with pytest.raises(StaleError, match="changed while this text was typed"):
        hall.retype(SMALL_HALL, author(0))


def test_what_never_reached_the_file_comes_back(path: Path) -> None:
    """The program ends without saving; undo reaches back over the new start."""
    with History.at(path) as history:
        hall = OpenShow.at(path, history, at=NOON)
        hall.edit(gain("40 dB"), author())
        hall.save(at=NOON)
        hall.edit([Relabel("vox", "Ben")], author())
        hall.retype(hall.document.text() + "# end\n", author(9))
        hall.edit([Rename("vox", "anna")], author(9))
        hall.undo(4, author())
        wanted = hall.document.text()
    with History.at(path) as history:
        again = OpenShow.at(path, history, at=NOON)
        assert again.document.text() == wanted
        assert again.notes == ("4 steps that were not in the file yet came back from the history.",)
        for number in (3, 2, 1):
            again.undo(number, author())
        assert again.document.text() == SMALL_HALL
        again.redo(1, author())
        again.redo(2, author())
        assert again.show.items["vox"].label == "Ben"


def test_a_save_that_was_noted_but_never_written_loses_nothing(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_disk(*_: object) -> None:
        raise OSError(28, "No space left on device")

    with History.at(path) as history:
        hall = OpenShow.at(path, history, at=NOON)
        hall.edit(gain("40 dB"), author())
        monkeypatch.setattr("levelhead.show.document.write_whole", no_disk)
        with pytest.raises(ShowError, match="cannot be written: No space left"):
            hall.save(at=NOON)
    with History.at(path) as history:
        assert OpenShow.at(path, history, at=NOON).show.settings["desk.ch1.gain"] == "40 dB"


def test_a_step_that_the_journal_refuses_is_not_taken(hall: OpenShow, history: History) -> None:
    before = hall.show
    history.close()
    with pytest.raises(ShowError, match="the history cannot be used"):
        hall.edit(gain("40 dB"), author())
    assert (hall.show, hall.number, hall.steps.to_undo("page a")) == (before, 0, None)


def test_steps_taken_while_the_file_is_written_wait_for_the_next_save(
    hall: OpenShow, path: Path
) -> None:
    hall.edit(gain("40 dB"), author())
    job = hall.to_save()
    assert job is not None
    hall.edit([Relabel("vox", "Ben")], author())
    hall.saved(job, job.write(at=NOON))
    assert "40 dB" in path.read_text()
    assert "Anna" in path.read_text()
    assert hall.dirty
    hall.save(at=NOON)
    assert "Ben" in path.read_text()


def test_a_text_typed_while_the_file_is_written_is_kept(hall: OpenShow, path: Path) -> None:
    hall.edit(gain("40 dB"), author())
    job = hall.to_save()
    assert job is not None
    hall.retype(hall.document.text() + "# end\n", author(9))
    hall.saved(job, job.write(at=NOON))
    hall.save(at=NOON)
    assert path.read_text() == SMALL_HALL.replace("36 dB", "40 dB") + "# end\n"


def test_what_others_wrote_elsewhere_in_the_file_is_taken_in(hall: OpenShow, path: Path) -> None:
    hall.edit(gain("40 dB"), author())
    path.write_text(SMALL_HALL.replace("Anna", "Ines").replace("her own", "hired"))
    assert hall.save(at=NOON)
    assert path.read_text() == (
        SMALL_HALL.replace("36 dB", "40 dB").replace("Anna", "Ines").replace("her own", "hired")
    )


def test_a_change_on_disk_is_seen_without_a_save_and_can_be_undone(
    hall: OpenShow, path: Path
) -> None:
    path.write_text(SMALL_HALL.replace("Anna", "Ines"))
    assert hall.look(at=NOON)
    assert hall.show.items["vox"].label == "Ines"
    assert not hall.dirty
    assert not hall.look(at=NOON)
    hall.undo(hall.number, author())
    assert hall.document.text() == SMALL_HALL


@pytest.mark.parametrize("take_file", [True, False])
def test_the_same_cell_changed_on_both_sides_is_asked_about(
    hall: OpenShow, path: Path, history: History, *, take_file: bool
) -> None:
    """Neither is lost, whichever is taken."""
    hall.edit(gain("40 dB"), author())
    other = SMALL_HALL.replace("36 dB", "12 dB")
    path.write_text(other)
    assert not hall.save(at=NOON)
    assert hall.clash is not None
    assert [(each.cell, each.here, each.file) for each in hall.clash.cells] == [
        ("desk.ch1.gain", "40 dB", "12 dB")
    ]
    assert path.read_text() == other
    hall.settle(take_file=take_file, at=NOON, person="page a")
    assert hall.save(at=NOON)
    assert path.read_text() == (other if take_file else SMALL_HALL.replace("36 dB", "40 dB"))
    if take_file:
        hall.undo(hall.number, author())
        assert hall.show.settings["desk.ch1.gain"] == "40 dB"
    else:
        assert kept_text(history, "") == other


def test_a_file_broken_by_others_is_never_written_over_unasked(hall: OpenShow, path: Path) -> None:
    hall.edit(gain("40 dB"), author())
    path.write_text("levelhead: 1\nshow: [")
    assert not hall.save(at=NOON)
    assert hall.clash is not None
    assert "hall.yaml:2" in str(hall.clash.error)
    path.write_text(SMALL_HALL)  # they mended it
    assert hall.save(at=NOON)
    assert "40 dB" in path.read_text()


def test_a_clash_is_seen_again_after_a_new_start(path: Path) -> None:
    """Both sides changed a cell, then the power went: the page tells what it put over the file."""
    with History.at(path) as history:
        OpenShow.at(path, history, at=NOON).edit(gain("40 dB"), author())
    path.write_text(SMALL_HALL.replace("36 dB", "12 dB"))
    with History.at(path) as history:
        hall = OpenShow.at(path, history, at=NOON)
        assert hall.notes == (
            "1 step that was not in the file yet came back from the history.",
            "The file was changed by somebody else after the last save.",
        )
        assert hall.show.settings["desk.ch1.gain"] == "40 dB"
        hall.save(at=NOON)
        assert "12 dB" in (kept_text(history, "") or "")


def test_cells_of_a_plug_are_its_sockets(hall: OpenShow) -> None:
    link = hall.show.links[0]
    other = Link({"a": "vox.out", "b": "desk.ch2.mic"}, (Cable("cable-xlr", 10.0),))
    after, _ = apply(hall.show, [Unplug(link), Plug(other), SetStock("cable-xlr 10 m", 2)])
    assert touched(hall.show, after) == {
        ("links", "vox.out", ""),
        ("links", "desk.ch1.mic", ""),
        ("links", "desk.ch2.mic", ""),
        ("stock", "cable-xlr 10 m", ""),
    }


def test_a_file_that_is_away_is_written_again(hall: OpenShow, path: Path) -> None:
    """Somebody moved it; what was open here is not lost with it."""
    hall.edit(gain("31 dB"), author())
    path.unlink()
    assert hall.save(at=NOON)
    assert "31 dB" in path.read_text(encoding="utf-8")


def test_where_a_folder_stands_in_the_place_of_the_file_saving_tells_why(
    hall: OpenShow, path: Path
) -> None:
    """Looking for changes of others goes on: it may be gone the next time."""
    hall.edit(gain("31 dB"), author())
    path.unlink()
    path.mkdir()
    assert not hall.look(at=NOON)
    with pytest.raises(ShowError, match="cannot be written"):
        hall.save(at=NOON)
    path.rmdir()
    assert hall.save(at=NOON)
