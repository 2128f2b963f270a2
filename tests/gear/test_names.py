"""Names that are almost right."""

from __future__ import annotations

import pytest

from levelhead.gear.book import load_book
from levelhead.gear.names import address_meant, did_you_mean


def test_the_nearest_names_are_offered() -> None:
    assert did_you_mean("di-pasive", ["di-passive", "di-active"]) == (
        "Did you mean 'di-passive' or 'di-active'?"
    )


def test_strangers_are_not() -> None:
    assert did_you_mean("theremin", ["di-passive", "di-active"]) == ""


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("ch1.aux1", "ch1.send1"),
        ("ch3.mon2", "ch3.send2"),
        ("ch1.volume", "ch1.fader"),
        ("ch1.trim", "ch1.gain"),
        ("ch1.hpf", "ch1.low-cut"),
        ("ch1.48v", "phantom"),
        ("ch1.phantom", "phantom"),
        ("ch1.solo", "ch1.pfl"),
        ("master", "main"),
        ("ch1.gian", "ch1.gain"),
    ],
)
def test_the_other_words_of_the_trade_are_understood(typed: str, meant: str) -> None:
    """What panels call the same controls, common practice."""
    plan = load_book().plan("mixer-analogue-16", {}, {})
    controls = [
        f"desk.{block.address(name)}" for block in plan.blocks for name in block.plan.controls
    ]
    assert address_meant(f"desk.{typed}", controls).startswith(f"Did you mean 'desk.{meant}'")
