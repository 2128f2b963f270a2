"""``levelhead gains`` with what stands around the plan: order, limiters, readings typed back."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.paper.shows import EXAMPLES

Levelhead = Callable[..., Any]

STAGE = str(EXAMPLES / "outdoor-stage.yaml")
DUO = str(EXAMPLES / "duo-in-a-pub.yaml")


@pytest.mark.parametrize("asked", [["--order"], ["--limiters"], ["--seen", "desk.ch1: -6 dBFS"]])
def test_80_columns_and_no_more(levelhead: Levelhead, asked: list[str]) -> None:
    text = levelhead("gains", STAGE, *asked).out
    assert max(map(len, text.splitlines())) <= 80
    assert text.startswith("Meadow stage, Saturday: ")


def test_boxes_to_tick_in_their_order(levelhead: Levelhead) -> None:
    lines = levelhead("gains", DUO, "--order").out.splitlines()
    numbers = [int(line[4:6]) for line in lines if line.startswith("[ ]")]
    assert numbers == list(range(1, len(numbers) + 1))
    assert any("Meter reads" in line and "(right from" in line for line in lines)


def test_a_caution_is_said_once(levelhead: Levelhead) -> None:
    text = " ".join(levelhead("gains", STAGE, "--order").out.split())
    assert text.count("Hearing does not come back") == 1
    assert text.count("can shock and start fires") == 1


def test_all_three_in_one_answer_for_programs(levelhead: Levelhead) -> None:
    asked = ("--order", "--limiters", "--seen", "ch3.converter: -4 dBFS")
    found = levelhead("gains", STAGE, *asked, "--json").json
    assert list(found) == ["seen", "limiters", "order"]
    assert found["seen"][0]["source"] == "bd"
    assert found["seen"][0]["turn"]["by_db"] < 0


def test_a_reading_says_what_to_turn_and_what_moves(levelhead: Levelhead) -> None:
    text = " ".join(levelhead("gains", STAGE, "--seen", "desk.ch1: -1 dBFS peak").out.split())
    assert "Ada is 8.1 dB louder than was taken" in text
    assert "Turn the gain" in text
    assert "(before the fader); to keep it, bus send 1 up by as much" in text
    assert "sources: ada: level: 100.1 dB SPL +- 1 dB" in text


def test_what_cannot_be_read_ends_with_2(levelhead: Levelhead) -> None:
    ran = levelhead("gains", STAGE, "--seen", "desk.ch1 0 dBFS")
    assert ran.status == 2
    assert "ADDRESS: LEVEL DETECTOR" in ran.err


def test_a_fact_that_is_written_down_is_not_told_again(
    levelhead: Levelhead, tmp_path: Path
) -> None:
    """With the level in the show file, the same reading finds nothing off."""
    text = Path(STAGE).read_text(encoding="utf-8")
    one = '{type: voice-singer-loud, label: "Ada", at: vox, distance: 4 cm}'
    assert one in text
    known = tmp_path / "known.yaml"
    line = one.replace("4 cm}", "4 cm, level: 100.1 dB SPL +- 1 dB}")
    known.write_text(text.replace(one, line), encoding="utf-8")
    found = levelhead("gains", str(known), "--seen", "desk.ch1: -1 dBFS peak", "--json").json
    assert found["seen"][0]["off_db"] == pytest.approx(0.0, abs=0.1)
