"""Figures of the mains: ranges, lines, and the capacitance behind a leakage."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from levelhead.circuit.ground.mains import MAINS_120, MAINS_230, Cause, Mains
from levelhead.gear.figures import SOURCES, Figure

BOTH = pytest.mark.parametrize("mains", [MAINS_230, MAINS_120], ids=["230 V", "120 V"])


def figures() -> list[Figure]:
    """Every figure of the mains."""
    values = (getattr(MAINS_230, name) for name in Mains.__dataclass_fields__)
    return [value for value in values if isinstance(value, Figure)]


def test_potentials_are_the_ranges_of_the_trade() -> None:
    """Same strip 1 to 10 mV, one circuit 10 to 100 mV, different circuits 0.1 to 2 V."""
    found = [(each.low, each.high) for each in
             (MAINS_230.strip, MAINS_230.outlets, MAINS_230.circuits)]  # fmt: skip
    assert found == [(1e-3, 10e-3), (10e-3, 0.1), (0.1, 2.0)]


def test_every_figure_lies_in_its_range_and_has_a_source() -> None:
    """Nothing is stated without a doubt and where it comes from."""
    assert len(figures()) == 12
    for figure in figures():
        assert figure.low < figure.value < figure.high
        assert figure.source in SOURCES


@BOTH
def test_lines_are_harmonics_of_the_mains(mains: Mains) -> None:
    """Twenty of them, then the octaves of charger noise."""
    assert mains.lines_hz[:3].tolist() == [mains.hz, 2 * mains.hz, 3 * mains.hz]
    assert mains.lines_hz[20:].tolist() == [1000, 2000, 4000, 8000, 16000]


@BOTH
def test_spectra_fit_the_lines(mains: Mains) -> None:
    """Potentials and charger noise have the power that is stated, on lines of their own."""
    for spectrum in (mains.earth_spectrum, mains.charger_spectrum):
        assert float(np.linalg.norm(spectrum)) == pytest.approx(1)
    assert not mains.earth_spectrum[20:].any()
    assert not mains.charger_spectrum[:20].any()
    assert mains.class_1_spectrum[0] == mains.class_2_spectrum[0] == 1


def test_amplitudes_fall() -> None:
    """Odd harmonics of an earth potential, each weaker than the one before; even ones beneath."""
    odd, even = MAINS_230.earth_spectrum[:20:2], MAINS_230.earth_spectrum[1:20:2]
    assert (np.diff(odd) < 0).all()
    assert (np.diff(even) < 0).all()
    assert (even < odd).all()


@given(microampere=st.floats(min_value=1, max_value=5000))
def test_a_leakage_flows_through_its_capacitance(microampere: float) -> None:
    """All lines together, into a short circuit."""
    spectrum, open_v = MAINS_230.class_2_spectrum, 115.0
    farad = MAINS_230.leakage_farad(microampere * 1e-6, spectrum, open_v)
    lines_a = 2 * np.pi * MAINS_230.lines_hz * farad * open_v * spectrum
    assert float(np.linalg.norm(lines_a)) == pytest.approx(microampere * 1e-6)


def test_a_usual_leakage_means_a_usual_capacitor() -> None:
    """Two-pin supplies carry 1 to 4.7 nF between their sides (typical)."""
    farad = MAINS_230.leakage_farad(MAINS_230.class_2.value, MAINS_230.class_2_spectrum, 115.0)
    assert 1e-9 < farad < 4.7e-9


def test_what_is_known_of_an_item_stands_beside_the_rest() -> None:
    """Measured, so without a range; a second reading adds to the first."""
    known = MAINS_230.knowing({"keys": 120e-6}).knowing({"laptop": 60e-6})
    assert set(known.leakages) == {"keys", "laptop"}
    assert known.leakages["keys"].low == known.leakages["keys"].high == 120e-6
    assert known.leakages["keys"].source == "measured"
    assert not MAINS_230.leakages


def test_causes_have_words() -> None:
    """They stand in sentences."""
    assert all(cause.value == cause.value.lower() for cause in Cause)
