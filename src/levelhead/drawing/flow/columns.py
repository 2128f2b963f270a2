"""Which column a box stands in: behind all that feeds it, beside what it feeds.

A lead that closes a circle (a reverb back into its desk) is a *return*: it does not count for the
columns and is led around. Few returns are found greedily, after Eades, Lin and Smyth, A fast and
effective heuristic for the feedback arc set problem (1993).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Sequence

from levelhead.drawing.flow.model import Chart, Lead

__all__ = ["columns_of", "returns_of"]


def returns_of(chart: Chart) -> frozenset[str]:
    """Ids of leads that run back, with the fewest that a greedy order finds."""
    place = {box: number for number, box in enumerate(_greedy_order(chart))}
    return frozenset(lead.id for lead in chart.leads if place[lead.from_box] >= place[lead.to_box])


def _greedy_order(chart: Chart) -> list[str]:
    """Boxes so that few leads run back: sinks last, sources first, then what gives most."""
    ways = _Ways(chart.leads, chart.boxes)
    left = dict.fromkeys(chart.boxes)
    first: list[str] = []
    last: list[str] = []
    while left:
        sink = next((box for box in left if not ways.out[box]), None)
        source = next((box for box in left if not ways.into[box]), None)
        if sink is not None and source is None:
            last.append(sink)
            box = sink
        else:
            box = source or max(left, key=lambda each: ways.out[each] - ways.into[each])
            first.append(box)
        del left[box]
        ways.leave(box)
    return first + last[::-1]


class _Ways:
    """How many cables run from each box to each other that is left; its own do not count."""

    def __init__(self, leads: Sequence[Lead], boxes: Collection[str]) -> None:
        self.gives: dict[str, Counter[str]] = {box: Counter() for box in boxes}
        self.takes: dict[str, Counter[str]] = {box: Counter() for box in boxes}
        for lead in leads:
            if lead.from_box != lead.to_box:
                self.gives[lead.from_box][lead.to_box] += lead.count
                self.takes[lead.to_box][lead.from_box] += lead.count
        self.out = {box: sum(counts.values()) for box, counts in self.gives.items()}
        self.into = {box: sum(counts.values()) for box, counts in self.takes.items()}

    def leave(self, box: str) -> None:
        """Take a box away, with its cables."""
        for other, count in self.gives[box].items():
            self.into[other] -= count
        for other, count in self.takes[box].items():
            self.out[other] -= count


def columns_of(chart: Chart, returns: Collection[str]) -> dict[str, int]:
    """Column of each box, from 0: the longest way to it; what nothing feeds stands beside its goal.

    Examples
    --------
    >>> from levelhead.drawing.flow.model import Box, Lead
    >>> boxes = {name: Box(name, name) for name in ("mic", "di", "desk")}
    >>> leads = (Lead("1", ("di", 0), ("desk", 0)), Lead("2", ("mic", 0), ("desk", 1)))
    >>> columns_of(Chart(boxes, leads), ())
    {'mic': 0, 'di': 0, 'desk': 1}
    """
    forward = [(lead.from_box, lead.to_box) for lead in chart.leads if lead.id not in returns]
    forward = list(dict.fromkeys(forward))
    column = dict.fromkeys(chart.boxes, 0)
    for _ in chart.boxes:  # the longest way has no more steps than there are boxes
        moved = False
        for one, other in forward:
            if column[other] <= column[one]:
                column[other] = column[one] + 1
                moved = True
        if not moved:
            break
    _pull_right(column, forward)
    return column


def _pull_right(column: dict[str, int], forward: Sequence[tuple[str, str]]) -> None:
    """Boxes that nothing feeds move next to the first box that they feed."""
    fed = {other for _, other in forward}
    goals: dict[str, int] = {}
    for one, other in forward:
        if one not in fed:
            goals[one] = min(goals.get(one, column[other]), column[other])
    for box, goal in goals.items():
        column[box] = goal - 1
