"""Commands and their options. Results go to stdout, talk to stderr."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from importlib.metadata import version

from levelhead.errors import LevelheadError

__all__ = ["build_parser", "main", "run"]

UNREADABLE = 2


def main() -> int:
    """Entry point of the ``levelhead`` command."""
    return run(sys.argv[1:])


def run(argv: Sequence[str]) -> int:
    """0 nothing worse than care, 1 something fails or harms, 2 the input cannot be read."""
    arguments = build_parser().parse_args(argv)
    try:
        return int(arguments.command(arguments))
    except LevelheadError as error:
        print(error, file=sys.stderr)
        return UNREADABLE
    except BrokenPipeError:
        sys.stderr.close()
        return 0


def _lazy(name: str) -> object:
    """A command that is imported when it runs, so that ``--help`` stays quick."""

    def call(arguments: argparse.Namespace) -> int:
        from levelhead.cli import commands

        command = getattr(commands, name)
        return int(command(arguments))

    return call


def build_parser() -> argparse.ArgumentParser:
    """All commands and options."""
    parser = argparse.ArgumentParser(
        prog="levelhead",
        description="What may be plugged into what at a live event, how loud, and what to do about it.",
        epilog='Example: levelhead ask "amp speaker out" "powered loudspeaker line input"',
    )
    parser.add_argument("--version", action="version", version=version("levelhead"))
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    _add_levels(commands)
    _add_check(commands)
    _add_ask(commands)
    _add_gear(commands)
    _add_paper(commands)
    _add_open(commands)
    return parser


Commands = "argparse._SubParsersAction[argparse.ArgumentParser]"


def _command(
    commands: Commands, name: str, help_text: str, example: str
) -> argparse.ArgumentParser:
    parser = commands.add_parser(
        name, help=help_text, description=help_text, epilog=f"Example: {example}"
    )
    parser.set_defaults(command=_lazy(name))
    return parser


def _with_show(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("show", metavar="SHOW", help="show file (YAML), or - for standard input")
    parser.add_argument("--gear", metavar="FOLDER", help="folder of your own gear entries")


def _with_json(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--json", action="store_true", help="print JSON (docs/formats.md)")


def _add_levels(commands: Commands) -> None:
    parser = _command(
        commands,
        "levels",
        "Nominal, peak, ceiling and floor at every point of every path.",
        "levelhead levels hall.yaml --at desk",
    )
    _with_show(parser)
    parser.add_argument("--at", metavar="ADDRESS", help="only points whose address begins so")
    _with_json(parser)


def _add_check(commands: Commands) -> None:
    parser = _command(
        commands,
        "check",
        "Everything that can hurt, fails or wants care in a show, with remedies that were tried.",
        "levelhead check hall.yaml",
    )
    _with_show(parser)
    parser.add_argument("--all", action="store_true", help="also what is fine")
    _with_json(parser)


def _add_ask(commands: Commands) -> None:
    parser = _command(
        commands,
        "ask",
        "May this go into that? With which cable, how loud, where does the gain stand?",
        'levelhead ask "laptop headphones" "stereo line input of compact mixer"',
    )
    parser.add_argument("from_text", metavar="FROM", help="gear and socket the signal comes from")
    parser.add_argument("to_text", metavar="TO", help="gear and socket it should go into")
    parser.add_argument("--cable", metavar="TYPE", help="cable type of the gear book")
    parser.add_argument("--length", metavar="LENGTH", help="length of the cable, e.g. '10 m'")
    parser.add_argument("--at", metavar="LEVEL", help="level, e.g. '+4 dBu', '100 dB SPL'")
    parser.add_argument(
        "--set", metavar="CONTROL=VALUE", action="append", default=[], help="set a control, e.g. laptop.volume='-12 dB'"
    )  # fmt: skip
    parser.add_argument("--all", action="store_true", help="also print what is fine")
    _with_json(parser)


def _add_gear(commands: Commands) -> None:
    parser = _command(
        commands, "gear", "Types of the gear book, or one of them.", "levelhead gear di-passive"
    )
    parser.add_argument("type", metavar="TYPE", nargs="?", help="a type to show")
    parser.add_argument("--search", metavar="WORDS", help="types that the words may mean")
    parser.add_argument("--kind", metavar="KIND", help="only this kind, e.g. microphone, cable")
    parser.add_argument("--gear", metavar="FOLDER", help="folder of your own gear entries")
    _with_json(parser)


def _add_paper(commands: Commands) -> None:
    parser = _command(
        commands, "paper", "Sheets for the crew, as PDF.", "levelhead paper hall.yaml -o hall.pdf"
    )
    _with_show(parser)
    parser.add_argument("-o", "--output", metavar="FILE", required=True, help="PDF to write")
    parser.add_argument("--page", choices=("a4", "letter"), default="a4", help="page size")


def _add_open(commands: Commands) -> None:
    parser = _command(
        commands, "open", "Ask in the browser; serves on this machine only.", "levelhead open"
    )
    parser.add_argument("show", metavar="SHOW", nargs="?", help="show file (YAML)")
    parser.add_argument("--port", type=int, default=0, help="port; 0 finds a free one")
    parser.add_argument("--no-browser", action="store_true", help="only serve, open no browser")
