"""Figures of one unit: they replace those of its type, where that has them."""

from __future__ import annotations

from contextlib import suppress

import pytest

from levelhead.errors import GearError
from levelhead.gear.compile.addresses import figure_addresses
from tests.gear.small_book import BOOK, TYPES, path_of, plan, stage_of, value


def test_a_unit_may_have_figures_of_its_own() -> None:
    item = plan("mixer", ch__mic__impedance="1.5 kohm", ch2__mic__impedance="3 kohm")
    found = [
        item.block(f"ch{number}").plan.ports["mic"].figure("impedance") for number in (1, 2, 3)
    ]
    assert found == [1500, 3000, 1500]


def test_they_win_over_a_switch() -> None:
    item = plan("mixer", {"ch1.pad": "on"}, ch__preamp__gain="-18 dB")
    assert value(stage_of(item, "preamp", "ch1").gain_db) == -18


@pytest.mark.parametrize(
    ("type_id", "figure", "raw"),
    [
        ("mixer", "ch.preamp.meter.zero", "0 dBu"),
        ("mixer", "ch1.line.gain", "-15 dB"),
        ("mixer", "talkback.cmrr", "70 dB"),
        ("player", "generator.level", "-12 dBFS"),
        ("player", "converter.full-scale", "1 V"),
        ("player", "converter-left.noise", "-80 dBV"),
        ("mic", "capsule.sensitivity", "1.5 mV/Pa"),
        ("mic", "powered-by.current", "7 mA"),
        ("speaker", "driver.sensitivity.level", "97 dB SPL"),
        ("voice", "air.level", "90 dB SPL"),
        ("transformer", "core.ratio", "10"),
        ("transformer", "resistor.value", "2 Mohm"),
    ],
)
def test_every_kind_of_figure_can_be_overridden(type_id: str, figure: str, raw: str) -> None:
    assert BOOK.plan(type_id, {}, {figure: raw}) != BOOK.plan(type_id, {}, {})


def test_one_side_may_differ() -> None:
    item = BOOK.plan("keys", {}, {"output-left.noise": "-60 dBu"})
    left, right = (path_of(item, side=side).stages[0] for side in ("left", "right"))
    assert value(left.noise) / value(right.noise) == pytest.approx(10**1.5)


@pytest.mark.parametrize(
    ("type_id", "figure", "said"),
    [
        (
            "mixer",
            "ch.preamp.gian",
            r"no figure 'ch\.preamp\.gian'.*Did you mean 'ch\.preamp\.gain'",
        ),
        ("mixer", "ch4.preamp.gain", r"no figure 'ch4\.preamp\.gain'"),
        ("mixer", "main.out.impedence", r"Did you mean 'main\.out\.impedance'"),
        ("mic", "capsule.sensitivity.level", r"Did you mean 'capsule\.sensitivity'"),
        ("speaker", "driver.sensitivity", r"no figure 'driver\.sensitivity'"),
        ("keys", "power", r"no figure 'power'"),
        ("voice", "powered-by.current", r"no figure"),
    ],
)
def test_a_figure_that_the_type_does_not_have_is_refused(
    type_id: str, figure: str, said: str
) -> None:
    with pytest.raises(GearError, match=said):
        BOOK.plan(type_id, {}, {figure: "1 dB"})


def test_all_such_figures_are_told_at_once() -> None:
    with pytest.raises(GearError, match="ch1") as caught:
        BOOK.plan("mixer", {}, {"ch1.x": "1 dB", "y": "1 dB"})
    assert len(caught.value.errors) == 2


def test_a_figure_in_the_wrong_unit_names_its_place() -> None:
    with pytest.raises(GearError, match=r"mixer, ch, mic\.impedance: '3 V' cannot be read"):
        BOOK.plan("mixer", {}, {"ch.mic.impedance": "3 V"})
    with pytest.raises(GearError, match=r"generator\.level.*dBFS"):
        BOOK.plan("player", {}, {"generator.level": "3 kohm"})


SAMPLES = (
    "1 V", "1 ohm", "1 dB", "1 nF", "1 H", "1 mA", "2 m", "88 dB SPL", "-3 dBFS", "1 mV/Pa",
    "1 nA/rtHz", "1 Hz", "1 ms", "1", "1 W", "1 m2",
)  # fmt: skip
CUT = {f"ch{number}.filter": "cut" for number in (1, 2, 3)}
EVERYTHING_THERE = {"mixer": {"mode": "mono", **CUT}}


@pytest.mark.parametrize("type_id", TYPES)
def test_each_figure_that_is_offered_is_taken(type_id: str) -> None:
    """An address in the list is one that the compiler asks for; only texts of its unit fit."""
    chosen = EVERYTHING_THERE.get(type_id, {})
    for address in figure_addresses(BOOK.entry(type_id)):
        plans = []
        for sample in SAMPLES:
            with suppress(GearError):
                plans.append(BOOK.plan(type_id, chosen, {address: sample}))
        assert any(each != BOOK.plan(type_id, chosen, {}) for each in plans), address
