"""Show files on the disk: the same bytes, the right places, never over somebody else's change."""

from __future__ import annotations

import os
import stat
from dataclasses import replace
from pathlib import Path

import pytest

from levelhead.errors import ShowError
from levelhead.show.document import (
    ShowDocument,
    load_show,
    new_document,
    parse_show,
    save_show,
)
from levelhead.show.edits import Rename, Set, apply
from levelhead.show.model import Item, Link, Show
from levelhead.show.written.whole_files import LARGEST_FILE
from tests.show.hall import HALL


@pytest.fixture
def path(tmp_path: Path) -> Path:
    place = tmp_path / "friday.yaml"
    place.write_bytes(HALL.encode())
    return place


def changed(document: ShowDocument, value: str = "30 dB") -> ShowDocument:
    """The document with one setting changed."""
    show, _ = apply(document.show, [Set("desk.ch1.gain", value)])
    return document.with_show(show)


# ---------------------------------------------------------------- places


@pytest.mark.parametrize(
    ("where", "line", "begins"),
    [
        (("settings", "desk", "ch1", "gain"), 27, "35 dB, fader"),
        (("settings", "desk", "ch1"), 27, "ch1:"),
        (("settings", "desk", "ch1", "lock", 0), 27, "gain]}"),
        (("settings", "desk", "ch2", "gain"), 26, "desk:"),
        (("items", "desk"), 9, "desk:"),
        (("items", "desk", "at", 1), 9, "18, 1.0"),
        (("items", "vox-1", "label"), 6, '"Anna"'),
        (("items", "vox-1", "note"), 6, "vox-1:"),
        (("items", "box", "note"), 13, "|"),
        (("items", "nobody"), 5, "items:"),
        (("links",), 17, "links:"),
        (("links", 0), 18, "{from: vox-1.out"),
        (("links", 0, "from"), 18, "vox-1.out"),
        (("links", 1, "ends", "send"), 19, "comp.in"),
        (("links", 4, "via", 0), 20, "cable-xlr 2 m]"),
        (("links", 6), 21, "from: keys.left"),
        (("links", 6, "via", 0), 24, "lead-jack 6 m"),
        (("links", 99), 17, "links:"),
        (("show", "version"), 3, "3}"),
        (("stock",), 30, "stock:"),
        (("nothing",), 2, "levelhead: 1"),
    ],
)
def test_every_field_has_its_place(where: tuple[str | int, ...], line: int, begins: str) -> None:
    """The line counted by hand, and what stands in the file at that line and column."""
    name, told_line, column = parse_show(HALL, "f").where(*where).split(":")
    assert (name, int(told_line)) == ("f", line)
    assert HALL.splitlines()[line - 1][int(column) - 1 :].startswith(begins)


def test_places_by_address_item_and_link() -> None:
    document = parse_show(HALL, "f")
    assert document.where_setting("desk.ch1.fader") == "f:27:31"
    assert document.where_setting("desk.ch16.fader") == "f:26:3"
    assert document.where_item("box") == "f:11:3"
    assert document.where_link(document.show.links[3]) == "f:20:5"
    assert document.where_link(Link({"a": "x.y", "b": "x.z"})) == "f:17:1"


def test_places_follow_changes() -> None:
    document = parse_show(HALL, "f")
    items = {"first": Item("first", "di-active"), **document.show.items}
    later = document.with_show(replace(document.show, items=items))
    assert later.where_item("first") == "f:6:3"
    assert later.where_item("desk") == "f:10:3"


def test_a_mark_at_the_beginning_shifts_nothing(path: Path) -> None:
    path.write_bytes(b"\xef\xbb\xbf" + HALL.encode())
    document = load_show(path)
    assert document.where("levelhead") == f"{path}:2:12"
    save_show(changed(document), path)
    assert path.read_bytes().startswith(b"\xef\xbb\xbf# Winter")


# ---------------------------------------------------------------- loading


def test_a_loaded_show_is_the_parsed_one(path: Path) -> None:
    assert load_show(path).show == load_show(str(path)).show == parse_show(HALL, "f").show


@pytest.mark.parametrize(
    ("content", "message"),
    [
        (
            b"levelhead: 1\nshow: {name: \xff}\n",
            r"friday\.yaml:2:14: byte 0xFF is no UTF-8; .*as UTF-8",
        ),
        (HALL.encode("utf-16"), "is no UTF-8"),
        (b"\x00\x01\x02", "special characters are not allowed"),
        (b"#" * (LARGEST_FILE + 1), "more than 5 MB; expected a show file"),
        (b"", "no entries"),
    ],
)
def test_what_is_no_show_is_refused(path: Path, content: bytes, message: str) -> None:
    path.write_bytes(content)
    with pytest.raises(ShowError, match=message):
        load_show(path)


def test_a_text_has_the_same_limit() -> None:
    with pytest.raises(ShowError, match="more than 5 MB"):
        parse_show("#" * (LARGEST_FILE + 1), "f")


def test_a_missing_file_and_a_folder_are_refused(tmp_path: Path) -> None:
    with pytest.raises(ShowError, match=r"nowhere\.yaml: the file cannot be read: No such file"):
        load_show(tmp_path / "nowhere.yaml")
    with pytest.raises(ShowError, match="the file cannot be read: Is a directory"):
        load_show(tmp_path)


# ---------------------------------------------------------------- saving


def test_an_unchanged_show_is_the_same_bytes(path: Path) -> None:
    document = load_show(path)
    back, _ = apply(changed(document).show, [Set("desk.ch1.gain", "35 dB")])
    save_show(document.with_show(back), path)
    assert path.read_bytes() == HALL.encode()


def test_a_change_writes_one_line(path: Path) -> None:
    save_show(changed(load_show(path)), path)
    assert path.read_text() == HALL.replace("gain: 35 dB", "gain: 30 dB")
    assert load_show(path).show.settings["desk.ch1.gain"] == "30 dB"


def test_saving_goes_on_from_what_was_saved(path: Path) -> None:
    document = save_show(changed(load_show(path)), path)
    save_show(changed(document, "20 dB"), path)
    assert "gain: 20 dB" in path.read_text()


def test_a_change_by_somebody_else_is_not_lost(path: Path) -> None:
    document = load_show(path)
    path.write_text(HALL.replace("Anna", "Berta"))
    with pytest.raises(
        ShowError, match=r"was changed by somebody else since it was loaded; .*Load it again"
    ):
        save_show(changed(document), path)
    assert "Berta" in path.read_text()
    save_show(changed(document), path, replace=True)
    assert "Anna" in path.read_text()


def test_a_file_that_went_away_is_written_again(path: Path) -> None:
    document = load_show(path)
    path.unlink()
    save_show(document, path)
    assert path.read_bytes() == HALL.encode()


def test_another_file_is_not_written_over(path: Path, tmp_path: Path) -> None:
    other = tmp_path / "other.yaml"
    other.write_text("mine")
    for document in (load_show(path), parse_show(HALL, "f")):
        with pytest.raises(ShowError, match=r"another file stands there; .*Choose another name"):
            save_show(document, other)
    assert other.read_text() == "mine"
    saved = save_show(load_show(path), tmp_path / "copy.yaml")
    assert saved.path == tmp_path / "copy.yaml"


def test_a_failed_write_leaves_the_old_file_and_nothing_else(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The disk fills up while the new text is flushed."""

    def full(handle: int) -> None:
        del handle
        raise OSError(28, "No space left on device")

    document = changed(load_show(path))
    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(ShowError, match="the file cannot be written: No space left on device"):
        save_show(document, path)
    assert path.read_bytes() == HALL.encode()
    assert list(path.parent.iterdir()) == [path]


def test_the_text_reaches_the_disk_before_its_name_does(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Flush first, rename after: the order that a power cut asks for."""
    order: list[str] = []
    flush, rename = os.fsync, Path.replace

    def noted_flush(handle: int) -> None:
        order.append("folder" if stat.S_ISDIR(os.fstat(handle).st_mode) else "file")
        flush(handle)

    def noted_rename(self: Path, target: Path) -> Path:
        order.append("rename")
        return rename(self, target)

    monkeypatch.setattr(os, "fsync", noted_flush)
    monkeypatch.setattr(Path, "replace", noted_rename)
    save_show(changed(load_show(path)), path)
    assert order == ["file", "rename", "folder"]


def test_rights_and_links_of_the_file_stay(path: Path, tmp_path: Path) -> None:
    path.chmod(0o640)
    pointer = tmp_path / "tonight.yaml"
    pointer.symlink_to(path)
    save_show(changed(load_show(pointer)), pointer)
    assert pointer.is_symlink()
    assert "gain: 30 dB" in path.read_text()
    assert stat.S_IMODE(path.stat().st_mode) == 0o640


def test_a_new_show_gets_a_file(tmp_path: Path) -> None:
    document = new_document(Show("Hall", items={"a": Item("a", "b")}), "new show")
    save_show(document, tmp_path / "new.yaml")
    assert (tmp_path / "new.yaml").read_text() == (
        "levelhead: 1\nshow: {name: Hall}\nitems:\n  a: {type: b}\n"
    )


# ---------------------------------------------------------------- shows that no file can hold


def test_a_show_that_does_not_hang_together_is_not_written() -> None:
    document = parse_show(HALL, "f")
    lost = replace(document.show, items={})
    with pytest.raises(ShowError, match=r"this show cannot be written: there is no item"):
        document.with_show(lost).text()
    with pytest.raises(ShowError, match="this show cannot be written"):
        new_document(replace(document.show, name=""), "f")


def test_a_show_that_reads_back_as_another_is_not_written() -> None:
    """Two items under one id, as no edit can make them."""
    document = parse_show(HALL, "f")
    items = {**document.show.items, "comp": Item("other", "compressor", label="x")}
    with pytest.raises(ShowError, match="cannot be written over its text; expected the same show"):
        document.with_show(replace(document.show, items=items)).text()


def test_documents_are_values() -> None:
    """A document stays as it is when another one is made from it."""
    document = parse_show(HALL, "f")
    show, _ = apply(document.show, [Rename("desk", "console")])
    document.with_show(show).text()
    assert document.text() == HALL
    assert document.show.items["desk"].type == "mixer-analogue-16"
