"""``levelhead walk``: stops in 80 columns, answers typed back, JSON, and what is refused."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Levelhead = Callable[..., Any]
HALL = str(Path(__file__).parents[2] / "src" / "levelhead" / "examples" / "village-hall.yaml")


@pytest.mark.parametrize("symptom", ["silent", "thin", "hum", "distorted"])
def test_every_symptom_in_80_columns(levelhead: Levelhead, symptom: str) -> None:
    ran = levelhead("walk", HALL, "ch1", "--symptom", symptom)
    assert ran.status == 0
    assert max(map(len, ran.out.splitlines())) <= 80
    assert "CAUTION" in ran.out
    assert "Expected:" in ran.out
    assert " 1  Ruth at Ruth's microphone" in ran.out


def test_a_reading_narrows_it_down(levelhead: Levelhead) -> None:
    ran = levelhead("walk", HALL, "ruth", "--seen", "1=right", "--seen", "3: meter reads -40")
    assert "The fault lies behind Ruth at Ruth's microphone" in ran.out
    assert "  1 fits lead 1 is in another socket" in ran.out
    assert "Look next" in ran.out


def test_json_has_stops_and_what_answers_say(levelhead: Levelhead) -> None:
    told = levelhead("walk", HALL, "1", "--seen", "3=-40", "--json").json
    assert [each["kind"] for each in told["stops"]][:3] == ["source", "lead", "gain"]
    assert told["narrowed"]["bad"] == 3
    assert told["narrowed"]["suspects"][0]["fits"] is True


def test_to_another_end(levelhead: Levelhead) -> None:
    told = levelhead("walk", HALL, "1", "--to", "wedge-ruth", "--json").json
    assert told["end"] == "Ruth's wedge"
    assert "pa-left" in {each["item"] for each in told["other_ends"]}


@pytest.mark.parametrize(
    ("more", "says"),
    [
        (["ch99"], "no channel 'ch99'"),
        (["ch1", "--to", "nowhere"], "does not end at 'nowhere'"),
        (["ch1", "--seen", "loud"], "'loud' is no answer"),
    ],
)
def test_what_means_nothing_is_refused(levelhead: Levelhead, more: list[str], says: str) -> None:
    ran = levelhead("walk", HALL, *more)
    assert ran.status == 2
    assert says in ran.err.replace("\n", " ")


def test_the_next_command_has_the_end_and_what_was_seen(levelhead: Levelhead) -> None:
    ran = levelhead("walk", HALL, "1", "--to", "wedge-ruth", "--seen", "1=right")
    told = " ".join(ran.out.split())
    assert f"levelhead walk {HALL} 1 --symptom silent --to wedge-ruth --seen 1=right --seen" in told


def test_a_silent_channel_is_followed_to_any_end_with_what_mends_it_done(
    levelhead: Levelhead,
) -> None:
    """Nothing comes out of it as the show stands, so nobody knows its ends before that."""
    ran = levelhead("walk", HALL, "ch3", "--to", "wedge-ruth")
    assert "From the source to Ruth's wedge" in ran.out
    assert "\nReadings are told with this done: Set Desk, phantom 48 V to on" in ran.out
    strange = levelhead("walk", HALL, "ch3", "--to", "laptop")
    assert strange.status == 2
    assert "does not end at 'laptop'" in strange.err
