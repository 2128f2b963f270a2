"""Our input list goes out, is edited in a spreadsheet, and comes in: changes land, nothing else."""

from __future__ import annotations

import io
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from typing import Final

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import load_workbook

from levelhead.exchange.lists import ListPlan, list_show, plan_list, read_list
from levelhead.exchange.sheet.values import Sheet
from levelhead.exchange.sheets.input_list import input_list
from levelhead.gear.book import load_book
from levelhead.paper.xlsx import sheets_to_xlsx
from levelhead.planning.check import Check
from levelhead.planning.trial import try_show
from levelhead.show.document import load_show
from levelhead.show.edits import apply
from levelhead.show.model import Show

EXAMPLES: Final = Path(__file__).parents[3] / "src" / "levelhead" / "examples"
DUO: Final = load_show(EXAMPLES / "duo-in-a-pub.yaml").show
HALL: Final = load_show(EXAMPLES / "village-hall.yaml").show
_LIST: Final = read_list("1 kick / 2 snare / 3 bass DI / 4 gtr amp / 5/6 keys / 7 vox Anna")
BAND: Final = list_show(_LIST, plan_list(_LIST))
SHOWS: Final = {"duo": DUO, "hall": HALL, "band": BAND}

Rows = list[dict[str, str]]


@lru_cache
def _sheet(name: str) -> Sheet:
    trial = try_show(SHOWS[name], load_book())
    judgement = trial.judgement
    return input_list(Check(judgement.verdict, judgement.findings, (), trial))


def rows_of(name: str) -> Rows:
    """Rows of the list that a show prints, to be edited."""
    return [dict(row) for row in _sheet(name).rows]


def saved(name: str, rows: Rows) -> bytes:
    """The spreadsheet that is printed, opened and saved by another program."""
    book = load_workbook(io.BytesIO(sheets_to_xlsx([replace(_sheet(name), rows=tuple(rows))])))
    content = io.BytesIO()
    book.save(content)
    return content.getvalue()


def come_back(name: str, rows: Rows, answers: dict[str, str] | None = None) -> ListPlan:
    """What the edited list makes of its show."""
    show = SHOWS[name]
    return plan_list(read_list(saved(name, rows), name="list.xlsx"), show, answers)


def after(name: str, rows: Rows, answers: dict[str, str] | None = None) -> Show:
    plan = come_back(name, rows, answers)
    return apply(SHOWS[name], plan.edits)[0]


def row_at(rows: Rows, word: str) -> dict[str, str]:
    return next(row for row in rows if word in row["source"] or word in row["through"])


@pytest.mark.parametrize("name", ["duo", "hall", "band"])
def test_a_list_that_nobody_edited_changes_nothing(name: str) -> None:
    plan = come_back(name, rows_of(name))
    assert (plan.edits, plan.questions, plan.left, plan.notes) == ((), (), (), ())
    assert plan.is_own


@pytest.mark.parametrize("name", ["duo", "hall", "band"])
def test_the_order_of_its_rows_means_nothing(name: str) -> None:
    assert come_back(name, rows_of(name)[::-1]).edits == ()


def test_a_renamed_source_is_renamed_and_nothing_else() -> None:
    rows = rows_of("duo")
    name = next(iter(DUO.sources))
    called = DUO.sources[name].called
    row = next(row for row in rows if row["source"].lower() == called.lower())
    row["source"] = "Guest singer"
    show = after("duo", rows)
    changed = replace(DUO.sources[name], label="Guest singer")
    assert show == replace(DUO, sources={**DUO.sources, name: changed})


@given(st.data())
@settings(max_examples=12, deadline=None)
def test_changes_land_as_edits_and_nothing_else_changes(data: st.DataObject) -> None:
    """Gains, rows that change places and rows that are kept, in any order of rows."""
    rows = rows_of("hall")
    gains = [row for row in rows if row["gain"] and "no gain" not in row["gain"]]
    told = data.draw(st.lists(st.sampled_from(gains), unique_by=id, max_size=3))
    wanted: dict[str, str] = {}
    for row in told:
        value = data.draw(st.integers(21, 39))
        row["gain"] = f"{value}"
        wanted[row["input"].partition(",")[0]] = f"{value} dB"
    mics = [row for row in rows if row["input"].endswith(", mic")]
    pair = data.draw(st.lists(st.sampled_from(mics), unique_by=id, min_size=2, max_size=2))
    is_swapped = data.draw(st.booleans()) and not {id(each) for each in told} & set(map(id, pair))
    if is_swapped:
        one, other = pair
        one["input"], other["input"] = other["input"], one["input"]
        one["gain"], other["gain"] = other["gain"], one["gain"]
        one["phantom"], other["phantom"] = other["phantom"], one["phantom"]
    rows = data.draw(st.permutations(rows))
    show = after("hall", rows)
    assert show.items == HALL.items
    assert show.sources == HALL.sources
    now = dict(show.settings)
    for channel, value in wanted.items():
        assert now.pop(f"desk.{channel}.gain") == value
    was = {
        k: v for k, v in HALL.settings.items() if k.split(".")[1] not in wanted or ".gain" not in k
    }
    assert now == was
    moved = set(show.links) - set(HALL.links)
    assert len(show.links) == len(HALL.links)
    assert len(moved) == (2 if is_swapped else 0)


def test_a_row_that_is_gone_is_asked_about() -> None:
    rows = rows_of("duo")
    gone = rows.pop()
    plan = come_back("duo", rows)
    (question,) = plan.questions
    assert plan.edits == ()
    assert gone["input"] in question.ask
    show = after("duo", rows, {question.key: "unplug"})
    assert len(show.links) == len(DUO.links) - 1


def test_a_new_row_comes_in_like_any_list() -> None:
    """Into a channel that is free, with a guess of its microphone."""
    rows = rows_of("band")
    new = {"mixer": rows[0]["mixer"], "input": "ch8, mic input", "source": "Trumpet"}
    rows.append(new)
    show = after("band", rows)
    link = show.link_at("desk.ch8.mic")
    assert link is not None
    assert show.items[link.ends["a"].partition(".")[0]].type == "mic-instrument-dynamic"
    assert {**show.items, **BAND.items} == dict(show.items)


def test_an_input_that_no_desk_has_is_asked_about() -> None:
    rows = rows_of("hall")
    rows.append({"mixer": "Desk", "input": "ch60, mic input", "source": "Trumpet"})
    plan = come_back("hall", rows)
    assert [question.key for question in plan.questions] == ["input ch60, mic input"]
    assert plan.edits == ()


def test_length_and_another_microphone_land() -> None:
    """A longer cable, and a condenser in place of a dynamic microphone."""
    rows = rows_of("band")
    row = next(row for row in rows if row["source"].lower() == "vox anna")
    row["through"] = "Vocal microphone, condenser"
    if "length" in row:
        row["length"] = "12,5"
    show = after("band", rows)
    assert show.items["mic-vox-anna"].type == "mic-vocal-condenser"
    link = show.link_at("desk.ch7.mic")
    assert link is not None
    assert [cable.length_m for cable in link.via] == [12.5 if "length" in row else 5.0]


def test_one_row_is_enough_to_switch_phantom_power_on() -> None:
    rows = rows_of("hall")
    next(row for row in rows if row["phantom"] == "needed")["phantom"] = "on"
    assert after("hall", rows).settings == {**HALL.settings, "desk.phantom": "on"}
