"""Which column a box stands in: behind all that feeds it, beside what it feeds.

A lead that closes a circle (a reverb back into its desk) is a *return*: it does not count for the
columns and is led around. Few returns are found greedily, after Eades, Lin and Smyth, A fast and
effective heuristic for the feedback arc set problem (1993).
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from levelhead.drawing.flow.model import Chart, Lead

__all__ = ["columns_of", "returns_of"]


def returns_of(chart: Chart) -> frozenset[str]:
    """Ids of leads that run back, with the fewest that a greedy order finds."""
    place = {box: number for number, box in enumerate(_greedy_order(chart))}
    return frozenset(lead.id for lead in chart.leads if place[lead.from_box] >= place[lead.to_box])


def _greedy_order(chart: Chart) -> list[str]:
    """Boxes so that few leads run back: sinks last, sources first, then what gives most."""
    left = dict.fromkeys(chart.boxes)
    gives, takes = _weights(chart.leads)
    first: list[str] = []
    last: list[str] = []
    while left:
        sink = next((box for box in left if not _sum(gives[box], left)), None)
        source = next((box for box in left if not _sum(takes[box], left)), None)
        if sink is not None and source is None:
            last.append(sink)
        else:
            first.append(source or max(left, key=lambda box: _surplus(box, gives, takes, left)))
        del left[(last if sink is not None and source is None else first)[-1]]
    return first + last[::-1]


def _weights(leads: Sequence[Lead]) -> tuple[dict[str, dict[str, int]], dict[str, dict[str, int]]]:
    """How many cables each box gives to each other, and takes from it; its own do not count."""
    gives: dict[str, dict[str, int]] = _Counts()
    takes: dict[str, dict[str, int]] = _Counts()
    for lead in leads:
        if lead.from_box != lead.to_box:
            one, other = lead.from_box, lead.to_box
            gives[one][other] = gives[one].get(other, 0) + lead.count
            takes[other][one] = takes[other].get(one, 0) + lead.count
    return gives, takes


class _Counts(dict[str, dict[str, int]]):
    def __missing__(self, box: str) -> dict[str, int]:
        self[box] = {}
        return self[box]


def _sum(counts: Mapping[str, int], left: Collection[str]) -> int:
    return sum(count for box, count in counts.items() if box in left)


def _surplus(
    box: str,
    gives: Mapping[str, Mapping[str, int]],
    takes: Mapping[str, Mapping[str, int]],
    left: Collection[str],
) -> int:
    return _sum(gives[box], left) - _sum(takes[box], left)


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
    forward = [lead for lead in chart.leads if lead.id not in returns]
    column = dict.fromkeys(chart.boxes, 0)
    for _ in chart.boxes:  # the longest way has no more steps than there are boxes
        moved = False
        for lead in forward:
            if column[lead.to_box] <= column[lead.from_box]:
                column[lead.to_box] = column[lead.from_box] + 1
                moved = True
        if not moved:
            break
    _pull_right(column, forward)
    return column


def _pull_right(column: dict[str, int], forward: Sequence[Lead]) -> None:
    """Boxes that nothing feeds move next to the first box that they feed."""
    fed = {lead.to_box for lead in forward}
    for box in column:
        goals = [column[lead.to_box] for lead in forward if lead.from_box == box]
        if goals and box not in fed:
            column[box] = min(goals) - 1
