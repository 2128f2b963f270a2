"""The text of a file with its name, for errors that tell their place."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from functools import cached_property

from levelhead.errors import ShowError

__all__ = ["YamlText"]

_LINE_BREAK = "\n"


@dataclass(frozen=True, eq=False)
class YamlText:
    """The text of a file and its name: turns a place in the text into ``file:line:column``."""

    text: str
    name: str

    @cached_property
    def line_starts(self) -> list[int]:
        """Places in the text where lines begin."""
        starts = [0]
        for index, character in enumerate(self.text):
            if character == _LINE_BREAK:
                starts.append(index + 1)
        return starts

    def place(self, index: int) -> str:
        """Place in the file, lines and columns counted from 1: ``friday.yaml:41:11``."""
        line = bisect_right(self.line_starts, index)
        return f"{self.name}:{line}:{index - self.line_starts[line - 1] + 1}"

    def error(
        self, index: int, what: str, *, expected: str, remedy: str, path: str = ""
    ) -> ShowError:
        """An error at a place of the file; ``path`` names the field."""
        where = f"{self.place(index)}, {path}" if path else self.place(index)
        return ShowError(what, where=where, expected=expected, remedy=remedy)
