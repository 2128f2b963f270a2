"""Every example of ``docs/formats.md`` runs, and prints what the page says that it prints."""

from __future__ import annotations

import contextlib
import io
import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from pathlib import Path
from typing import Any, Final

import pytest
from pydantic import BaseModel
from ruamel.yaml import YAML

from levelhead.gear.book import load_book
from levelhead.gear.compile import controls_of
from levelhead.gear.plan import ControlPlan
from levelhead.planning.asked.answer import Question, answer
from levelhead.show import model as show_model
from levelhead.show.document import parse_show
from levelhead.show.edit_json import edit_from_json, edit_name, edit_to_json
from levelhead.show.edits import EDITS, apply
from tests.docs.conftest import Desk
from tests.docs.page import PAGE, Example, code, codes, misfits

OBJECTS: Final = PAGE.objects()
COMMANDS: Final = PAGE.examples("levelhead")
PROSE: Final = frozenset(  # its wording may change, says the page
    {
        "what",
        "do",
        "says",
        "why",
        "label",
        "place",
        "settle_by",
        "assumed",
        "flips",
        "caution",
        "source",
    }
)


def yaml_of(text: str) -> Any:
    return YAML(typ="safe", pure=True).load(text)


def text_of(content: Any) -> str:
    written = io.StringIO()
    YAML(typ="safe", pure=True).dump(content, written)
    return written.getvalue()


# ---------------------------------------------------------------- shows


def test_the_exercise_is_answered_in_ten_lines_and_is_fine(desk: Desk) -> None:
    assert len(PAGE.examples("show")[0].text.splitlines()) == 10
    status, said = desk.run("levelhead check duo.yaml --json --all")
    assert (status, json.loads(said)["verdict"]) == (0, "fine")


def test_the_ten_lines_fail_with_the_other_microphone_until_phantom_is_on(desk: Desk) -> None:
    text = desk.read("duo.yaml").replace("mic-vocal-dynamic", "mic-vocal-condenser")
    (line,) = re.findall("`(settings: .+?)`", PAGE.seen)
    shows = [parse_show(each, "duo") for each in (text, f"{text}{line}\n")]
    assert [desk.check(each).verdict for each in shows] == ["fails", "fine"]


@pytest.mark.parametrize("example", PAGE.examples("show"), ids=lambda each: each.what)
def test_each_show_loads_and_solves_and_is_saved_as_it_was(example: Example, desk: Desk) -> None:
    document = desk.load(example.what.split()[1])
    assert desk.check(document).trial.judgement.links
    assert document.text() == example.text


@pytest.mark.parametrize("name", ["pub.yaml", "own.yaml"])
def test_shows_that_teach_are_nothing_to_worry_about(name: str, desk: Desk) -> None:
    assert desk.check(desk.load(name)).verdict in {"fine", "care"}


def laid_over(base: Any, over: Any) -> Any:
    """Sections laid over those of a show; lists go on."""
    if isinstance(base, dict) and isinstance(over, dict):
        return {**base, **{key: laid_over(base.get(key), value) for key, value in over.items()}}
    return [*base, *over] if isinstance(base, list) else over


@pytest.mark.parametrize("example", PAGE.examples("part"), ids=lambda each: each.text[:30])
def test_each_part_fits_the_show_that_it_is_a_part_of(example: Example, desk: Desk) -> None:
    whole = laid_over(yaml_of(desk.read(example.name)), yaml_of(example.text))
    assert desk.check(parse_show(text_of(whole), "part")).trial.solution.paths


def test_what_is_kept_for_later_changes_no_verdict(desk: Desk) -> None:
    """The page names the keys; when one of them begins to count, its sentence has to change."""
    (sentence,) = re.findall(r"\*\*Kept for later\.\*\* (.+?) are checked", PAGE.text, re.DOTALL)
    whole = yaml_of(desk.read("pub.yaml"))
    bare = {key: value for key, value in whole.items() if key not in codes(sentence)}
    for section in ("items", "links"):
        entries = bare[section].values() if section == "items" else bare[section]
        kept = [{key: each[key] for key in each if key not in codes(sentence)} for each in entries]
        bare[section] = dict(zip(bare["items"], kept, strict=True)) if section == "items" else kept
    one, other = (desk.check(parse_show(text_of(each), "pub")) for each in (whole, bare))
    assert one.trial.show != other.trial.show
    assert one.to_json(include_fine=True) == other.to_json(include_fine=True)


# ---------------------------------------------------------------- gear types


OWN_TYPES: Final = [type_id for each in PAGE.examples("gear") for type_id in yaml_of(each.text)]


def test_gear_types_of_the_page_have_names_of_their_own() -> None:
    """One that is in the book as well would be shown as an addition and be a replacement."""
    assert set(OWN_TYPES).isdisjoint(load_book().ids)


def positions(controls: Mapping[str, ControlPlan]) -> Iterator[dict[str, str]]:
    """The usual positions of the switches, then each switch once in each of its positions."""
    yield {}
    for address, control in controls.items():
        yield from ({address: option} for option in control.options)


@pytest.mark.parametrize("type_id", OWN_TYPES)
def test_each_gear_type_is_planned_however_its_switches_stand(type_id: str, desk: Desk) -> None:
    entry = desk.book.entry(type_id)
    if entry.ends is not None:
        assert desk.book.cable(type_id).joins
        return
    for chosen in positions(controls_of(entry)):
        plan = desk.book.plan(type_id, chosen, {})
        assert plan.air is not None or any(block.plan.ports for block in plan.blocks)


def test_each_gear_type_is_at_work_in_a_show_of_the_page(desk: Desk) -> None:
    show = desk.load("own.yaml").show
    used = {item.type for item in show.items.values()}
    used |= {source.type for source in show.sources.values()}
    used |= {cable.type for link in show.links for cable in link.via}
    assert set(OWN_TYPES) <= used


def keys_used(entry: BaseModel) -> Iterator[tuple[str, str]]:
    """Every key that an entry sets, here and below, with the kind of entry that it belongs to."""
    for name in entry.model_fields_set & set(type(entry).model_fields):
        yield type(entry).__name__, type(entry).model_fields[name].alias or name
        value = getattr(entry, name)
        inner = value.values() if isinstance(value, dict) else value
        for each in inner if isinstance(value, dict | tuple) else [value]:
            if isinstance(each, BaseModel):
                yield from keys_used(each)


def test_examples_show_every_key_of_gear_at_work(desk: Desk) -> None:
    used = {pair for type_id in OWN_TYPES for pair in keys_used(desk.book.entry(type_id))}
    written = {
        (name.removeprefix("gear."), code(row[0]))
        for name, rows in PAGE.tables("keys").items()
        for row in rows
        if name.startswith("gear.") and "no use here" not in row[3]
    }
    elsewhere = {  # filled in before an entry is read, or the same as for the item as a whole
        ("TypeEntry", "like"),
        ("BlockEntry", "like"),
        ("BlockEntry", "parts"),
        ("BlockEntry", "contacts"),
        ("PathEntry", "when"),
    }
    assert written - used == elsewhere
    assert PAGE.text.count("\n  like: ") + PAGE.text.count("\n      like: ") >= 2


# ---------------------------------------------------------------- edits


def test_every_kind_of_edit_is_in_the_table_with_its_fields() -> None:
    written = {code(name): codes(cell) for name, cell, _ in PAGE.table("edits")}
    kinds: dict[str, Any] = {edit_name(kind): kind for kind in EDITS}
    assert written == {name: [each.name for each in fields(kinds[name])] for name in kinds}


@pytest.mark.parametrize("name", ["Link", "Cable", "Item", "Source", "Supply"])
def test_objects_in_edits_have_the_fields_of_the_show(name: str) -> None:
    kind = getattr(show_model, name)
    assert is_dataclass(kind)
    assert list(OBJECTS[name]) == [each.name for each in fields(kind)]


def test_edits_of_the_page_apply_and_are_taken_back(desk: Desk) -> None:
    (example,) = PAGE.examples("edits")
    before = desk.load(example.name).show
    listed = json.loads(example.text)
    edits = [edit_from_json(each) for each in listed]
    assert {each["edit"] for each in listed} == {edit_name(kind) for kind in EDITS}
    after, back = apply(before, edits)
    assert after != before
    assert apply(after, back)[0] == before
    for edit in (*edits, *back):
        written = edit_to_json(edit)
        assert list(misfits(written, "Edit", OBJECTS)) == []
        assert edit_from_json(json.loads(json.dumps(written))) == edit


def test_the_python_of_the_page_runs(desk: Desk) -> None:
    (example,) = PAGE.examples("python")
    with contextlib.chdir(desk.folder):
        exec(compile(example.text, "formats.md", "exec"), {})  # noqa: S102 - our own page
    assert desk.load("duo-louder.yaml").show.settings == {"desk.ch1.gain": "30 dB"}


# ---------------------------------------------------------------- JSON


PARTS = {"findings": "Finding", "conditions": "Applied", "not_used": "Unused"}


def reported(what: str, desk: Desk) -> tuple[str, Any]:
    """What a command prints, and its type; behind a comma stands which part of it."""
    command, _, part = what.partition(", ")
    output = json.loads(desk.run(command)[1])
    if part:
        section, number = part.split()
        return PARTS[section], output[section][int(number)]
    kinds = {"levels": "Levels", "check": "Check", "ask": "Answer"}
    kinds |= {"import": "Import", "paper": "Paper"}
    return kinds[command.split()[1]], output


@pytest.mark.parametrize("example", COMMANDS, ids=lambda each: each.what)
def test_page_and_command_have_the_types_of_the_tables(example: Example, desk: Desk) -> None:
    kind, printed = reported(example.what, desk)
    assert list(misfits(json.loads(example.text), kind, OBJECTS)) == []
    assert list(misfits(printed, kind, OBJECTS)) == []


def is_part(shown: Any, printed: Any) -> bool:
    """Whether what is shown was printed: addresses, codes, kinds; numbers as to null or not."""
    if isinstance(shown, dict):
        return isinstance(printed, dict) and all(
            key in PROSE or is_part(value, printed.get(key)) for key, value in shown.items()
        )
    if isinstance(shown, list):
        return all(any(is_part(one, other) for other in printed) for one in shown)
    if isinstance(shown, int | float):
        return isinstance(printed, int | float)
    return bool(shown == printed)


@pytest.mark.parametrize("example", COMMANDS, ids=lambda each: each.what)
def test_what_the_page_shows_is_what_the_command_prints(example: Example, desk: Desk) -> None:
    assert is_part(json.loads(example.text), reported(example.what, desk)[1])


@pytest.mark.parametrize("example", COMMANDS, ids=lambda each: each.what)
def test_a_reader_sees_the_command_of_each_output(example: Example) -> None:
    assert f"`{example.what.partition(', ')[0]}`" in PAGE.seen


@pytest.mark.parametrize("words", [
    ("laptop headphones", "stereo line input of compact mixer"),
    ("condenser mic", "compact mixer mic"),
    ("amplifier speaker output", "compact mixer mic"),
    ("active di on phantom", "compact mixer line input with gain"),
])  # fmt: skip
def test_answers_of_every_outcome_have_the_types_of_the_tables(
    words: tuple[str, str], desk: Desk
) -> None:
    assert list(misfits(answer(Question(*words), desk.book).to_json(), "Answer", OBJECTS)) == []


@pytest.mark.parametrize("name", ["made-up-models.csv", "festival-changeover.xlsx", "pub-band.csv"])
def test_imports_of_every_outcome_have_the_types_of_the_tables(name: str, desk: Desk) -> None:
    """With questions, with several acts, with nothing to ask."""
    place = Path(__file__).parents[1] / "lists" / name
    printed = json.loads(desk.run(f"levelhead import {place} --json")[1])
    assert printed["channels"] or printed["questions"]
    assert list(misfits(printed, "Import", OBJECTS)) == []


@pytest.mark.parametrize("name", ["duo.yaml", "pub.yaml", "own.yaml", "dead.yaml"])
def test_checks_of_every_show_have_the_types_of_the_tables(name: str, desk: Desk) -> None:
    report = desk.check(desk.load(name)).to_json(include_fine=True)
    assert report["findings"]
    assert list(misfits(report, "Check", OBJECTS)) == []


@pytest.mark.parametrize(
    ("command", "status"),
    [
        ("levelhead check duo.yaml", 0),
        ("levelhead levels dead.yaml", 0),
        ("levelhead gear", 0),
        ("levelhead check dead.yaml", 1),
        ('levelhead ask "amplifier speaker output" "powered loudspeaker line input"', 1),
        ("levelhead check nowhere.yaml", 2),
        ("levelhead check typo.yaml", 2),
        ("levelhead gear no-such-type", 2),
        ("levelhead ask only-one-side", 2),
    ],
)
def test_the_exit_status_is_that_of_the_table(command: str, status: int, desk: Desk) -> None:
    (desk.folder / "typo.yaml").write_text("levelhead: 1\nshow: {nam: Hall}\n")
    assert str(status) in {row[0] for row in PAGE.table("statuses")}
    assert desk.run(command)[0] == status


def test_a_typing_error_is_told_with_its_place_and_the_nearest_word(
    desk: Desk, capsys: pytest.CaptureFixture[str]
) -> None:
    (desk.folder / "typo.yaml").write_text("levelhead: 1\nshow: {nam: Hall}\n")
    desk.run("levelhead check typo.yaml")
    said = capsys.readouterr().err
    assert "typo.yaml:2:8" in said
    assert "Did you mean 'name'?" in said
