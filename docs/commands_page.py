"""All commands and their options as Markdown, as ``--help`` has them.

Run as ``python -m docs.commands_page``; ``docs/fill.py`` puts its output into ``docs/commands.md``.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator

from levelhead.cli.arguments.command_list import COMMANDS, Command

__all__ = ["page"]


def page() -> Iterator[str]:
    """Lines of the page, command by command."""
    for command in COMMANDS:
        yield from _entry(command)


def _entry(command: Command) -> Iterator[str]:
    yield from [f"## `levelhead {command.name}`", "", command.summary, ""]
    yield from [f"    {command.example}", "", "| option | what it does |", "| --- | --- |"]
    for option in command.options:
        typed, says = (each.replace("|", "\\|") for each in (option.typed, option.says))
        yield f"| `{typed}` | {says} |"
    yield ""


if __name__ == "__main__":
    sys.stdout.write("\n".join(page()))
