"""Figures of passive loudspeakers agree with one another, whoever typed them."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

import pytest

from levelhead.gear.book import load_book
from levelhead.gear.plan import ItemPlan, PortPlan

BOOK: Final = load_book()
DEEPEST_TOP_HZ: Final = 42.0  # typical: tops of 15 inch are tuned above, subwoofers below


def loads(type_id: str) -> Iterator[tuple[ItemPlan, PortPlan]]:
    """Loudspeakers of a type that have a rating of their own."""
    plan = BOOK.plan(type_id, {}, {})
    for block in plan.blocks:
        for port in block.plan.ports.values():
            if port.circuit == "loudspeaker-load" and "long-term-rating" in port.figures:
                yield plan, port


RATED: Final = [
    type_id
    for type_id in BOOK.of_kind("loudspeaker")
    if BOOK.entry(type_id).ends is None and any(loads(type_id))
]


@pytest.mark.parametrize("type_id", RATED)
def test_a_loudspeaker_ends_where_its_rated_volts_bring_it(type_id: str) -> None:
    """IEC 60268-5: level at the rated volts is the sensitivity and the volts over its own."""
    plan, port = next(loads(type_id))
    (driver,) = (
        stage
        for block in plan.blocks
        for path in block.plan.paths
        for stage in path.stages
        if stage.ratio is not None and path.to_air
    )
    rated_v = port.figures["long-term-rating"].value
    assert driver.ceiling is not None
    assert driver.ratio is not None
    most_pa = driver.ratio.value * rated_v
    assert 20 * math.log10(driver.ceiling.value / most_pa) == pytest.approx(0.0, abs=1.5)


@pytest.mark.parametrize("type_id", RATED)
def test_a_vented_box_says_where_its_cone_ends(type_id: str) -> None:
    """Below its tuning nothing holds a cone (Small, JAES 1973): both figures or neither."""
    for _, port in loads(type_id):
        assert ("tuned-to" in port.figures) is ("excursion-limit" in port.figures)


@pytest.mark.parametrize("type_id", RATED)
def test_subwoofers_are_tuned_below_tops(type_id: str) -> None:
    for _, port in loads(type_id):
        tuned = port.figures.get("tuned-to")
        if tuned is not None:
            assert (tuned.value < DEEPEST_TOP_HZ) is ("usable-to" in port.figures)
