"""Every command: its name, what it is for, an example, and what it takes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from levelhead.cli.arguments import options
from levelhead.cli.arguments.option import Option

__all__ = ["COMMANDS", "Command"]


@dataclass(frozen=True, slots=True)
class Command:
    """A command: its name, what it is for, an example, and what it takes."""

    name: str
    summary: str
    example: str
    options: tuple[Option, ...]


COMMANDS: Final = (
    Command(
        "levels",
        "Nominal, peak, ceiling and floor at every point of every path.",
        "levelhead levels hall.yaml --at desk",
        (*options.SHOW, *options.OWN_GEAR, *options.GIVEN, *options.POINTS, *options.JSON),
    ),
    Command(
        "check",
        "Everything that can hurt, fails or wants care in a show, with remedies that were tried.",
        "levelhead check hall.yaml",
        (*options.SHOW_TO_JUDGE, *options.OWN_GEAR, *options.GIVEN, *options.ALL, *options.JSON),
    ),
    Command(
        "ask",
        "May this go into that? With which cable, how loud, where does the gain stand?",
        'levelhead ask "laptop headphones" "mixer stereo line"',
        (*options.QUESTION, *options.OWN_GEAR, *options.ALL, *options.JSON),
    ),
    Command(
        "gains",
        "Where every gain, pad, fader and amplifier control goes, and what decides it.",
        "levelhead gains hall.yaml -o planned.yaml",
        (*options.SHOW, *options.OWN_GEAR, *options.GAINS, *options.AROUND_GAINS, *options.JSON),
    ),
    Command(
        "walk",
        "A channel is silent, thin, hums or is distorted: where to look, what each meter reads.",
        "levelhead walk hall.yaml ch3 --symptom silent",
        (*options.SHOW, *options.OWN_GEAR, *options.WALK, *options.JSON),
    ),
    Command(
        "seats",
        "How loud it is where people listen, how well speech is understood, and their dose.",
        "levelhead seats hall.yaml",
        (*options.SHOW, *options.OWN_GEAR, *options.GIVEN, *options.SEAT_MAP, *options.JSON),
    ),
    Command(
        "feedback",
        "How far the system is from ringing, what rings first, and what buys most.",
        "levelhead feedback hall.yaml",
        (*options.SHOW, *options.OWN_GEAR, *options.GIVEN, *options.JSON),
    ),
    Command(
        "gear",
        "Types of the gear book, or one of them with its figures.",
        "levelhead gear di-passive",
        (*options.TYPES, *options.OWN_GEAR, *options.JSON),
    ),
    Command(
        "example",
        "Shows to look at and to begin with: list them, or write one as a file of your own.",
        "levelhead example conference -o friday.yaml",
        (*options.EXAMPLE,),
    ),
    Command(
        "paper",
        "Sheets for the crew: PDF, spreadsheet, or one page for the phone.",
        "levelhead paper hall.yaml -o hall.pdf",
        (*options.SHOW, *options.OWN_GEAR, *options.PAPER, *options.JSON),
    ),
    Command(
        "diff",
        "What changed between two shows in the crew's words, and what comes of it.",
        "levelhead diff friday.yaml saturday.yaml",
        (*options.TWO_SHOWS, *options.OWN_GEAR, *options.JSON),
    ),
    Command(
        "draw",
        "The signal flow as a drawing, with findings in place.",
        "levelhead draw hall.yaml -o hall.svg --fold desk",
        (*options.SHOW, *options.OWN_GEAR, *options.DRAWING),
    ),
    Command(
        "import",
        "A band's or a venue's input list as a show, with every guess and question told.",
        "levelhead import band.xlsx -o band.yaml",
        (*options.LIST, *options.OWN_GEAR, *options.JSON),
    ),
    Command(
        "open",
        "Ask in the browser, or build a show there; serves on this machine only.",
        "levelhead open hall.yaml",
        (*options.SERVING, *options.OWN_GEAR),
    ),
)
