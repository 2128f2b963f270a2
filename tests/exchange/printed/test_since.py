"""Changed since printed: lines with time and person, and which sheets do not hold any more."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from levelhead.exchange.printed.changes_sheet import changes_sheet
from levelhead.exchange.printed.made import (
    Paper,
    contents_of,
    remember,
    since_printed,
    stale_names,
)
from levelhead.exchange.printed.pages import exchange_of, lying_after
from levelhead.exchange.printed.since import Beside, changes_since, held, made_of
from levelhead.exchange.sheet.values import Sheet
from levelhead.exchange.sheets.pack import check_for, paper_pack
from levelhead.gear.book import load_book
from levelhead.show.document import load_show
from levelhead.show.edits import Annotate, Edit, Relabel, Retitle, Set, apply
from levelhead.show.history.journal import History
from levelhead.show.history.printed import How, Printed, PrintedPage, last_printed
from levelhead.show.model import Show
from levelhead.show.opened.open_show import Author, OpenShow
from tests.web.hall import TEXT

NAMES = ("input-list", "patch", "output-list")
NOON = datetime(2026, 12, 5, 12, tzinfo=UTC)


@pytest.fixture
def place(tmp_path: Path) -> Path:
    path = tmp_path / "hall.yaml"
    path.write_text(TEXT, encoding="utf-8")
    return path


@pytest.fixture
def opened(place: Path) -> Iterator[OpenShow]:
    with History.at(place) as history:
        yield OpenShow.at(place, history, at=NOON)


def sheets(show: Show) -> dict[str, Sheet]:
    return {each.name: each for each in paper_pack(check_for(NAMES, show, load_book()), NAMES)}


def made(show: Show) -> Beside:
    return Beside({name: made_of(sheet) for name, sheet in sheets(show).items()})


def printed(opened: OpenShow, at: datetime = NOON) -> None:
    paper = Paper(contents_of(list(sheets(opened.show).values())))
    remember(opened.history, opened.show, opened.document.text(), paper, at=at, by="Mara")


def step(opened: OpenShow, minutes: int, name: str, *edits: Edit) -> None:
    at = NOON + timedelta(minutes=minutes)
    opened.edit(edits, Author(name, name, opened.revision, at))


def test_each_change_has_its_time_and_person(opened: OpenShow) -> None:
    printed(opened)
    step(opened, 5, "Ben", Set("desk.ch1.gain", "30 dB"))
    step(opened, 9, "Ida", Annotate("vox", "spare"), Set("left.level", "-14 dB"))
    (since,) = since_printed(opened.history, opened.show, made(opened.show))
    told = [(each.line, each.person, each.at) for each in since.changes]
    assert ("desk, ch1: gain 30 dB (was 36 dB)", "Ben", NOON + timedelta(minutes=5)) in told
    assert {person for _, person, _ in told[:2]} == {"Ida"}  # the latest first


def test_what_was_taken_back_stands_nowhere(opened: OpenShow) -> None:
    printed(opened)
    step(opened, 5, "Ben", Set("desk.ch1.gain", "30 dB"))
    step(opened, 6, "Ben", Set("desk.ch1.gain", "36 dB"))
    (since,) = since_printed(opened.history, opened.show, made(opened.show))
    assert since.changes == ()
    assert not since.is_stale


def test_only_sheets_that_say_something_else_are_out_of_date(opened: OpenShow) -> None:
    """A gain stands on the input list, not on the patch; a name of the show on no sheet's body."""
    printed(opened)
    step(opened, 5, "Ben", Retitle("Hall, second night", None, 2))
    assert stale_names(since_printed(opened.history, opened.show, made(opened.show))) == ()
    step(opened, 6, "Ben", Set("desk.ch1.gain", "30 dB"))
    found = since_printed(opened.history, opened.show, made(opened.show))
    assert stale_names(found) == ("input-list",)
    (old,) = [each for each in found[0].sheets if not each.is_current]
    assert old.rows[0].startswith("ch1")
    assert old.gone == 1


def test_a_sheet_printed_anew_holds_and_counts_from_then(opened: OpenShow) -> None:
    printed(opened)
    step(opened, 5, "Ben", Set("desk.ch1.gain", "30 dB"))
    (input_list,) = [each for each in sheets(opened.show).values() if each.name == "input-list"]
    remember(
        opened.history,
        opened.show,
        opened.document.text(),
        Paper(contents_of([input_list])),
        at=NOON + timedelta(minutes=7),
        by="Mara",
    )
    found = since_printed(opened.history, opened.show, made(opened.show))
    assert stale_names(found) == ()
    assert [len(each.sheets) for each in found] == [1, 2]


def test_what_the_file_alone_knows_has_no_time(opened: OpenShow) -> None:
    now, _ = apply(opened.show, [Set("desk.ch1.gain", "30 dB")])
    (change,) = changes_since(opened.show, now, ())
    assert (change.at, change.person) == (None, "the file")


def test_content_leaves_the_head_out() -> None:
    show = load_show_text()
    again, _ = apply(show, [Retitle("Other", "2026-12-06", 9)])
    for name in NAMES:
        assert made_of(sheets(show)[name]) == made_of(sheets(again)[name])


def load_show_text() -> Show:
    from levelhead.show.document import parse_show

    return parse_show(TEXT, "hall").show


def test_changes_are_a_sheet_with_boxes(opened: OpenShow) -> None:
    printed(opened)
    step(opened, 5, "Ben", Set("desk.ch1.gain", "30 dB"))
    (since,) = since_printed(opened.history, opened.show, made(opened.show))
    head = sheets(opened.show)["patch"].head
    sheet = changes_sheet(head, [("Since noon", since.changes)], "Note")
    assert sheet.has_ticks
    assert [label for label, _ in sheet.groups()] == ["Since noon"]
    assert sheet.rows[0]["who"] == "Ben"
    assert all(len(row["line"]) < 80 for row in sheet.rows)  # to be written by hand


def test_it_outlives_the_program(opened: OpenShow, place: Path) -> None:
    printed(opened)
    with History.at(place) as history:
        found = since_printed(history, load_show(place).show, made(opened.show))
    assert [each.printed.person for each in found[0].sheets] == ["Mara"] * len(NAMES)


def test_drawings_hang_on_what_they_show(opened: OpenShow) -> None:
    """The flow is drawn of gear and leads, level diagrams of every gain."""

    def drawn(show: Show) -> list[str]:
        names = ("flow", "levels")
        pack = paper_pack(check_for(names, show, load_book()), names)
        return [made_of(each).content for each in pack]

    before = drawn(opened.show)
    louder = drawn(apply(opened.show, [Set("desk.ch1.gain", "35 dB")])[0])
    assert [one == other for one, other in zip(before, louder, strict=True)] == [True, False]
    assert before == drawn(opened.show)
    renamed = drawn(apply(opened.show, [Relabel("vox", "Anna, spare")])[0])
    assert before[0] != renamed[0]


def test_a_row_is_known_by_words_and_not_by_a_count_or_the_number_of_a_step(place: Path) -> None:
    names = ("packing-list", "start-up")
    pack = paper_pack(check_for(names, load_show(place).show, load_book()), names)
    rows = [row for sheet in pack for row in made_of(sheet).rows]
    assert rows
    assert all(any(map(str.isalpha, row)) and len(row) <= 40 for row in rows)


def lying(*pages: str) -> Printed:
    found = tuple(PrintedPage(content, state) for content, state in map(str.split, pages))
    return Printed("patch", "whole", "b", NOON, "Mara", How(), found)


def test_pages_that_say_something_else_go_by_the_state_on_their_head() -> None:
    exchange = exchange_of(lying("p1 a", "p2 b", "p3 a", "p4 b"), ["p1", "new", "new", "new"])
    assert exchange is not None
    assert exchange.comes == (2, 3, 4)
    assert exchange.words == "pages 2 to 4 of 4"
    assert exchange.lines == (
        "throw away pages 2, 4 of 4 with fingerprint b",
        "throw away page 3 of 4 with fingerprint a",
        "put in pages 2 to 4 of 4",
    )


def test_pages_at_the_end_come_and_go() -> None:
    shorter = exchange_of(lying("p1 a", "p2 a", "p3 a"), ["p1", "p2"])
    longer = exchange_of(lying("p1 a"), ["p1", "p2"])
    assert shorter is not None
    assert longer is not None
    assert shorter.lines == ("throw away page 3 of 3 with fingerprint a",)
    assert longer.lines == ("put in page 2 of 2",)
    assert longer.words == "page 2 of 2 is new"


def test_pages_that_stay_keep_the_state_on_their_head() -> None:
    before = lying("p1 a", "p2 b")
    after = lying_after({"patch": ["p1", "new", "p3"]}, "c", {"patch": before})["patch"]
    assert [page.fingerprint for page in after] == ["a", "c", "c"]
    anew = lying_after({"patch": ["p1"]}, "c", {})["patch"]
    assert [page.fingerprint for page in anew] == ["c"]


def test_no_page_that_changed_is_a_sheet_that_holds(opened: OpenShow) -> None:
    """What a drawing hangs on may change without a line of it."""
    before = made(opened.show).made["patch"]
    then = Printed("patch", "other", "b", NOON, "Mara", How(), (PrintedPage("p1", "b"),))
    assert held(then, before, ["p1"]).is_current
    assert not held(then, before, ["p2"]).is_current
    assert not held(then, before).is_current  # pages are not known


def test_how_and_pages_outlive_the_program(opened: OpenShow, place: Path) -> None:
    contents = contents_of(list(sheets(opened.show).values()))
    how = How("letter", "letter-20", ("desk.ch1",))
    paper = Paper(contents, dict.fromkeys(contents, how), {"patch": ("p1", "p2")})
    remember(opened.history, opened.show, opened.document.text(), paper, at=NOON, by="Mara")
    with History.at(place) as history:
        found = {each.name: each for each in last_printed(history)}
    assert found["patch"].how == how
    assert [page.content for page in found["patch"].pages] == ["p1", "p2"]
    assert found["input-list"].pages == ()
