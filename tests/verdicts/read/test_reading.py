"""What readings note of the wiring and hand on to the next."""

from __future__ import annotations

from collections.abc import Callable

from levelhead.chain.solve import solve
from levelhead.gear.book import load_book
from levelhead.rig.build import build_rig
from levelhead.show.shipped import shipped_example
from levelhead.verdicts.read.kept import Note
from levelhead.verdicts.read.reading import Reading

ONE = Note[int]("a count")
OTHER = Note[str]("a count")


def told(made: list[str], name: str) -> Callable[[], str]:
    """Say that it was made."""

    def make() -> str:
        made.append(name)
        return name

    return make


def test_what_is_noted_outlives_an_edit_while_it_reads_the_same() -> None:
    """Each place by itself; made again only where what it is read from has changed."""
    solution = solve(build_rig(shipped_example("duo-in-a-pub").document.show, load_book()))
    made: list[str] = []
    first = Reading.of(solution)
    first.noted(OTHER, (1,), told(made, "here"), at="here")
    first.noted(OTHER, (1,), told(made, "there"), at="there")
    again = Reading.of(solution, first)
    assert again.noted(OTHER, (1,), told(made, "no"), at="here") == "here"
    assert again.noted(OTHER, (2,), told(made, "anew"), at="there") == "anew"
    assert made == ["here", "there", "anew"]


def test_notes_of_the_same_words_are_kept_apart() -> None:
    """Two rules may choose the same words: what they note is of different types."""
    reading = Reading.of(
        solve(build_rig(shipped_example("duo-in-a-pub").document.show, load_book()))
    )
    assert reading.noted(ONE, (), lambda: 1) == 1
    assert reading.noted(OTHER, (), lambda: "one") == "one"
