"""Published values, reached through a whole rig: microphones, converters, noise, cascades, sums."""

from __future__ import annotations

import math

import pytest

from levelhead.quantity.noise import thermal_noise_v
from levelhead.show.model import Source
from tests.chain.bench import Items, bench, floor, nominal

AUDIO_HZ = 19_980.0  # of our bands; the published 20 kHz is 0.004 dB more (CV-12)
DBU_V = math.sqrt(0.6)
SINGER = Source("anna", "voice", "mic")
TO_DESK = [("mic.out", "d.ch1.line")]


def heard(level: str, sensitivity: str) -> float:
    """Level of a microphone's output before the source this loud. [dBu]"""
    items: Items = {
        "mic": ("microphone", {"capsule.sensitivity": sensitivity}),
        "d": "desk",
    }
    pascals = 20e-6 * 10 ** (float(level.removesuffix(" dB SPL")) / 20)
    far_m = 10 ** (94 / 20) * 20e-6 / pascals  # the bench's voice has 94 dB SPL at 1 m
    solution = bench(items, TO_DESK, sources=[Source("anna", "voice", "mic", far_m)])
    return nominal(solution, "mic.out")


# ---------------------------------------------------------------- microphones


@pytest.mark.reference("IEC 60268-4 (definition of sensitivity), computed (CV-43)")
@pytest.mark.parametrize(
    ("level", "sensitivity", "printed_dbu"),
    [("100 dB SPL", "2 mV/Pa", -45.74), ("134 dB SPL", "20 mV/Pa", 8.26)],
)
def test_output_of_a_microphone(level: str, sensitivity: str, printed_dbu: float) -> None:
    """4.00 mV and 2.004 V."""
    assert heard(level, sensitivity) == pytest.approx(printed_dbu, abs=0.01)


@pytest.mark.reference("IEC 60268-4, ISO 1683: 1 Pa is 93.979 dB SPL (CV-42)")
@pytest.mark.parametrize(("level", "pascals"), [("93.979 dB SPL", 1.0), ("113.979 dB SPL", 10.0)])
def test_sound_pressure_of_1_and_10_pascals(level: str, pascals: float) -> None:
    """2 mV/Pa then give 2 and 20 mV."""
    expected_dbu = 20 * math.log10(0.002 * pascals / DBU_V)
    assert heard(level, "2 mV/Pa") == pytest.approx(expected_dbu, abs=0.001)


@pytest.mark.reference("IEC 60268-4; rule S/N = 94 - self-noise, trade article (CV-44)")
def test_self_noise_and_signal_to_noise() -> None:
    """14 dB(A) of self-noise: S/N 80 dB(A); with 20 mV/Pa -111.74 dBu(A) at the output."""
    items: Items = {
        "mic": (
            "microphone",
            {"capsule.sensitivity": "20 mV/Pa", "capsule.self-noise": "14 dB SPL"},
        ),
        "d": "desk",
    }
    levels = bench(items, TO_DESK, sources=[SINGER]).levels("mic.capsule")
    assert levels.floor_a == pytest.approx(-111.74, abs=0.01)
    assert levels.signal_over_noise == pytest.approx(80.0, abs=0.01)


@pytest.mark.reference("derived from EIN and sensitivity (CV-45)")
def test_noise_of_a_preamplifier_as_sound_pressure() -> None:
    """EIN -128 dBu at 1.5 mV/Pa: as loud as 20.24 dB SPL at the microphone."""
    items: Items = {
        "mic": ("microphone", {"capsule.sensitivity": "1.5 mV/Pa", "out.impedance": "150 ohm"}),
        "b": ("box", {"one.ein": "-128 dBu", "one.gain": "40 dB"}),
        "d": "desk",
    }
    solution = bench(items, [("mic.out", "b.in"), ("b.out", "d.ch1.line")], sources=[SINGER])
    below_db = nominal(solution, "b.one") - floor(solution, "b.one")
    assert nominal(solution, "anna") - below_db == pytest.approx(20.24, abs=0.01)


# ---------------------------------------------------------------- converters


@pytest.mark.reference("EBU Technical Recommendation R68-2000, alignment 0 dBu (CV-05)")
def test_ebu_alignment() -> None:
    """-18 dBFS is 0 dBu: full scale is 6.1528 V, +18 dBu, on the way out and on the way in."""
    converter = {"converter.full-scale": "+18 dBu", "converter.ceiling": "+18 dBu"}
    solution = bench({"p": ("player", converter), "d": "desk"}, [("p.out", "d.ch1.line")])
    assert nominal(solution, "d.ch1.line") == pytest.approx(0.0, abs=0.005)
    recorder: Items = {
        "t": ("tone", {"generator.level": "0 dBu"}),
        "r": ("recorder", {"converter.full-scale": "6.1528 V"}),
    }
    inward = bench(recorder, [("t.out", "r.in")])
    assert nominal(inward, "r.converter") == pytest.approx(-18.0, abs=0.005)


@pytest.mark.reference("SMPTE RP 155: -20 dBFS is +4 dBu (CV-06)")
def test_smpte_alignment() -> None:
    """Full scale is 12.2765 V, +24 dBu."""
    recorder: Items = {"t": "tone", "r": ("recorder", {"converter.full-scale": "12.2765 V"})}
    assert nominal(bench(recorder, [("t.out", "r.in")]), "r.converter") == pytest.approx(
        -20.0, abs=0.01
    )


@pytest.mark.reference("AES17: a sine whose peak reaches full scale is 0 dBFS (CV-08)")
def test_a_sine_at_full_scale_has_no_headroom_left() -> None:
    """A sine (crest 3.01 dB) at 0 dBFS rms reaches the ceiling; a square is 3.01 dB under it."""
    sine = {"generator.level": "0 dBFS", "generator.peak-to-rms": "3.0103 dB"}
    square = {"generator.level": "0 dBFS", "generator.peak-to-rms": "0 dB"}
    for figures, headroom_db in ((sine, 0.0), (square, 3.0103)):
        solution = bench({"p": ("player", figures), "d": "desk"}, [("p.out", "d.ch1.line")])
        assert solution.levels("p.volume").headroom == pytest.approx(headroom_db, abs=0.01)


# ---------------------------------------------------------------- noise


@pytest.mark.reference("Johnson-Nyquist: 150 ohm, 20 degC, 20 kHz, -130.918 dBu (CV-11)")
def test_noise_of_a_microphones_resistance() -> None:
    """The published figure is for 20 kHz: our 19 980 Hz are 0.004 dB less."""
    items: Items = {"mic": ("microphone", {"out.impedance": "150 ohm"}), "d": "desk"}
    solution = bench(items, TO_DESK, sources=[SINGER])
    assert floor(solution, "d.ch1.line") == pytest.approx(-130.918, abs=0.01)


@pytest.mark.reference("A weighting (IEC 61672-1) of white noise, integrated: -2.05 dB (CV-23)")
def test_a_weighted_noise_of_a_microphones_resistance() -> None:
    """150 ohm at 20 degC are -132.97 dBu(A)."""
    items: Items = {"mic": ("microphone", {"out.impedance": "150 ohm"}), "d": "desk"}
    levels = bench(items, TO_DESK, sources=[SINGER]).levels("d.ch1.line")
    assert levels.floor_a == pytest.approx(-132.97, abs=0.02)


def noise_factor(stages: list[tuple[float, float]]) -> float:
    """Noise factor of stages (noise figure, gain in dB) in a row, from the floor at their end.

    Each stage has the noise that its figure gives it behind 150 ohm, published with those 150 ohm.
    """
    resistor_v = float(thermal_noise_v(150.0, AUDIO_HZ))
    figures: dict[str, str] = {}
    for name, (figure_db, gain_db) in zip(("one", "two", "three"), stages, strict=False):
        figures[f"{name}.gain"] = f"{gain_db} dB"
        figures[f"{name}.ein"] = f"{20 * math.log10(resistor_v / DBU_V) + figure_db} dBu"
    items: Items = {"t": ("tone", {"out.impedance": "150 ohm"}), "b": ("box", figures), "d": "desk"}
    solution = bench(items, [("t.out", "b.in"), ("b.out", "d.ch1.line")])
    total_dbu = floor(solution, "b.three") - sum(gain_db for _, gain_db in stages)
    return float((10 ** (total_dbu / 20) * DBU_V / resistor_v) ** 2)


@pytest.mark.reference("definition of noise figure; EIN -128.0 dBu over -130.918 dBu (CV-15)")
@pytest.mark.parametrize(("ein_dbu", "figure_db"), [(-128.0, 2.918), (-129.0, 1.918)])
def test_noise_figure_from_equivalent_input_noise(ein_dbu: float, figure_db: float) -> None:
    """Noise at the output, less the gain, over that of the resistor alone."""
    items: Items = {
        "t": ("tone", {"out.impedance": "150 ohm"}),
        "b": ("box", {"one.ein": f"{ein_dbu} dBu", "one.gain": "60 dB"}),
        "d": "desk",
    }
    solution = bench(items, [("t.out", "b.in"), ("b.out", "d.ch1.line")])
    over_db = floor(solution, "b.one") - 60 - floor(solution, "b.in")
    assert over_db == pytest.approx(figure_db, abs=0.01)


@pytest.mark.reference("Friis, Proc. IRE 1944: F 1.4514, NF 1.618 dB (CV-16)")
def test_cascade_of_three_stages() -> None:
    """Noise figures 1.5, 6, 10 dB; gains 20, 10 dB. The page prints 1.452 and 1.62."""
    factor = noise_factor([(1.5, 20), (6.0, 10), (10.0, 0)])
    assert factor == pytest.approx(1.4514, abs=0.001)
    assert 10 * math.log10(factor) == pytest.approx(1.618, abs=0.005)


@pytest.mark.reference("Friis, teaching page: F 2.4131, NF 3.826 dB (CV-17)")
def test_cascade_with_a_lossy_first_stage() -> None:
    """Stages (2, -2) (1.5, 18) (1, -1) (8, -6) dB; the last two are one of Friis' own making."""
    last_two = 10 * math.log10(10**0.1 + (10**0.8 - 1) / 10**-0.1)
    factor = noise_factor([(2.0, -2.0), (1.5, 18.0), (last_two, -7.0)])
    assert factor == pytest.approx(2.4131, abs=0.003)


@pytest.mark.reference("Friis: F 1.3489, NF 1.300 dB; 1.36 dB in circulation is wrong (CV-18)")
def test_cascade_of_two_stages() -> None:
    """Noise figure 1 dB with 20 dB of gain, then 10 dB."""
    assert 10 * math.log10(noise_factor([(1.0, 20.0), (10.0, 0.0)])) == pytest.approx(
        1.300, abs=0.005
    )


# ---------------------------------------------------------------- sums


def heard_together(*levels: float) -> float:
    """Voices of these levels at one microphone. [dB SPL]"""
    sources = [
        Source(f"v{number}", "voice", "mic", 10 ** ((94 - level) / 20))
        for number, level in enumerate(levels)
    ]
    solution = bench({"mic": "microphone", "d": "desk"}, TO_DESK, sources=sources)
    one_pascal_dbu = 20 * math.log10(0.002 / DBU_V)
    return nominal(solution, "mic.capsule") - one_pascal_dbu + 93.979


@pytest.mark.reference("university acoustics slides, 80 + 85 and 80 + 80 dB (CV-19)")
@pytest.mark.parametrize(("levels", "printed"), [((80, 85), 86.193), ((80, 80), 83.01)])
def test_independent_levels_add_as_power(levels: tuple[float, ...], printed: float) -> None:
    """Printed 86.2 dB; 3.01 dB for equals."""
    assert heard_together(*levels) == pytest.approx(printed, abs=0.01)


@pytest.mark.reference("university acoustics slides, coherent 80 + 85 and 80 + 80 dB (CV-19)")
@pytest.mark.parametrize(("more_db", "printed"), [(5, 88.876), (0, 86.02)])
def test_one_signal_twice_adds_as_voltage(more_db: float, printed: float) -> None:
    """The same tone by two strips of a desk, counted from 80 dB."""
    items: Items = {"t": "tone", "e": "desk", "d": "desk"}
    links = [("t.out", "e.ch1.line"), ("e.main-left.out", "d.ch1.line")]
    one = nominal(bench(items, links, settings={"e.ch1.pan": "0"}), "d.main-left.sum")
    settings = {"e.ch1.pan": "0", "d.ch2.fader": f"{more_db} dB"}
    both = bench(items, [*links, ("e.main-right.out", "d.ch2.line")], settings=settings)
    assert nominal(both, "d.main-left.sum") - one + 80 == pytest.approx(printed, abs=0.01)


@pytest.mark.reference(
    "'Audio Engineering', ch. Measurement, eq. 2.30-2.33; consultants' notes (CV-20)"
)
@pytest.mark.parametrize(
    ("levels", "printed"),
    [((90, 96), 96.973), ((65, 65), 68.010), ((62, 73), 73.332), ((55, 58, 52), 60.436)],
)
def test_printed_examples_of_sums(levels: tuple[float, ...], printed: float) -> None:
    """A web page prints 61.5 dB for the last: it is wrong."""
    assert heard_together(*levels) == pytest.approx(printed, abs=0.01)
