"""A whole show checked."""

from __future__ import annotations

from pathlib import Path
from typing import Final

import pytest

import levelhead
from levelhead.gear.book import load_book
from levelhead.planning.check import Check, check_show
from levelhead.show.document import load_show
from levelhead.show.edits import Remove, Set, apply
from levelhead.show.model import Show
from levelhead.verdicts.told.severity import Severity
from tests.chain.bench import bench_show
from tests.verdicts.cases import CASES

EXAMPLES: Final = Path(levelhead.__file__).parent / "examples"


def hall() -> Show:
    return load_show(str(EXAMPLES / "village-hall.yaml")).show


def checked(name: str) -> Check:
    document = load_show(str(EXAMPLES / name))
    return check_show(document.show, load_book(), document)


def test_the_hall_shows_its_mistakes() -> None:
    """The foyer on a loudspeaker output, phantom off, the laptop down, a gain far too low."""
    check = checked("village-hall.yaml")
    told = {(each.code, each.where) for each in check.shown(include_fine=False)}
    assert check.verdict is Severity.HARM
    assert {
        ("harm.level", "foyer.in"),
        ("phantom.missing", "vox-ines.out"),
        ("enough.too-low", "desk.st1.in-left"),
    } <= told
    assert any(code == "enough.set-too-low" for code, _ in told)


def test_the_duo_has_no_mistakes() -> None:
    check = checked("duo-in-a-pub.yaml")
    assert check.verdict in {Severity.FINE, Severity.CARE}
    assert len(check.shown(include_fine=False)) < len(check.shown(include_fine=True))


def test_json_has_what_is_worse_than_fine_unless_all_is_asked_for() -> None:
    check = checked("village-hall.yaml")
    told = check.to_json()
    assert set(told) == {"verdict", "depends_on", "notes", "findings", "links"}
    assert all(each["severity"] != "fine" for each in told["findings"])
    assert len(check.to_json(include_fine=True)["findings"]) > len(told["findings"])
    assert len(told["links"]) >= len(hall().links)


@pytest.mark.parametrize(
    ("phantom", "depends"), [("unknown", ["desk.phantom"]), ("on", []), ("off", [])]
)
def test_an_unknown_switch_is_solved_for_each_position(phantom: str, depends: list[str]) -> None:
    """The hall without its harm: dead without phantom power, else not."""
    show, _ = apply(hall(), [Set("desk.phantom", phantom), Remove("foyer")])
    check = check_show(show, load_book())
    assert [branch.input for branch in check.depends_on] == depends


def test_an_unknown_gain_is_taken_as_its_default_and_turns_where_it_would_be_too_low() -> None:
    """Twelve decibels under its place, which is 0 dB here."""
    show = bench_show(
        {"t": "tone", "d": "desk"}, [("t.out", "d.ch1.line")], settings={"d.ch1.gain": "unknown"}
    )
    check = check_show(show, CASES)
    assert [branch.input for branch in check.depends_on] == ["d.ch1.gain"]
    assert check.verdict is Severity.CARE
    assert check.trial.solution.rig.setting_db("d.ch1.gain") == 0.0


def test_a_check_of_the_hall_costs_few_solves(monkeypatch: pytest.MonkeyPatch) -> None:
    """Some 8 ms each: the whole stays under half a second."""
    solves = []
    names = check_show.__globals__["try_show"].__globals__
    solve = names["solve"]
    monkeypatch.setitem(names, "solve", lambda *given: solves.append(1) or solve(*given))
    checked("village-hall.yaml")
    assert 1 <= len(solves) <= 60
