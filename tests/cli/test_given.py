"""Settings and readings given on the command line: tried, told, and nothing written."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Levelhead = Callable[..., Any]

NEAR = """\
levelhead: 1
show: {name: "A near thing"}
items:
  desk: {type: mixer-compact, label: Desk}
  box: {type: loudspeaker-powered-12, label: Box, figures: {in.damage: 10 V +- 1 V}}
links: [{from: desk.main-left.out, to: box.in, via: [cable-xlr 5 m]}]
"""


@pytest.fixture
def near(tmp_path: Path) -> str:
    place = tmp_path / "near.yaml"
    place.write_text(NEAR, encoding="utf-8")
    return str(place)


def finding_of(data: Any, code: str, where: str) -> Any:
    return next(each for each in data["findings"] if (each["code"], each["where"]) == (code, where))


def test_a_setting_on_trial_moves_the_levels(levelhead: Levelhead, duo: str) -> None:
    before = Path(duo).read_bytes()
    argv = ("levels", duo, "--at", "desk.ch1.preamp")
    plain = levelhead(*argv, "--json").json["points"][0]
    tried = levelhead(*argv, "--set", "desk.ch1.gain=25 dB", "--json").json["points"][0]
    assert tried["nominal"] == pytest.approx(plain["nominal"] - 10, abs=0.01)  # 35 dB in the file
    said = levelhead(*argv, "--set", "desk.ch1.gain=25 dB").out
    assert "Trial   with desk.ch1.gain at 25 dB; the file is not changed." in said
    assert Path(duo).read_bytes() == before


def test_a_reading_narrows_the_chance(levelhead: Levelhead, near: str) -> None:
    """9.7 V at most into an input of 10 V: sure once both are known to a hair."""
    loose = levelhead("check", near, "--all", "--json").json
    argv = ("--figure", "box.in.damage=10 V +- 0.05 V")
    tight = levelhead("check", near, *argv, "--all", "--json").json
    chances = [finding_of(each, "harm.level", "box.in")["p_holds"] for each in (loose, tight)]
    assert 0.5 < chances[0] < chances[1] < 1


def test_a_reading_turns_a_verdict(levelhead: Levelhead, near: str) -> None:
    """The input that survives 40 V is in no danger, the one that survives 3 V is."""
    safe = levelhead("check", near, "--figure", "box.in.damage=40 V")
    hurt = levelhead("check", near, "--figure", "box.in.damage=3 V", "--json")
    assert "survives" not in safe.out
    assert finding_of(hurt.json, "harm.level", "box.in")["severity"] == "harm"
    assert hurt.status == 1


@pytest.mark.parametrize("command", ["check", "levels"])
def test_what_was_measured_is_told(levelhead: Levelhead, near: str, command: str) -> None:
    out = " ".join(levelhead(command, near).out.split())
    assert "Known box.in.damage 10 V +- 1 V: measured on the unit itself." in out


def test_nothing_is_told_where_nothing_was_measured(levelhead: Levelhead, duo: str) -> None:
    out = levelhead("check", duo).out
    assert "Known" not in out
    assert "Trial" not in out


@pytest.mark.parametrize(
    ("argv", "said"),
    [
        (("--figure", "box.in.damge=3 V"), ("--figure box.in.damge", "Did you mean 'in.damage'")),
        (("--figure", "bax.in.damage=3 V"), ("--figure", "Did you mean 'box'?")),
        (("--figure", "box.in.damage=3 dB"), ("--figure box.in.damage", "a quantity in V")),
        (("--figure", "box.in.damage=3 V +- 4 V"), ("leaves nothing",)),
        (("--figure", "box.in.damage"), ("ADDRESS=VALUE", "--figure amp.ch.power.gain=")),
        (("--figure", "box=3 V"), ("names no figure",)),
        (("--set", "desk.ch1.gian=3 dB"), ("--set desk.ch1.gian", "Did you mean 'desk.ch1.gain'")),
        (("--set", "dask.ch1.gain=3 dB"), ("--set", "Did you mean 'desk'?")),
        (("--set", "desk.ch1.gain=90 dB"), ("outside the control's range", "0 dB to 60 dB")),
        (("--set", "desk.ch1.gain"), ("CONTROL=VALUE",)),
        (("--set", "=3 dB"), ("sets nothing",)),
    ],
)
@pytest.mark.parametrize("command", ["check", "levels"])
def test_what_cannot_be_tried_is_told(
    levelhead: Levelhead, near: str, command: str, argv: tuple[str, ...], said: tuple[str, ...]
) -> None:
    ran = levelhead(command, near, *argv)
    assert (ran.status, ran.out) == (2, "")
    for part in said:
        assert part in ran.err


def test_errors_of_the_file_keep_their_line(levelhead: Levelhead, near: str) -> None:
    Path(near).write_text(NEAR.replace("mixer-compact,", "mixer-compakt,"), encoding="utf-8")
    ran = levelhead("check", near, "--figure", "box.in.damage=3 V")
    assert ran.status == 2
    assert "near.yaml:4:" in ran.err
    assert "mixer-compact" in ran.err
