"""Every command and every option is in the manual, in the words of its help."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Final

import pytest

from docs.commands_page import page
from levelhead.cli import main
from levelhead.cli.arguments.command_list import COMMANDS, Command

PAGE: Final = Path(__file__).parents[2] / "docs" / "commands.md"


def test_the_page_of_commands_is_as_the_program_has_them() -> None:
    """A new option wants `make docs`."""
    written = PAGE.read_text(encoding="utf-8")
    assert "\n".join(page()).strip() in written


@pytest.mark.parametrize("command", COMMANDS, ids=lambda each: each.name)
def test_the_page_names_every_option_of_the_help(
    command: Command, capsys: pytest.CaptureFixture[str]
) -> None:
    """The help is made by the standard library, the page by ours: both have the same options."""
    with pytest.raises(SystemExit, match="0"):
        main([command.name, "--help"])
    told = set(re.findall(r"^  .*?(--[a-z-]+)", capsys.readouterr().out, re.MULTILINE)) - {"--help"}
    section = PAGE.read_text(encoding="utf-8").split(f"## `levelhead {command.name}`")[1]
    listed = set(re.findall(r"^\| `.*?(--[a-z-]+)", section.split("\n## ")[0], re.MULTILINE))
    assert listed == told
