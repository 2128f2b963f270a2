"""``levelhead diff``: what changed, which cables that takes, and what comes of it."""

from __future__ import annotations

import json
import re
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


def test_gear_is_named_by_its_labels(levelhead: Levelhead) -> None:
    """Lines are for the crew: no id of an item or of a type, but the word on the panel."""
    examples = CHURCH.parent
    ran = levelhead(
        "diff",
        str(examples / "duo-in-a-pub.yaml"),
        str(examples / "guitar-and-bass-in-a-pub.yaml"),
    )
    out = " ".join(ran.out.split())
    assert "Add Tom's bass: Electric bass, active" in out
    assert "Plug Tom's microphone, out into Desk, ch2, mic with XLR cable, 5 m" in out
    assert "2 more: XLR cable, 5 m" in out
    assert not re.search(r"cable-xlr|mic-vocal|\(vox-", out)
