"""The parser of the command line: what was typed, or what is wrong with it and what to do."""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Sequence
from functools import partial
from textwrap import fill
from typing import Any, Final, NoReturn

from levelhead.cli.arguments.command_list import COMMANDS

__all__ = ["build_parser"]

_WIDTH: Final = 80
_WRONG_USE: Final = 2
_UNKNOWN_COMMAND: Final = re.compile(r"argument COMMAND: invalid choice: '([^']*)'")


class _Parser(argparse.ArgumentParser):
    """A parser that also says where to read on."""

    def error(self, message: str) -> NoReturn:
        """Usage, what is wrong, and what to do."""
        unknown = _UNKNOWN_COMMAND.search(message)
        if "required: COMMAND" in message:
            self.print_help(sys.stderr)
            self.exit(_WRONG_USE)
        if unknown is not None:
            from difflib import get_close_matches  # only when something went wrong

            near = get_close_matches(unknown[1], [each.name for each in COMMANDS], 1)
            message = f"no command '{unknown[1]}'{f', did you mean {near[0]}?' if near else ''}"
        stop = "" if message.endswith("?") else "."
        message = f"{message}{stop} What there is: {self.prog} --help"
        self.print_usage(sys.stderr)
        self.exit(_WRONG_USE, fill(f"{self.prog}: {message}", _WIDTH) + "\n")


def build_parser() -> argparse.ArgumentParser:
    """All commands and options."""
    parser = _Parser(
        prog="levelhead",
        description="What may be plugged into what at a live event, and how loud it gets.",
        epilog='Example: levelhead ask "amp speaker out" "powered loudspeaker line input"',
    )
    parser.add_argument("--version", action=_Version, help="print the version and stop")
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    for command in COMMANDS:
        inner = commands.add_parser(
            command.name,
            help=command.summary,
            description=command.summary,
            epilog=f"Example: {command.example}",
        )
        for option in command.options:
            option.add_to(inner)
        inner.set_defaults(command=partial(_run, command.name), wrong_use=inner.error)
    return parser


def _run(name: str, arguments: argparse.Namespace) -> Any:
    """Run a command, which is imported only now, so that ``--help`` stays quick."""
    from levelhead.cli.commands.run import RUN

    return RUN[name](arguments)


class _Version(argparse.Action):
    """``--version``, which reads the installed version only when it is asked for."""

    def __init__(self, option_strings: Sequence[str], dest: str, help: str | None = None) -> None:  # noqa: A002 - argparse's name
        super().__init__(option_strings, dest, nargs=0, default=argparse.SUPPRESS, help=help)

    def __call__(self, parser: argparse.ArgumentParser, *rest: object) -> None:
        """Print it and stop."""
        del rest
        from importlib.metadata import version

        print(f"levelhead {version('levelhead')}")
        parser.exit()
