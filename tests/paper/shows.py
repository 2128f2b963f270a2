"""Checked shows for the tests of sheets: the examples, and made-up ones of any size."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import levelhead
from benchmarks.shows import book_for, show_text
from levelhead.gear.book import load_book
from levelhead.planning.check import Check
from levelhead.planning.trial import try_show
from levelhead.show.document import load_show, parse_show
from levelhead.show.edits import Relabel, Retitle, apply

EXAMPLES = Path(levelhead.__file__).parent / "examples"
RIGS = Path(__file__).parents[1] / "rigs"


@cache
def checked(name: str) -> Check:
    """A show by its name, or one of so many channels; remedies are not tried."""
    if name.isdigit():
        trial = try_show(parse_show(show_text(int(name)), name).show, book_for(int(name)))
    else:
        folder = EXAMPLES if (EXAMPLES / name).exists() else RIGS
        trial = try_show(load_show(folder / name).show, load_book())
    return Check(trial.judgement.verdict, trial.judgement.findings, (), trial)


@cache
def checked_abroad() -> Check:
    """The duo with names in three alphabets, and labels that begin like formulas."""
    show = load_show(EXAMPLES / "duo-in-a-pub.yaml").show
    names = {
        "vox-mia": "=Μικρόφωνο Ωρίων",
        "vox-jon": "+Жанна",
        "keys": "-Zoë Łukasiewicz",
        "laptop": "@Señor Ibáñez & Æ",
    }
    edits = [Relabel(item, label) for item, label in names.items()]
    abroad, _ = apply(show, [*edits, Retitle("Bal & fête", "2026-11-20", 1)])
    trial = try_show(abroad, load_book())
    return Check(trial.judgement.verdict, trial.judgement.findings, (), trial)
