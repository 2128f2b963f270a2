"""Commands and their options. Nothing heavy is imported before a command runs."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

__all__ = ["COMMANDS", "Command"]

AddOptions = Callable[[argparse.ArgumentParser], None]


@dataclass(frozen=True, slots=True)
class Command:
    """A command: its name, what it is for, an example, and what it takes."""

    name: str
    summary: str
    example: str
    options: tuple[AddOptions, ...]


# ---------------------------------------------------------------- options


def _show(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("show", metavar="SHOW", help="show file (YAML), or - for standard input")


def _show_to_judge(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "show", metavar="SHOW", nargs="?", help="show file (YAML), or - for standard input"
    )
    parser.add_argument("--only", metavar="FAMILY", help="judge by one family, such as wiring")
    parser.add_argument(
        "--explain", metavar="CODE", help="what a code means: what is computed, and its thresholds"
    )


def _json(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--json", action="store_true", help="print JSON (docs/formats.md)")


def _own_gear(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--gear", metavar="FOLDER", help="folder with gear entries of your own")


def _all(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--all", action="store_true", help="every finding with all its figures, also what is fine"
    )


def _points(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--at", metavar="ADDRESS", help="only points whose address begins so")
    parser.add_argument(
        "--path",
        metavar="ADDRESS",
        action="append",
        default=[],
        help="only ways of a signal through such a point; may be given several times",
    )
    parser.add_argument(
        "--plot",
        metavar="FILE.svg",
        help="draw a level diagram instead: the strongest way of each source",
    )


def _seat_map(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--map",
        metavar="FILE",
        help="draw the seats from above instead, with levels: FILE.svg or FILE.png",
    )
    parser.add_argument(
        "--map-of",
        choices=("level", "speech"),
        default="level",
        help="what the map shows: dB(A), or the speech transmission index",
    )


def _given(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--set",
        metavar="CONTROL=VALUE",
        action="append",
        default=[],
        help="try a setting, such as desk.ch1.gain='30 dB'; the file stays as it is",
    )
    parser.add_argument(
        "--figure",
        metavar="ADDRESS=VALUE",
        action="append",
        default=[],
        help="a reading of one unit, such as amp.ch.power.gain='31.2 dB' or "
        "vox.out.impedance='290 ohm +- 5 %%'; the file stays as it is",
    )


def _question(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("from_text", metavar="FROM", help="gear and socket the signal comes from")
    parser.add_argument(
        "to_text",
        metavar="TO",
        nargs="?",
        help="gear and socket it should go into; left out where FROM says 'this into that', and "
        "with --show",
    )
    parser.add_argument(
        "--show",
        metavar="SHOW",
        help="with that show's own gear, stock and free sockets: how FROM joins it",
    )
    parser.add_argument(
        "--cable", metavar="CABLE", help="cable by its type or words, or a box such as multicore"
    )
    parser.add_argument("--length", metavar="LENGTH", help="length of the cable, such as '10 m'")
    parser.add_argument("--at", metavar="LEVEL", help="level, such as '+4 dBu' or '100 dB SPL'")
    parser.add_argument(
        "--set",
        metavar="CONTROL=VALUE",
        action="append",
        default=[],
        help="set a control, such as laptop.volume='-12 dB'; may be given several times",
    )


def _types(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "type", metavar="TYPE", nargs="*", help="a type to show, or words that may mean some"
    )
    parser.add_argument("--search", metavar="WORDS", help="types that the words may mean")
    parser.add_argument("--kind", metavar="KIND", help="only this kind, such as microphone, cable")
    parser.add_argument(
        "--weak",
        metavar="SHOW",
        nargs="*",
        help="figures on which most verdicts hang, in the shows that come with the program and "
        "in those named here",
    )


def _example(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("name", metavar="NAME", nargs="?", help="an example to print or to write")
    parser.add_argument(
        "-o", "--output", metavar="FILE", help="file to write; one that is there is left alone"
    )


def _paper(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "-o", "--output", metavar="FILE", help="file to write: .pdf, .xlsx or, for phones, .html"
    )
    parser.add_argument(
        "--sheet",
        metavar="NAME",
        nargs="+",
        action="extend",
        help="only these, such as input-list, patch, cable-labels (docs/paper.md); the usual "
        "ones if left out",
    )
    parser.add_argument(
        "--page",
        choices=("a4", "letter"),
        help="page size; a4 if left out, with --changed as printed",
    )
    parser.add_argument(
        "--labels", metavar="GRID", help="grid of label sheets, such as a4-24 (docs/paper.md)"
    )
    parser.add_argument(
        "--path",
        metavar="ADDRESS",
        nargs="+",
        action="extend",
        default=[],
        help="draw the level diagrams of ways through these, such as desk.ch3",
    )
    parser.add_argument(
        "--phone", action="store_true", help="one HTML page to take along, with boxes to tick"
    )
    parser.add_argument(
        "--is-current",
        metavar="FINGERPRINT",
        help="whether paper with this fingerprint still holds, and what changed since",
    )
    parser.add_argument(
        "--changed",
        action="store_true",
        help="what changed since sheets were printed, with time and person, and which are out of "
        "date; with -o their pages that changed are written anew, the changes before them",
    )


def _two_shows(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("old", metavar="OLD", help="show file as it was")
    parser.add_argument("new", metavar="NEW", help="show file as it is now")
    parser.add_argument(
        "-o", "--output", metavar="FILE", help="write the changes as a sheet: .pdf, .xlsx or .html"
    )


def _drawing(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "-o", "--output", metavar="FILE.svg", required=True, help="drawing to write"
    )
    parser.add_argument(
        "--wiring", action="store_true", help="every socket in panel order and every cable"
    )
    parser.add_argument(
        "--fold",
        metavar="ITEM",
        nargs="+",
        action="extend",
        default=[],
        help="draw all that feeds this item alone as one box before it",
    )


def _list(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "file", metavar="FILE", help="list: XLSX, CSV or text, or - for standard input"
    )
    parser.add_argument("--into", metavar="SHOW", help="show that the list changes; else a new one")
    parser.add_argument("-o", "--output", metavar="SHOW", help="show file to write; none without")
    parser.add_argument(
        "--answer",
        metavar="WORDS=ANSWER",
        action="append",
        default=[],
        help="answer to a question, such as 'gtr=guitar-acoustic'; may be given several times",
    )
    parser.add_argument(
        "--yes", action="store_true", help="ask nothing at a terminal, and write over a file"
    )


def _gains(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "-o", "--output", metavar="PLANNED_SHOW", help="new show file with every control in place"
    )
    parser.add_argument(
        "--reserve",
        metavar="LEVEL",
        default="6 dB",
        help="headroom that peaks keep under every ceiling; 6 dB if left out",
    )
    parser.add_argument(
        "--as-loud-as-set",
        action="store_true",
        help="leave loudspeakers as loud as they are set, not as loud as their ceilings allow",
    )
    parser.add_argument(
        "--all", action="store_true", help="also controls that stay where they are, and mix meters"
    )


def _around_gains(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--order", action="store_true", help="instead: the order of sound check, step by step"
    )
    parser.add_argument(
        "--limiters", action="store_true", help="instead: limiter thresholds, attack and release"
    )
    parser.add_argument(
        "--seen",
        metavar="READING",
        action="append",
        default=[],
        help="instead: what a meter read at sound check, such as 'desk.ch3.preamp: -9 dBFS peak', "
        "and how far to turn what; may be given several times",
    )


def _walk(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "channel",
        metavar="CHANNEL",
        help="an input such as desk.ch3, its number, or who plays there",
    )
    parser.add_argument(
        "--symptom",
        choices=("silent", "thin", "hum", "distorted"),
        default="silent",
        help="what is wrong with it; silent if left out",
    )
    parser.add_argument(
        "--to", metavar="ITEM", help="where it should be heard; the loudest loudspeaker if left out"
    )
    parser.add_argument(
        "--seen",
        metavar="STOP=ANSWER",
        action="append",
        default=[],
        help="what was found at a stop: 5=right, 5=wrong, or what its meter reads, 5=-40; may be "
        "given several times",
    )


def _serving(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("show", metavar="SHOW", nargs="?", help="show file (YAML) to work on")
    parser.add_argument("--port", type=int, default=0, help="port; 0 (usual) finds a free one")
    parser.add_argument(
        "--lan",
        metavar="NAME",
        nargs="?",
        const="",
        help="let phones and tablets of this network come in, by a code on this screen; NAME is "
        "the name or address by which they find this machine, if it has several",
    )
    parser.add_argument("--no-browser", action="store_true", help="only serve, open no browser")


COMMANDS: Final = (
    Command(
        "levels",
        "Nominal, peak, ceiling and floor at every point of every path.",
        "levelhead levels hall.yaml --at desk",
        (_show, _own_gear, _given, _points, _json),
    ),
    Command(
        "check",
        "Everything that can hurt, fails or wants care in a show, with remedies that were tried.",
        "levelhead check hall.yaml",
        (_show_to_judge, _own_gear, _given, _all, _json),
    ),
    Command(
        "ask",
        "May this go into that? With which cable, how loud, where does the gain stand?",
        'levelhead ask "laptop headphones" "mixer stereo line"',
        (_question, _own_gear, _all, _json),
    ),
    Command(
        "gains",
        "Where every gain, pad, fader and amplifier control goes, and what decides it.",
        "levelhead gains hall.yaml -o planned.yaml",
        (_show, _own_gear, _gains, _around_gains, _json),
    ),
    Command(
        "walk",
        "A channel is silent, thin, hums or is distorted: where to look, what each meter reads.",
        "levelhead walk hall.yaml ch3 --symptom silent",
        (_show, _own_gear, _walk, _json),
    ),
    Command(
        "seats",
        "How loud it is where people listen, how well speech is understood, and their dose.",
        "levelhead seats hall.yaml",
        (_show, _own_gear, _given, _seat_map, _json),
    ),
    Command(
        "feedback",
        "How far the system is from ringing, what rings first, and what buys most.",
        "levelhead feedback hall.yaml",
        (_show, _own_gear, _given, _json),
    ),
    Command(
        "gear",
        "Types of the gear book, or one of them with its figures.",
        "levelhead gear di-passive",
        (_types, _own_gear, _json),
    ),
    Command(
        "example",
        "Shows to look at and to begin with: list them, or write one as a file of your own.",
        "levelhead example conference -o friday.yaml",
        (_example,),
    ),
    Command(
        "paper",
        "Sheets for the crew: PDF, spreadsheet, or one page for the phone.",
        "levelhead paper hall.yaml -o hall.pdf",
        (_show, _own_gear, _paper, _json),
    ),
    Command(
        "diff",
        "What changed between two shows in the crew's words, and what comes of it.",
        "levelhead diff friday.yaml saturday.yaml",
        (_two_shows, _own_gear, _json),
    ),
    Command(
        "draw",
        "The signal flow as a drawing, with findings in place.",
        "levelhead draw hall.yaml -o hall.svg --fold desk",
        (_show, _own_gear, _drawing),
    ),
    Command(
        "import",
        "A band's or a venue's input list as a show, with every guess and question told.",
        "levelhead import band.xlsx -o band.yaml",
        (_list, _own_gear, _json),
    ),
    Command(
        "open",
        "Ask in the browser, or build a show there; serves on this machine only.",
        "levelhead open hall.yaml",
        (_serving, _own_gear),
    ),
)
