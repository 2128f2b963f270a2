"""The shows that come with the program, to look at and to begin with.

Each is a file of its own under ``levelhead/examples``. What it is about is said in the first
sentence of the comment that it opens with, so that a list of them needs no second text.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import Final

from levelhead.errors import ShowError
from levelhead.show.document import ShowDocument, parse_show

__all__ = ["Example", "shipped_example", "shipped_examples"]

_ENDING: Final = ".yaml"
_COMMENT: Final = "#"


@dataclass(frozen=True, slots=True)
class Example:
    """One show that comes with the program: its name, its text, and what it holds."""

    name: str
    document: ShowDocument

    @property
    def title(self) -> str:
        """Name of the show."""
        return self.document.show.name

    @property
    def text(self) -> str:
        """The whole file."""
        return self.document.text()

    @property
    def summary(self) -> str:
        """What it is about: the first sentence of the comment at its top."""
        opening = []
        for line in self.text.splitlines():
            if not line.startswith(_COMMENT):
                break
            opening.append(line.removeprefix(_COMMENT).strip())
        sentence, stop, _ = " ".join(opening).partition(". ")
        return sentence + stop.strip()

    @property
    def size(self) -> str:
        """How much there is: gear and links."""
        show = self.document.show
        return f"{len(show.items)} pieces of gear, {len(show.links)} leads"


def shipped_examples() -> tuple[Example, ...]:
    """All of them, the smallest first."""
    found = (shipped_example(name) for name in _names())
    return tuple(sorted(found, key=lambda each: len(each.document.show.items)))


@cache
def shipped_example(name: str) -> Example:
    """One by its name, such as ``conference``.

    Raises
    ------
    ShowError
        There is none of that name.
    """
    if name not in _names():
        raise ShowError(
            f"no example is called '{name[:80]}'",
            where="levelhead example",
            expected=f"one of {', '.join(_names())}",
            remedy="List them with: levelhead example",
        )
    text = (_folder() / f"{name}{_ENDING}").read_text(encoding="utf-8")
    return Example(name, parse_show(text, f"{name}{_ENDING}"))


@cache
def _names() -> tuple[str, ...]:
    names = (each.name for each in _folder().iterdir() if each.name.endswith(_ENDING))
    return tuple(sorted(name.removesuffix(_ENDING) for name in names))


def _folder() -> Traversable:
    return files("levelhead") / "examples"
