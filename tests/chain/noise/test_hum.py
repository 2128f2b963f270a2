"""Hum along the chain: gains, loudspeakers, and inputs that share a source."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from levelhead.chain.noise.hum import ChainHum, line_levels, solve_hum
from levelhead.chain.solve import solve
from levelhead.circuit.ground.mains import MAINS_230, Mains
from levelhead.rig.build import build_rig
from levelhead.show.edits import Edit, Power, Set, apply
from tests.circuit.ground_rigs import BOOK, show_of

PASCAL_PER_VOLT = 20e-6 * 10 ** (100 / 20) / math.sqrt(0.6)  # 100 dB SPL for 0 dBu


def hum_of(text: str, mains: Mains = MAINS_230) -> ChainHum:
    """A show, solved with its hum."""
    return solve_hum(solve(build_rig(show_of(text), BOOK)), mains)


ONE = """
items:
  one: {type: player-earthed, supply: stage}
  two: {type: amp-unbalanced, supply: hall}
links: [{from: one.out, to: two.in, via: [lead-1-ohm 1 m]}]
"""


def desk(fader: str = "0 dB", send: str = "one.out-left", port: str = "ch1.line") -> str:
    """A two-pin keyboard into a desk, the desk into a powered loudspeaker."""
    return f"""
items:
  one: {{type: keyboard-stereo}}
  desk: {{type: mixer-compact, supply: hall}}
  pow: {{type: loudspeaker-powered-12, supply: hall}}
links:
  - {{from: {send}, to: desk.{port}, via: [cable-jack 5 m]}}
  - {{from: desk.main-left.out, to: pow.in, via: [cable-xlr 10 m]}}
settings: {{desk: {{ch1: {{fader: {fader}, pan: left}}}}}}
"""


def test_hum_at_an_input_comes_out_of_its_loudspeaker() -> None:
    """By the sensitivity alone: nothing else stands between."""
    hum = hum_of(ONE)
    volts = hum.inputs["two.in"].power.rms().value
    sound = hum.brought_to("two.left.driver", "two.in").rms()
    assert sound.unit == "Pa"
    assert sound.value == pytest.approx(volts * PASCAL_PER_VOLT, rel=1e-6)
    assert hum.loudest("two.in") == "two.left.driver"
    assert hum.at_loudspeaker("two.right.driver") is None


@given(more_db=st.integers(min_value=-40, max_value=10))
def test_a_fader_moves_hum_as_it_moves_the_signal(more_db: int) -> None:
    """What the keyboard's leakage brings in front of it."""
    before, after = (
        hum_of(desk(f"{db} dB")).brought_to("pow.driver", "desk.ch1.line").rms().value
        for db in (0, more_db)
    )
    assert 20 * math.log10(after / before) == pytest.approx(more_db, abs=1e-9)


def test_a_fader_that_is_off_lets_no_loudspeaker_give_it() -> None:
    """The input hums all the same."""
    hum = hum_of(desk("off"))
    assert hum.loudest("desk.ch1.line") is None
    assert hum.inputs["desk.ch1.line"].power.rms().value > 0


def test_the_range_goes_with_it() -> None:
    """A gain moves all three ends alike."""
    hum = hum_of(ONE)
    volts, sound = (
        hum.inputs["two.in"].power.rms(),
        hum.brought_to("two.left.driver", "two.in").rms(),
    )
    assert sound.high / sound.value == pytest.approx(volts.high / volts.value, rel=1e-6)
    assert sound.low / sound.value == pytest.approx(volts.low / volts.value, rel=1e-6)


def test_lines_are_told_in_the_unit_of_their_point() -> None:
    """In dBu at the input, in dB SPL 100 dB above at the loudspeaker; they add up to the whole."""
    hum = hum_of(ONE)
    power = hum.inputs["two.in"].power
    volts = line_levels(power)
    sound = line_levels(hum.brought_to("two.left.driver", "two.in"))
    assert [line.hz for line in volts][:2] == [50, 100]
    for here, there in zip(volts, sound, strict=True):
        if here.typical is not None and there.typical is not None:
            assert there.typical - here.typical == pytest.approx(100, abs=1e-6)
            assert here.low is not None
            assert here.high is not None
            assert here.low <= here.typical <= here.high
    total_v2 = sum(0.6 * 10 ** (line.typical / 10) for line in volts if line.typical is not None)
    assert math.sqrt(total_v2) == pytest.approx(power.rms().value, rel=1e-9)


def test_one_source_at_two_inputs_adds_as_voltage() -> None:
    """Left and right of a two-pin player, both to one side: 6 dB more than one of them."""
    text = """
items:
  one: {type: keyboard-stereo}
  desk: {type: mixer-compact, supply: hall}
  pow: {type: loudspeaker-powered-12, supply: hall}
links:
  - {from: one.out-left, to: desk.ch1.line, via: [cable-jack 5 m]}
  - {from: one.out-right, to: desk.ch2.line, via: [cable-jack 5 m]}
  - {from: desk.main-left.out, to: pow.in, via: [cable-xlr 10 m]}
settings: {desk: {ch1: {pan: left}, ch2: {pan: left}, main: 10 dB}}
"""
    hum = hum_of(text)
    total = hum.at_loudspeaker("pow.driver")
    assert total is not None
    alone = hum.brought_to("pow.driver", "desk.ch1.line")
    more_db = 10 * math.log10(total.direct.sum() / alone.direct.sum())
    assert more_db == pytest.approx(20 * math.log10(2), abs=0.2)


def test_the_programme_is_weighted_like_the_hum() -> None:
    """A pink signal loses by A weighting what its bands lose."""
    hum = hum_of(ONE)
    address = "two.left.driver"
    nominal = float(hum.solution.nominal[hum.solution.number(address)])
    assert -4 < 20 * math.log10(hum.programme_a(address) / nominal) < -1


def test_sixty_hertz_and_half_the_volts_leak_less() -> None:
    """The same capacitance at 120 V and 60 Hz: leakage is stated as a current, so it is alike."""
    there = Mains(volts=120.0, hz=60.0)
    here, abroad = (hum_of(desk(), mains).inputs["desk.ch1.line"] for mains in (MAINS_230, there))
    ratio = abroad.power.direct.sum() / here.power.direct.sum()
    assert 10 * math.log10(ratio) == pytest.approx(0, abs=1)
    assert abroad.power.of.mains.lines_hz[0] == 60


def test_a_dead_item_passes_nothing() -> None:
    """A DI box without phantom power: its input is no way for hum either."""
    text = """
items:
  one: {type: keyboard-stereo}
  di: {type: di-active}
  desk: {type: mixer-compact, supply: hall}
  pow: {type: loudspeaker-powered-12, supply: hall}
links:
  - {from: one.out-left, to: di.in, via: [cable-jack 5 m]}
  - {from: di.out, to: desk.ch1.mic, via: [cable-xlr 10 m]}
  - {from: desk.main-left.out, to: pow.in, via: [cable-xlr 10 m]}
settings: {desk: {phantom: PHANTOM}}
"""
    off, on = (hum_of(text.replace("PHANTOM", state)) for state in ("off", "on"))
    assert off.loudest("di.in") is None
    assert on.loudest("di.in") == "pow.driver"


def test_the_order_of_items_changes_nothing() -> None:
    """At the loudspeaker, in every line."""
    turned = """
items:
  pow: {type: loudspeaker-powered-12, supply: hall}
  desk: {type: mixer-compact, supply: hall}
  one: {type: keyboard-stereo}
links:
  - {from: desk.main-left.out, to: pow.in, via: [cable-xlr 10 m]}
  - {from: one.out-left, to: desk.ch1.line, via: [cable-jack 5 m]}
settings: {desk: {ch1: {fader: 0 dB, pan: left}}}
"""
    sums = [hum_of(text).at_loudspeaker("pow.driver") for text in (desk(), turned)]
    lines = [None if each is None else each.by_source.sum(axis=0) for each in sums]
    assert lines[0] is not None
    np.testing.assert_allclose(lines[0], lines[1], rtol=1e-6)


def test_a_fader_needs_no_new_ground_network() -> None:
    """A moved fader takes that of before; another strip does not, nor another mains."""
    show = show_of(desk())
    first = solve(build_rig(show, BOOK))
    before = solve_hum(first)

    def after(edit: Edit, mains: Mains = MAINS_230) -> ChainHum:
        changed, _ = apply(show, [edit])
        return solve_hum(solve(build_rig(changed, BOOK), first), mains, before)

    moved = after(Set("desk.ch1.fader", "-6 dB"))
    assert moved.ground is before.ground
    sounds = [hum.brought_to("pow.driver", "desk.ch1.line").rms().value for hum in (before, moved)]
    assert 20 * math.log10(sounds[1] / sounds[0]) == pytest.approx(-6, abs=1e-9)
    assert after(Power("pow", "stage")).ground is not before.ground
    abroad = Mains(volts=120.0, hz=60.0)
    assert after(Set("desk.ch1.fader", "-6 dB"), abroad).ground is not before.ground
