"""A row of a list, a row that is none, and the list that they stand in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from levelhead.exchange.lists.phrases import find_phrases, words_of
from levelhead.exchange.lists.trade import TradeWords

__all__ = ["Line", "Part", "Skipped", "is_known", "is_way_out_of_desk", "turned"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One row that may be an input: its cells by what their columns say.

    ``section`` is the heading above it, ``text`` the whole row as it stands.
    """

    where: str
    cells: Mapping[str, str]
    channels: tuple[int, ...] = ()
    is_pair: bool = False
    count: int = 1
    section: str = ""
    text: str = ""
    is_counted: bool = False  # the count is a number that stands before it
    is_doubtful: bool = False  # a name alone, without a number: an input or a heading
    is_way_out: bool = False  # its number is that of a monitor mix or another way out of the desk
    of_gear: int = 1  # how many of its microphone or box it says
    is_plain: bool = False  # no table: what stands behind the name may be anything

    def cell(self, kind: str) -> str:
        """Text of a column; empty where there is none."""
        return self.cells.get(kind, "")

    @property
    def gear_or_name(self) -> str:
        """What it says of its gear, else its name, else the whole row: the words for a guess."""
        return self.cell("gear") or self.cell("name") or self.text


@dataclass(frozen=True, slots=True)
class Skipped:
    """A row that is no input, and why."""

    where: str
    text: str
    why: str


@dataclass(slots=True)
class Part:
    """One list: a sheet, or what stands under one row of headings."""

    title: str
    lines: list[Line] = field(default_factory=list)
    skipped: list[Skipped] = field(default_factory=list)
    unread: tuple[str, ...] = ()

    @property
    def channels(self) -> set[int]:
        """Numbers that its lines name."""
        return {number for line in self.lines for number in line.channels}


def is_known(text: str, trade: TradeWords) -> bool:
    """Whether a text names a thing or a kind of microphone or box."""
    words = words_of(text)
    return bool(find_phrases(words, trade.thing_words) or find_phrases(words, trade.trait_words))


def is_way_out_of_desk(text: str, trade: TradeWords) -> bool:
    """Whether a text numbers a monitor mix or another output: ``Mon 1``, ``Aux 3``, ``IEM 2 L``."""
    words = words_of(text)
    bare = tuple(word for word in words if not word.isdigit())
    sides = trade.marks["left"] | trade.marks["right"] | trade.marks["stereo"]
    while bare and (bare[-1:] in sides or bare[-2:] in sides):
        bare = bare[:-1]
    return len(bare) < len(words) and bare in trade.marks["way-out"]


def turned(text: str, trade: TradeWords, is_output: bool) -> bool:  # noqa: FBT001 - the state before
    """Whether a heading turns to outputs, or back to inputs."""
    if trade.is_mark("inputs", text):
        return False
    return is_output or trade.is_mark("outputs", text)
