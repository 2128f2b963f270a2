"""Two sides that are upside down because they were so before: told where it begins, once."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from levelhead.show.addresses import item_of
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Finding, Severity
from levelhead.verdicts.wiring.cancelling import CANCELS, OPPOSITE

__all__ = ["turned_before"]


def turned_before(reading: Reading, findings: Sequence[Finding]) -> frozenset[tuple[str, str]]:
    """Keys of sides and loudspeakers in opposite polarity that come by two places told of before.

    Everything on one side comes by one of these places, everything on the other by another.
    """
    bad = [each for each in findings if each.severity is Severity.FAILS]
    opposite = [each for each in bad if each.code == OPPOSITE]
    causes = [(each, _entries(reading, each)) for each in bad if each.code in (CANCELS, OPPOSITE)]
    return frozenset(
        found.key
        for found in opposite
        for cause, entries in causes
        if cause is not found and len(entries) > 1
        if _comes_by_two(reading, _ends(reading, found), entries)
    )


def _entries(reading: Reading, cause: Finding) -> frozenset[str]:
    """Sides of an input, or plugged inputs, by which copies come that are upside down."""
    port = reading.rig.port_at(cause.where)
    if cause.code == OPPOSITE:
        signals = () if port is None else port.plan.signals
        return frozenset(f"{port.address}.{each}" for each in signals if port is not None)
    return frozenset(_inputs(reading, cause))


def _inputs(reading: Reading, found: Finding) -> Iterator[str]:
    return (each for each in found.ports if reading.rig.ports[each].plan.role == "in")


def _ends(reading: Reading, found: Finding) -> list[frozenset[str]]:
    """Points of the one side and of the other: of an input, or of two loudspeakers."""
    sides = _entries(reading, found)
    if sides:
        return [frozenset({each}) for each in sorted(sides)]
    items = dict.fromkeys(item_of(each) for each in _inputs(reading, found))
    in_air = reading.solution.in_air
    own = (frozenset(each for each in in_air if item_of(each) == item) for item in items)
    return [each for each in own if each]


def _comes_by_two(
    reading: Reading, ends: Sequence[frozenset[str]], entries: frozenset[str]
) -> bool:
    passed = [frozenset(_passed(reading, each, entries)) for each in ends]
    one, *others = passed or [frozenset[str]()]
    return bool(one) and bool(others) and all(each and not each & one for each in others)


def _passed(reading: Reading, ends: frozenset[str], entries: frozenset[str]) -> Iterator[str]:
    """Entries that every way to some points comes by."""
    before = [
        set(way[: way.index(end)])
        for way in reading.solution.paths
        for end in ends.intersection(way)
    ]
    return iter(set.intersection(*before) & entries if before else ())
