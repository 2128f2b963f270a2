"""Pages that lie on paper beside those that would be printed now: which go, which come."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from levelhead.show.history.printed import Printed, PrintedPage

__all__ = ["Exchange", "OldPage", "exchange_of", "lying_after"]


@dataclass(frozen=True, slots=True)
class OldPage:
    """A page to be thrown away: its number, of how many, and the state that its head names."""

    number: int
    of: int
    fingerprint: str


@dataclass(frozen=True, slots=True)
class Exchange:
    """Pages of one sheet: those that go, those that come, how many it has now."""

    goes: tuple[OldPage, ...]
    comes: tuple[int, ...]
    count: int

    @property
    def is_nothing(self) -> bool:
        """Whether every page holds as it lies there."""
        return not self.goes and not self.comes

    @property
    def words(self) -> str:
        """Which pages do not hold, on a line."""
        if not self.goes:
            return f"{_of(self.comes, self.count)} {'is' if len(self.comes) == 1 else 'are'} new"
        return _of([page.number for page in self.goes], self.goes[0].of)

    @property
    def lines(self) -> tuple[str, ...]:
        """What to do with the paper: what goes by its state, what comes in its place."""
        by_state: dict[str, list[OldPage]] = {}
        for page in self.goes:
            by_state.setdefault(page.fingerprint, []).append(page)
        goes = [
            f"throw away {_of([page.number for page in old], old[0].of)} with fingerprint {state}"
            for state, old in by_state.items()
        ]
        come = [f"put in {_of(self.comes, self.count)}"] if self.comes else []
        if len(goes) == 1 and come:
            return (f"{goes[0]}, {come[0]}",)
        return (*goes, *come)

    def to_json(self) -> dict[str, Any]:
        """As docs/formats.md prints it."""
        return {
            "count": self.count,
            "print": list(self.comes),
            "throw_away": [
                {"page": page.number, "of": page.of, "fingerprint": page.fingerprint}
                for page in self.goes
            ],
        }


def _of(numbers: Sequence[int], count: int) -> str:
    return f"{pages_words(numbers)} of {count}"


def pages_words(numbers: Sequence[int]) -> str:
    """Numbers of pages as one says them.

    Examples
    --------
    >>> pages_words([3]), pages_words([1, 3, 4, 5])
    ('page 3', 'pages 1, 3 to 5')
    """
    runs: list[list[int]] = []
    for number in sorted(numbers):
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    said = [str(run[0]) if len(run) == 1 else f"{run[0]} to {run[-1]}" for run in runs]
    return f"page{'' if len(numbers) == 1 else 's'} {', '.join(said)}"


def exchange_of(printed: Printed, contents: Sequence[str]) -> Exchange | None:
    """What goes and comes of a sheet; nothing where nobody knows its pages.

    Parameters
    ----------
    contents
        What tells the content of each page as it would be printed now.
    """
    if not printed.pages or not contents:
        return None
    old, now = printed.pages, contents
    changed = [
        number
        for number, (page, content) in enumerate(zip(old, now, strict=False), 1)
        if page.content != content
    ]
    goes = (*changed, *range(len(now) + 1, len(old) + 1))
    comes = (*changed, *range(len(old) + 1, len(now) + 1))
    return Exchange(
        tuple(OldPage(number, len(old), old[number - 1].fingerprint) for number in goes),
        comes,
        len(now),
    )


def lying_after(
    contents: Mapping[str, Sequence[str]], state: str, kept: Mapping[str, Printed]
) -> dict[str, tuple[PrintedPage, ...]]:
    """Pages that lie on paper once those that changed were printed of a state.

    Parameters
    ----------
    contents
        By the name of each sheet, what tells the content of its pages now.
    kept
        Sheets of which unchanged pages stay, as they were printed before; of all others every
        page was printed.
    """

    def page(name: str, number: int, content: str) -> PrintedPage:
        before = kept[name].pages if name in kept else ()
        if number < len(before) and before[number].content == content:
            return before[number]
        return PrintedPage(content, state)

    return {
        name: tuple(page(name, number, content) for number, content in enumerate(found))
        for name, found in contents.items()
    }
