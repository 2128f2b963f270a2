"""Level diagrams as a sheet: every way with its tightest points, and the tightest ways drawn."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import inf
from typing import Final

from levelhead.chain.best_ways import called, strongest_ways, ways_through
from levelhead.chain.levels import PointLevels
from levelhead.chain.solution import Solution
from levelhead.exchange.paperwork.work import Paperwork, figure_text
from levelhead.exchange.sheet.pictured import Pictured
from levelhead.exchange.sheet.plan import SheetPlan
from levelhead.exchange.sheet.values import Column
from levelhead.rig.naming import point_label
from levelhead.show.addresses import item_of

__all__ = ["LEVELS"]

MOST_DRAWN: Final = 6  # ways, when nobody names any
COLUMNS: Final = (
    Column("source", "From", 2.0),
    Column("goal", "To", 2.0),
    Column("room", "Least headroom", 1.1, "right", "dB"),
    Column("at", "There", 2.4),
    Column("noise", "Least over noise", 1.1, "right", "dB(A)"),
    Column("noise_at", "There, too", 2.4),
)


@dataclass(frozen=True, slots=True)
class _Way:
    """The strongest way of a source, with the points where it is tightest."""

    points: tuple[str, ...]
    tight: PointLevels | None
    noisy: PointLevels | None

    @property
    def room_db(self) -> float:
        """Least headroom; without any limit there is plenty."""
        return inf if self.tight is None or self.tight.headroom is None else self.tight.headroom


def _ways(work: Paperwork) -> list[_Way]:
    """Ways asked for, or all; tightest first."""
    solution = work.check.trial.solution
    ways = strongest_ways(solution, ways_through(solution, work.paths))
    found = [_way(solution, each) for each in ways]
    return sorted(found, key=lambda each: each.room_db)


def _way(solution: Solution, way: tuple[str, ...]) -> _Way:
    levels = [solution.levels(address) for address in way]
    tight = [each for each in levels if each.headroom is not None]
    noisy = [each for each in reversed(levels) if each.signal_over_noise is not None]
    return _Way(
        way,
        min(tight, key=lambda each: each.headroom or 0.0, default=None),
        min(noisy, key=lambda each: round(each.signal_over_noise or 0.0, 1), default=None),
    )


def _rows(work: Paperwork) -> Iterator[dict[str, str]]:
    solution = work.check.trial.solution
    for way in _ways(work):
        row = {"source": _ended(solution, way.points[0]), "goal": _ended(solution, way.points[-1])}
        if way.tight is not None and way.tight.headroom is not None:
            row |= {"room": figure_text(way.tight.headroom), "at": _placed(solution, way.tight.at)}
        if way.noisy is not None and way.noisy.signal_over_noise is not None:
            row |= {"noise": figure_text(way.noisy.signal_over_noise)}
            row |= {"noise_at": _placed(solution, way.noisy.at)}
        yield row


def _ended(solution: Solution, address: str) -> str:
    return called(solution, item_of(address))


def _placed(solution: Solution, address: str) -> str:
    return f"{_ended(solution, address)}, {point_label(address.partition('.')[2])}"


def _pictures(work: Paperwork) -> tuple[Pictured, ...]:
    solution = work.check.trial.solution
    drawn = _ways(work) if work.paths else _ways(work)[:MOST_DRAWN]
    return tuple(
        Pictured(
            "levels",
            f"Levels from {_ended(solution, way.points[0])} to {_ended(solution, way.points[-1])}",
            solution,
            way=way.points,
        )
        for way in drawn
    )


def _note(work: Paperwork) -> str:
    ways = _ways(work)
    left = len(ways) - MOST_DRAWN
    if work.paths or left <= 0:
        drawn = "Each way is drawn"
    else:
        drawn = f"The {MOST_DRAWN} tightest ways are drawn, {left} more are not"
    return (
        f"The strongest way of each source, least headroom first. {drawn}: left is quiet, right "
        "is loud; hatched is noise, the disc the loud passage, the arrow its peak, the wall the "
        "ceiling."
    )


LEVELS: Final = SheetPlan(
    name="levels",
    title="Level diagrams",
    about="each way with its least headroom and noise, and the tightest ways drawn from end to end",
    columns=COLUMNS,
    rows=_rows,
    note=_note,
    is_wide=False,
    is_on_request=True,
    nothing="No way carries a signal.",
    pictures=_pictures,
)
