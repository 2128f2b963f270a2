"""The files of the gear book: YAML, and the one JSON that spares reading it."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path

import pytest

from levelhead.errors import GearError
from levelhead.gear import store
from levelhead.gear.book import load_book
from levelhead.gear.store import COMPILED, compile_entries, read_entries, shipped_entries

ROOT = Path(__file__).parents[2]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Make two files of entries."""
    entries = tmp_path / "entries"
    entries.mkdir()
    (entries / "b.yaml").write_text("second: {label: Two}\n", encoding="utf-8")
    (entries / "a.yaml").write_text("first: {label: One, words: [on, no]}\n", encoding="utf-8")
    return entries


def test_files_are_read_in_the_order_of_their_names(folder: Path) -> None:
    """YAML 1.2: on and no are words."""
    assert read_entries(folder) == {
        "first": {"label": "One", "words": ["on", "no"]},
        "second": {"label": "Two"},
    }


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("first: {label: Again}", r"c\.yaml: type 'first' stands twice"),
        ("third: [", r"c\.yaml: cannot be read: .*line"),
        ("third: {a: 1, a: 2}", r"c\.yaml: cannot be read"),
        ("- third", r"c\.yaml: cannot be read: this is no mapping of types"),
        ("third: plain", r"this is no mapping of types"),
    ],
)
def test_a_file_that_holds_no_types_is_refused(folder: Path, text: str, said: str) -> None:
    (folder / "c.yaml").write_text(text, encoding="utf-8")
    with pytest.raises(GearError, match=f"(?s){said}"):
        read_entries(folder)


def test_a_file_in_another_encoding_is_refused(folder: Path) -> None:
    (folder / "c.yaml").write_bytes("third: {label: Äther}".encode("latin-1"))
    with pytest.raises(GearError, match=r"c\.yaml: cannot be read"):
        read_entries(folder)


def test_an_empty_file_holds_nothing(folder: Path) -> None:
    (folder / "c.yaml").write_text("# nothing yet\n", encoding="utf-8")
    assert len(read_entries(folder)) == 2


def test_a_folder_that_is_not_there_is_refused(tmp_path: Path) -> None:
    with pytest.raises(GearError, match="no such folder"):
        read_entries(tmp_path / "nowhere")


# ---------------------------------------------------------------- the compiled book


def unread(monkeypatch: pytest.MonkeyPatch) -> None:
    """From now on no YAML is read."""

    def refuse(folder: Path) -> None:
        pytest.fail(f"read {folder}")

    monkeypatch.setattr(store, "read_entries", refuse)


def test_yaml_is_read_once(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    compiled = folder.parent / "book.json"
    entries = shipped_entries(folder, compiled)
    unread(monkeypatch)
    assert shipped_entries(folder, compiled) == entries
    assert sorted(path.name for path in folder.parent.iterdir()) == ["book.json", "entries"]


def test_a_changed_entry_is_read_again(folder: Path) -> None:
    compiled = folder.parent / "book.json"
    compile_entries(folder, compiled)
    (folder / "b.yaml").write_text("second: {label: Changed}\n", encoding="utf-8")
    assert shipped_entries(folder, compiled)["second"] == {"label": "Changed"}
    assert json.loads(compiled.read_text())["entries"]["second"] == {"label": "Changed"}


@pytest.mark.parametrize("text", ["", "{", "[]", '{"content": 1}', "null"])
def test_a_damaged_compiled_book_is_made_anew(folder: Path, text: str) -> None:
    compiled = folder.parent / "book.json"
    compiled.write_text(text)
    assert list(shipped_entries(folder, compiled)) == ["first", "second"]
    assert json.loads(compiled.read_text())["entries"].keys() == {"first", "second"}


def test_a_folder_that_cannot_be_written_only_costs_time(folder: Path) -> None:
    """An installation for all users: the file cannot be made (here, for want of its folder)."""
    compiled = folder.parent / "nowhere" / "book.json"
    assert list(shipped_entries(folder, compiled)) == ["first", "second"]
    assert not compiled.parent.exists()


def test_the_build_packs_what_the_book_looks_for() -> None:
    """Git ignores the compiled book, so the wheel would leave it out without being told."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    build = project["tool"]["hatch"]["build"]
    assert build["artifacts"] == [COMPILED.relative_to(ROOT).as_posix()]
    assert "custom" in build["hooks"]
    assert (ROOT / "hatch_build.py").is_file()


def test_the_compiled_book_is_the_entries() -> None:
    load_book()
    assert json.loads(COMPILED.read_text(encoding="utf-8"))["entries"] == read_entries(
        store.ENTRIES
    )
