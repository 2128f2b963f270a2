"""The ten-line show of the README is a show. (Its printed outputs: ``tests/test_docs.py``.)"""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

Levelhead = Callable[..., Any]

README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")


def show_of_the_readme() -> str:
    (block,) = re.findall(r"```yaml\n(.*?)```", README, re.DOTALL)
    return str(block)


def test_ten_lines_are_a_show(levelhead: Levelhead) -> None:
    show = show_of_the_readme()
    assert len(show.splitlines()) == 10
    ran = levelhead("check", "-", stdin=show.encode())
    assert (ran.status, ran.err) == (0, "")
    assert "Tuesday" in ran.out
    points = levelhead("levels", "-", "--json", stdin=show.encode()).json["points"]
    heard = next(point for point in points if point["at"] == "box.driver")
    assert heard["unit"] == "dB SPL"
    assert heard["nominal"] is not None


def test_every_command_that_the_readme_names_exists(levelhead: Levelhead) -> None:
    named = set(re.findall(r"levelhead ([a-z]+) ", README))
    assert named >= {"ask", "check", "levels", "gear", "paper"}
    for command in named & {"ask", "check", "levels", "gear", "paper", "open"}:
        assert levelhead(command, "--help").status == 0
