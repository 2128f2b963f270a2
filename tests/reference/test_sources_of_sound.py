"""Published levels of voices, instruments and microphones, against the gear book."""

from __future__ import annotations

import math

import pytest

from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.gear.book import load_book
from levelhead.gear.plan import AirPlan
from levelhead.quantity.bands import mid_hz
from levelhead.quantity.decibels import P_REFERENCE_PA, power_sum_db
from levelhead.quantity.spectra import band_levels_db
from levelhead.quantity.weighting import a_weighting_db
from levelhead.rig.build import build_rig
from levelhead.show.model import Cable, Item, Link, Show, Source


def air_of(type_id: str) -> AirPlan:
    """How a voice or instrument sounds."""
    air = load_book().plan(type_id, {}, {}).air
    assert air is not None
    return air


def level_at_1_m_db(air: AirPlan) -> float:
    """Level of the loud passage at 1 m, as from a point. [dB SPL]"""
    return 20 * math.log10(air.level_pa.value / P_REFERENCE_PA * air.at_m)


@pytest.mark.reference("ANSI S3.5-1997, overall levels of vocal effort at 1 m (CV-46)")
@pytest.mark.parametrize(
    ("type_id", "printed_db"),
    [("voice-talker-normal", 62.35), ("voice-talker", 68.34), ("voice-talker-loud", 74.85)],
)
def test_talkers_have_the_levels_of_the_standard(type_id: str, printed_db: float) -> None:
    """The book rounds to one decimal."""
    assert level_at_1_m_db(air_of(type_id)) == pytest.approx(printed_db, abs=0.06)


@pytest.mark.reference("ISO 9921:2003, Annex A, vocal effort in dB(A) at 1 m (CV-47)")
@pytest.mark.parametrize(
    ("type_id", "printed_dba"),
    [
        ("voice-talker-quiet", 54),
        ("voice-talker-normal", 60),
        ("voice-talker", 66),
        ("voice-talker-loud", 72),
    ],
)
def test_talkers_agree_with_the_scale_of_vocal_effort(type_id: str, printed_dba: float) -> None:
    """The two standards differ by up to 1.7 dB (CV-47), and the scale has steps of 6 dB."""
    air = air_of(type_id)
    weighted = band_levels_db(air.spectrum) + a_weighting_db(mid_hz())
    level_dba = level_at_1_m_db(air) + float(power_sum_db(weighted))
    assert level_dba == pytest.approx(printed_dba, abs=2.0)


@pytest.mark.reference(
    "Everest, Master Handbook of Acoustics, Table 5-1, peak power of musical sources"
)
@pytest.mark.parametrize(
    ("type_id", "peak_w", "front_db"),
    [
        ("sound-kick", 25, 0),
        ("sound-snare", 12, 0),
        ("sound-overheads", 10, 0),
        ("sound-piano", 0.4, 0),
        ("sound-trumpet", 0.3, 5),  # before its bell, Meyer
        ("sound-saxophone", 0.3, 0),
    ],
)
def test_peaks_of_instruments_have_the_published_power(
    type_id: str, peak_w: float, front_db: float
) -> None:
    """A point that radiates W watts makes 10 lg W + 120 - 10.99 dB SPL at 1 m.

    The table holds the strongest of the instruments of 1931, in round numbers: 4 dB either way.
    """
    air = air_of(type_id)
    ours_db = level_at_1_m_db(air) + air.peak_to_rms_db.value
    printed_db = 10 * math.log10(peak_w / 1e-12) - 10 * math.log10(4 * math.pi) + front_db
    assert ours_db == pytest.approx(printed_db, abs=4)


# ---------------------------------------------------------------- microphones


def heard(type_id: str, *, level_db_spl: float, figures: dict[str, str]) -> Solution:
    """A microphone with figures of its own, in a field of this level, on a desk."""
    talker = air_of("voice-talker")
    distance_m = talker.level_pa.value / (P_REFERENCE_PA * 10 ** (level_db_spl / 20))
    show = Show(
        "microphone",
        items={
            "mic": Item("mic", type_id, figures=figures),
            "desk": Item("desk", "mixer-compact"),
        },
        sources={"voice": Source("voice", "voice-talker", "mic", distance_m)},
        links=(Link({"a": "mic.out", "b": "desk.ch1.mic"}, (Cable("cable-xlr", 5.0),)),),
        settings={"desk.phantom": "on"},
    )
    return solve(build_rig(show, load_book()))


@pytest.mark.reference("IEC 60268-4, definition of sensitivity (CV-43)")
@pytest.mark.parametrize(
    ("sensitivity", "level_db_spl", "expected_dbu"),
    [("2 mV/Pa", 100, -45.74), ("20 mV/Pa", 134, 8.26)],
)
def test_open_output_of_a_microphone(
    sensitivity: str, level_db_spl: float, expected_dbu: float
) -> None:
    solution = heard(
        "mic-vocal-dynamic",
        level_db_spl=level_db_spl,
        figures={"capsule.sensitivity": sensitivity},
    )
    assert solution.levels("mic.capsule").nominal == pytest.approx(expected_dbu, abs=0.01)


@pytest.mark.reference("IEC 60268-4; signal to noise is 94 less the self-noise (CV-44)")
def test_self_noise_of_a_microphone() -> None:
    """14 dB(A) at 20 mV/Pa are -111.74 dBu(A) at the open output."""
    solution = heard(
        "mic-large-condenser",
        level_db_spl=94,
        figures={"capsule.sensitivity": "20 mV/Pa", "capsule.self-noise": "14 dB SPL"},
    )
    levels = solution.levels("mic.capsule")
    assert levels.floor_a == pytest.approx(-111.74, abs=0.03)
    assert levels.nominal is not None
    assert levels.floor_a is not None
    assert levels.nominal - levels.floor_a == pytest.approx(80, abs=0.03)
