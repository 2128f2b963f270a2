"""``levelhead diff``: what changed, which cables that takes, and what comes of it."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Levelhead = Callable[..., Any]
CHURCH = Path(__file__).parents[2] / "src" / "levelhead" / "examples" / "church-with-band.yaml"


@pytest.fixture
def changed(tmp_path: Path) -> Path:
    text = CHURCH.read_text(encoding="utf-8")
    place = tmp_path / "sunday.yaml"
    text = text.replace("desk.ch7.mic", "desk.ch11.mic")
    place.write_text(text.replace("ch1: {phantom: on,", "ch1: {phantom: off,"), encoding="utf-8")
    return place


def test_nothing_changed(levelhead: Levelhead) -> None:
    ran = levelhead("diff", str(CHURCH), str(CHURCH))
    assert (ran.status, ran.out.strip()) == (0, "Nothing changed.")


def test_changes_and_what_comes_of_them(levelhead: Levelhead, changed: Path) -> None:
    ran = levelhead("diff", str(CHURCH), str(changed))
    assert ran.status == 1
    assert "Move DI of the bass from ch7 mic to ch11 mic on Desk" in ran.out
    assert "Desk, ch1: phantom now off" in ran.out
    assert "New     fails: Lectern needs phantom power" in ran.out
    assert max(map(len, ran.out.splitlines())) <= 80


def test_the_other_way_round_undoes_it(levelhead: Levelhead, changed: Path) -> None:
    data = json.loads(levelhead("diff", str(changed), str(CHURCH), "--json").out)
    assert [each["code"] for each in data["gone"]] == ["phantom.missing"]
    assert data["cables"] == []
    assert {"line", "edits"} == set(data["changes"][0])


def test_the_changes_as_a_sheet(levelhead: Levelhead, changed: Path) -> None:
    place = changed.with_name("changes.pdf")
    ran = levelhead("diff", str(CHURCH), str(changed), "-o", str(place))
    assert ran.status == 1
    assert place.read_bytes().startswith(b"%PDF-")
