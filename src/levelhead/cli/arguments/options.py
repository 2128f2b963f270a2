"""Options that commands take, in groups that belong together."""

from __future__ import annotations

from typing import Final

from levelhead.cli.arguments.option import flag, repeated, value, words

__all__ = [
    "ALL",
    "AROUND_GAINS",
    "DRAWING",
    "EXAMPLE",
    "GAINS",
    "GIVEN",
    "JSON",
    "LIST",
    "OWN_GEAR",
    "PAPER",
    "POINTS",
    "QUESTION",
    "SEAT_MAP",
    "SERVING",
    "SHOW",
    "SHOW_TO_JUDGE",
    "TWO_SHOWS",
    "TYPES",
    "WALK",
]

SHOW: Final = (value("show", metavar="SHOW", says="show file (YAML), or - for standard input"),)

SHOW_TO_JUDGE: Final = (
    value("show", metavar="SHOW", says="show file (YAML), or - for standard input", nargs="?"),
    value("--only", metavar="FAMILY", says="judge by one family, such as wiring"),
    value(
        "--explain", metavar="CODE", says="what a code means: what is computed, and its thresholds"
    ),
)

JSON: Final = (flag("--json", says="print JSON (docs/formats.md)"),)

OWN_GEAR: Final = (value("--gear", metavar="FOLDER", says="folder with gear entries of your own"),)

ALL: Final = (flag("--all", says="every finding with all its figures, also what is fine"),)

POINTS: Final = (
    value("--at", metavar="ADDRESS", says="only points whose address begins so"),
    repeated(
        "--path",
        metavar="ADDRESS",
        says="only ways of a signal through such a point; may be given several times",
    ),
    value(
        "--plot",
        metavar="FILE.svg",
        says="draw a level diagram instead: the strongest way of each source",
    ),
)

SEAT_MAP: Final = (
    value(
        "--map",
        metavar="FILE",
        says="draw the seats from above instead, with levels: FILE.svg or FILE.png",
    ),
    value(
        "--map-of",
        says="what the map shows: dB(A), or the speech transmission index",
        choices=("level", "speech"),
        default="level",
    ),
)

GIVEN: Final = (
    repeated(
        "--set",
        metavar="CONTROL=VALUE",
        says="try a setting, such as desk.ch1.gain='30 dB'; the file stays as it is",
    ),
    repeated(
        "--figure",
        metavar="ADDRESS=VALUE",
        says="a reading of one unit, such as amp.ch.power.gain='31.2 dB' or "
        "vox.out.impedance='290 ohm +- 5 %%'; the file stays as it is",
    ),
)

QUESTION: Final = (
    value("from_text", metavar="FROM", says="gear and socket the signal comes from"),
    value(
        "to_text",
        metavar="TO",
        says="gear and socket it should go into; left out where FROM says 'this into that', and "
        "with --show",
        nargs="?",
    ),
    value(
        "--show",
        metavar="SHOW",
        says="with that show's own gear, stock and free sockets: how FROM joins it",
    ),
    value(
        "--cable", metavar="CABLE", says="cable by its type or words, or a box such as multicore"
    ),
    value("--length", metavar="LENGTH", says="length of the cable, such as '10 m'"),
    value("--at", metavar="LEVEL", says="level, such as '+4 dBu' or '100 dB SPL'"),
    repeated(
        "--set",
        metavar="CONTROL=VALUE",
        says="set a control, such as laptop.volume='-12 dB'; may be given several times",
    ),
)

TYPES: Final = (
    value("type", metavar="TYPE", says="a type to show, or words that may mean some", nargs="*"),
    value("--search", metavar="WORDS", says="types that the words may mean"),
    value("--kind", metavar="KIND", says="only this kind, such as microphone, cable"),
    value(
        "--weak",
        metavar="SHOW",
        says="figures on which most verdicts hang, in the shows that come with the program and in"
        " those named here",
        nargs="*",
    ),
)

EXAMPLE: Final = (
    value("name", metavar="NAME", says="an example to print or to write", nargs="?"),
    value("-o", "--output", metavar="FILE", says="file to write; one that is there is left alone"),
)

PAPER: Final = (
    value(
        "-o", "--output", metavar="FILE", says="file to write: .pdf, .xlsx or, for phones, .html"
    ),
    words(
        "--sheet",
        metavar="NAME",
        says="only these, such as input-list, patch, cable-labels (docs/paper.md); the usual ones"
        " if left out",
    ),
    value(
        "--page",
        says="page size; a4 if left out, with --changed as printed",
        choices=("a4", "letter"),
    ),
    value("--labels", metavar="GRID", says="grid of label sheets, such as a4-24 (docs/paper.md)"),
    words(
        "--path",
        metavar="ADDRESS",
        says="draw the level diagrams of ways through these, such as desk.ch3",
        default=[],
    ),
    flag("--phone", says="one HTML page to take along, with boxes to tick"),
    value(
        "--is-current",
        metavar="FINGERPRINT",
        says="whether paper with this fingerprint still holds, and what changed since",
    ),
    flag(
        "--changed",
        says="what changed since sheets were printed, with time and person, and which are out of "
        "date; with -o their pages that changed are written anew, the changes before them",
    ),
)

TWO_SHOWS: Final = (
    value("old", metavar="OLD", says="show file as it was"),
    value("new", metavar="NEW", says="show file as it is now"),
    value(
        "-o", "--output", metavar="FILE", says="write the changes as a sheet: .pdf, .xlsx or .html"
    ),
)

DRAWING: Final = (
    value("-o", "--output", metavar="FILE.svg", says="drawing to write", required=True),
    flag("--wiring", says="every socket in panel order and every cable"),
    words(
        "--fold",
        metavar="ITEM",
        says="draw all that feeds this item alone as one box before it",
        default=[],
    ),
)

LIST: Final = (
    value("file", metavar="FILE", says="list: XLSX, CSV or text, or - for standard input"),
    value("--into", metavar="SHOW", says="show that the list changes; else a new one"),
    value("-o", "--output", metavar="SHOW", says="show file to write; none without"),
    repeated(
        "--answer",
        metavar="WORDS=ANSWER",
        says="answer to a question, such as 'gtr=guitar-acoustic'; may be given several times",
    ),
    flag("--yes", says="ask nothing at a terminal, and write over a file"),
)

GAINS: Final = (
    value(
        "-o", "--output", metavar="PLANNED_SHOW", says="new show file with every control in place"
    ),
    value(
        "--reserve",
        metavar="LEVEL",
        says="headroom that peaks keep under every ceiling; 6 dB if left out",
        default="6 dB",
    ),
    flag(
        "--as-loud-as-set",
        says="leave loudspeakers as loud as they are set, not as loud as their ceilings allow",
    ),
    flag("--all", says="also controls that stay where they are, and mix meters"),
)

AROUND_GAINS: Final = (
    flag("--order", says="instead: the order of sound check, step by step"),
    flag("--limiters", says="instead: limiter thresholds, attack and release"),
    repeated(
        "--seen",
        metavar="READING",
        says="instead: what a meter read at sound check, such as 'desk.ch3.preamp: -9 dBFS peak',"
        " and how far to turn what; may be given several times",
    ),
)

WALK: Final = (
    value(
        "channel",
        metavar="CHANNEL",
        says="an input such as desk.ch3, its number, or who plays there",
    ),
    value(
        "--symptom",
        says="what is wrong with it; silent if left out",
        choices=("silent", "thin", "hum", "distorted"),
        default="silent",
    ),
    value(
        "--to", metavar="ITEM", says="where it should be heard; the loudest loudspeaker if left out"
    ),
    repeated(
        "--seen",
        metavar="STOP=ANSWER",
        says="what was found at a stop: 5=right, 5=wrong, or what its meter reads, 5=-40; may be "
        "given several times",
    ),
)

SERVING: Final = (
    value("show", metavar="SHOW", says="show file (YAML) to work on", nargs="?"),
    value("--port", says="port; 0 (usual) finds a free one", type=int, default=0),
    value(
        "--lan",
        metavar="NAME",
        says="let phones and tablets of this network come in, by a code on this screen; NAME is "
        "the name or address by which they find this machine, if it has several",
        nargs="?",
        const="",
    ),
    flag("--no-browser", says="only serve, open no browser"),
)
