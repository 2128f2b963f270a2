"""Names that are almost right."""

from __future__ import annotations

from levelhead.gear.names import did_you_mean


def test_the_nearest_names_are_offered() -> None:
    assert did_you_mean("di-pasive", ["di-passive", "di-active"]) == (
        "Did you mean 'di-passive' or 'di-active'?"
    )


def test_strangers_are_not() -> None:
    assert did_you_mean("theremin", ["di-passive", "di-active"]) == ""
