"""Sensitivities are the slopes: held against networks solved again and again."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from numpy.typing import NDArray

from levelhead.circuit.network import GROUND, Kind, Network, NetworkBuilder
from levelhead.circuit.solving.solve import solve_networks
from tests.circuit.one_by_one import LEAKS, from_seed, one_port, seeds, solved
from tests.oracle.random_networks import (
    TAME,
)

STEP = 2e-5  # of a logarithm; the sharpest resonances are 1e-4 wide
SLOPES_HZ = np.array([1e3, 4.7e3, 20e3])  # below, rounding would show when it is divided by a step
STENCIL = {-2: 1 / 12, -1: -8 / 12, 1: 8 / 12, 2: -1 / 12}  # central difference of fourth order


def difference(network: Network, name: str, place: tuple[int, ...]) -> NDArray[np.complex128]:
    """Change of all transfers with the logarithm of one figure, by solving again and again."""
    nearby = []
    for steps in STENCIL:
        values = getattr(network, name).copy()
        values[place] *= math.exp(steps * STEP)
        nearby.append(replace(network, **{name: values}))
    results = solve_networks(nearby, SLOPES_HZ)
    terms = [
        weight * result.transfer for weight, result in zip(STENCIL.values(), results, strict=True)
    ]
    slope: NDArray[np.complex128] = np.sum(terms, axis=0) / STEP
    return slope


@given(seed=seeds)
def test_sensitivities_are_the_slopes(seed: int) -> None:
    """Every element, source resistance and transformer figure against central differences."""
    network = from_seed(seed, TAME)
    result = solved(network, SLOPES_HZ)
    for name, change in (
        ("element_value", result.element_change),
        ("source_ohm", result.source_ohm_change),
        ("transformer_value", result.transformer_change),
    ):
        for place in np.ndindex(getattr(network, name).shape):
            slope = difference(network, name, place)
            for sense, source in np.ndindex(slope.shape[:2]):
                np.testing.assert_allclose(
                    change(sense, source)[place], slope[sense, source], rtol=1e-4, atol=3e-6
                )


@given(seed=seeds)
def test_sensitivities_cancel_when_all_impedances_grow(seed: int) -> None:
    """Voltages know only ratios, so the slopes along all impedances add up to nothing."""
    network = from_seed(seed, TAME)
    result = solved(network, [1e3, 20e3])
    sign = np.where(network.element_kind == Kind.CAPACITOR, -1, 1)
    for sense, source in np.ndindex(result.transfer.shape[:2]):
        slopes = (
            sign @ result.element_change(sense, source),
            result.source_ohm_change(sense, source).sum(axis=0),
            result.transformer_change(sense, source)[:, 1:].sum(axis=(0, 1)),
        )
        assert np.abs(sum(slopes)).max() <= LEAKS


def test_relative_sensitivity_of_a_divider() -> None:
    """3 kohm across 1 kohm: 1 % more ohm is a quarter of 1 % more voltage."""
    result = solved(one_port("resistor", 3000).build(), [1000.0])
    assert result.element_sensitivity(0, 0)[0, 0] == pytest.approx(0.25, rel=1e-6)
    assert result.source_ohm_change(0, 0)[0, 0] == pytest.approx(-0.25 * 0.75, rel=1e-6)


def test_balanced_bridge_has_a_slope_but_no_relative_one() -> None:
    """A perfect balance passes nothing; the change is finite all the same."""
    builder = NetworkBuilder()
    common, hot, cold = builder.node(), builder.node(), builder.node()
    builder.source(common, GROUND, 1)
    for leg in (hot, cold):
        builder.resistor(common, leg, 1000)
        builder.resistor(leg, GROUND, 1000)
    builder.sense({hot: 1, cold: -1})
    result = solved(builder.build(), [1000.0])
    assert result.transfer[0, 0, 0] == pytest.approx(0, abs=1e-12)
    # the 1 ohm of the source is seen by each leg: 1000 / 2000 / 1002 * 1000, not quite a quarter
    assert result.element_change(0, 0)[:, 0] == pytest.approx([-0.25, 0.25, 0.25, -0.25], rel=0.002)
