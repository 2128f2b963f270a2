"""Each list beside what a person expects of it: right, asked, or silently wrong."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from ruamel.yaml import YAML

from levelhead.exchange.lists import ReadList, plan_list, read_list
from levelhead.exchange.lists.model import Channel
from levelhead.gear.book import load_book

HERE: Final = Path(__file__).parent
LISTS: Final = sorted(path for path in HERE.iterdir() if path.suffix in {".csv", ".txt", ".xlsx"})


@dataclass(frozen=True)
class Counts:
    """How the rows of one list came out."""

    name: str
    right: int
    asked: int
    wrong: tuple[str, ...]
    guesses: int
    must_ask: int  # of the asked ones, those that nobody could tell

    @property
    def row(self) -> str:
        """One line of the table."""
        rows = self.right + self.asked + len(self.wrong)
        return (
            f"{self.name:<26}{rows:>6}{self.right:>7}{self.asked:>7}{self.must_ask:>11}"
            f"{len(self.wrong):>7}{self.guesses:>9}"
        )


def expected_of(path: Path) -> dict[str, Any]:
    """What was written by hand beside a list."""
    expected: dict[str, Any] = YAML(typ="safe", pure=True).load(path.with_suffix(".yaml"))
    return expected


def read_of(path: Path) -> ReadList:
    """The list as the importer reads it."""
    return read_list(path.read_bytes(), name=path.name)


def counts_of(path: Path) -> Counts:
    """Compare row by row, in the order of the list."""
    expected, read = expected_of(path), read_of(path)
    wanted = set(expected.get("asks", ()))
    missing = wanted - {question.key for question in read.questions}
    wrong = [f"not asked: {key}" for key in sorted(missing)]
    right = asked = must = 0
    rows = expected["channels"]
    if len(rows) != len(read.channels):
        wrong.append(f"{len(read.channels)} rows in place of {len(rows)}")
    for row, channel in zip(rows, read.channels, strict=False):
        if channel.open:
            asked += 1
            must += row[1] == "ask"
        elif is_right(row, channel):
            right += 1
        else:
            wrong.append(f"{row}: {channel}")
    wrong += details_wrong(expected, read)
    guesses = sum(len(channel.guesses) for channel in read.channels)
    return Counts(path.name, right, asked, tuple(wrong), guesses, must)


def details_wrong(expected: dict[str, Any], read: ReadList) -> list[str]:
    """What a list says beside its inputs: 48 V, gains, cables, rows set aside, a desk that fits."""
    by_numbers = {"+".join(map(str, each.numbers)): each for each in read.channels}
    wrong = []
    for about, of in (("phantom", "phantom"), ("gains", "gain_db"), ("cables", "cable_m")):
        for numbers, value in expected.get(about, {}).items():
            found = getattr(by_numbers.get(str(numbers)), of, "no such row")
            if found != value:
                wrong.append(f"{about} of {numbers}: {found} in place of {value}")
    if len(read.skipped) < expected.get("aside", 0):
        wrong.append(f"only {len(read.skipped)} rows set aside")
    if expected.get("desk") == "apart" and not has_switches_apart(read):
        wrong.append("one switch for 48 V, though a row says that there must be none")
    return wrong


def has_switches_apart(read: ReadList) -> bool:
    """Whether the desk that a list gets switches phantom power by the channel."""
    (desk,) = (each.taken for each in plan_list(read).guesses if each.about == "desk")
    return "phantom" not in load_book().controls(desk)


def is_right(row: list[Any], channel: Channel) -> bool:
    """Whether a channel is what its row says: numbers, thing, item, box, how many."""
    numbers = tuple(int(each) for each in str(row[0]).split("+")) if row[0] else ()
    if channel.numbers != numbers:
        return False
    if row[1] == "spare":
        return channel.is_spare
    _, thing, item, box, count = [*row, *[None] * (5 - len(row))]
    is_count = channel.count == (count or max(len(numbers), 1)) or (not numbers and channel.is_pair)
    return (
        thing is not None
        and channel.thing in thing.split("|")
        and channel.item in str(item).split("|")
        and str(channel.box) in str(box).split("|")
        and is_count
    )


def table(found: list[Counts]) -> str:
    """The table of counts, then what is silently wrong."""
    head = f"{'list':<26}{'rows':>6}{'right':>7}{'asked':>7}{'(had to)':>11}{'wrong':>7}"
    wrong = tuple(f"{each.name}: {text}" for each in found for text in each.wrong)
    total = Counts(
        "all",
        sum(each.right for each in found),
        sum(each.asked for each in found),
        wrong,
        sum(each.guesses for each in found),
        sum(each.must_ask for each in found),
    )
    return "\n".join([f"{head}{'guesses':>9}", *(each.row for each in (*found, total)), *wrong])


if __name__ == "__main__":
    counted = table([counts_of(path) for path in LISTS])
    print(f"```text\n{counted}\n```")  # noqa: T201 - the table of docs/lists.md
