"""Types of the book that do more than gain: what their filters, limiters and delays come to."""

from __future__ import annotations

import math
from collections.abc import Mapping

import pytest

from levelhead.chain.noise.breathing import floor_while_playing
from levelhead.chain.noise.companding import floor_under_signal
from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.gear.book import load_book
from levelhead.rig.build import build_rig
from levelhead.show.model import Cable, Item, Link, Show, Source


def fed(
    type_id: str, port: str, settings: Mapping[str, str] | None = None, by: str = "cable-xlr"
) -> Solution:
    """An item with a line feed at +4 dBu, peaks at +13, at one input."""
    link = Link({"a": "feed.out", "b": f"unit.{port}"}, (Cable(by, 1.0),))
    show = Show(
        "unit",
        items={"feed": Item("feed", "feed-line"), "unit": Item("unit", type_id)},
        links=(link,),
        settings={f"unit.{address}": value for address, value in (settings or {}).items()},
    )
    return solve(build_rig(show, load_book()))


def level(solution: Solution, stage: str) -> float:
    found = solution.levels(f"unit.{stage}").nominal
    assert found is not None, stage
    return found


def peak(solution: Solution, stage: str) -> float:
    found = solution.levels(f"unit.{stage}").peak
    assert found is not None, stage
    return found


# ---------------------------------------------------------------- filters


@pytest.mark.parametrize(
    ("type_id", "unity"),
    [("mixer-compact", "20 dB"), ("mixer-analogue-16", "20 dB"), ("mixer-digital-32", "14 dB")],
)
def test_the_low_cut_of_a_channel_takes_lows_only_when_it_is_on(type_id: str, unity: str) -> None:
    """Programme has some 2 dB below 80 Hz; sends before the fader lose them too."""
    by = "lead-xlr-jack-balanced"
    send = "ch1.aux" if type_id == "mixer-compact" else "ch1.send1"
    settings = {"ch1.gain": unity, send: "0 dB"}
    off = fed(type_id, "ch1.line", settings, by)
    on = fed(type_id, "ch1.line", settings | {"ch1.low-cut": "on"}, by)
    bus = "aux" if type_id == "mixer-compact" else "aux1"
    for stage in ("ch1.fader", f"{bus}.sum"):
        assert 0.3 < level(off, stage) - level(on, stage) < 3.0


def test_channels_of_a_digital_mixer_are_plain_until_something_is_switched_on() -> None:
    by = "lead-xlr-jack-balanced"
    plain = fed("mixer-digital-32", "ch1.line", {"ch1.gain": "14 dB"}, by)
    assert level(plain, "ch1.fader") == pytest.approx(level(plain, "ch1.converter"), abs=1e-6)
    shaped = fed(
        "mixer-digital-32",
        "ch1.line",
        {
            "ch1.gain": "14 dB",
            "ch1.equaliser": "on",
            "ch1.bass": "6 dB",
            "ch1.compressor": "on",
            "ch1.threshold": "-30 dBFS",
        },
        by,
    )
    assert level(shaped, "ch1.equaliser") > level(plain, "ch1.fader") + 0.5
    assert level(shaped, "ch1.compressor") < level(shaped, "ch1.equaliser") - 3


def test_the_outputs_of_a_crossover_share_the_programme() -> None:
    """At 100 Hz the lows and the highs each have less than all of it, and together all of it."""
    solution = fed("crossover-two-way", "in")
    low, high = (10 ** (level(solution, f"{each}.filter") / 10) for each in ("low", "high"))
    whole = 10 ** (level(solution, "converter") / 10)
    assert low < whole
    assert high < whole
    # powers of a Linkwitz-Riley pair are 3 dB short at the corner itself
    assert low + high == pytest.approx(whole, rel=0.15)


def test_a_subwoofer_hands_the_highs_on_and_keeps_the_lows() -> None:
    solution = fed("subwoofer-powered", "in-left")
    assert level(solution, "high-left.high-pass") < 4.0
    assert level(solution, "low.low-pass") < level(solution, "low.sum") - 3
    assert solution.levels("unit.high-right.high-pass").nominal is None


def test_a_graphic_equaliser_has_31_bands_by_their_frequency() -> None:
    flat = fed("equaliser-graphic", "in")
    cut = fed("equaliser-graphic", "in", {"band-63": "-12 dB", "band-31-5": "-12 dB"})
    assert level(flat, "bands") == pytest.approx(4.0, abs=0.3)
    assert level(cut, "bands") < level(flat, "bands") - 0.3


# ---------------------------------------------------------------- limiters


def test_no_peak_of_a_powered_loudspeaker_passes_its_ceiling() -> None:
    """+13 dBu of peaks on a limiter at +8 dBu: 5 dB less, and the driver at its 121 dB SPL."""
    solution = fed("loudspeaker-powered-12", "in")
    assert peak(solution, "limiter") == pytest.approx(8.0, abs=0.05)
    assert peak(solution, "driver") == pytest.approx(121.0, abs=0.1)
    soft = fed("loudspeaker-powered-12", "in", {"level": "-12 dB"})
    assert soft.limited_at(soft.number("unit.limiter")) is None


@pytest.mark.parametrize(
    ("type_id", "stage", "settings"),
    [
        ("crossover-two-way", "high.converter", {"high.threshold": "+2 dBu"}),
        ("processor-line", "output", {"limiter": "on", "threshold": "+2 dBu"}),
        ("compressor", "compression", {"threshold": "+2 dBu", "ratio": "limit"}),
    ],
)
def test_a_limiter_stops_at_the_threshold_that_is_set(
    type_id: str, stage: str, settings: dict[str, str]
) -> None:
    by = "lead-xlr-jack-balanced" if type_id == "compressor" else "cable-xlr"
    solution = fed(type_id, "in", settings, by)
    if type_id == "compressor":  # it looks at the rms, which ends at the threshold at most
        assert level(solution, stage) <= 2.1
    else:
        assert peak(solution, stage) == pytest.approx(2.0, abs=0.1)


def test_a_compressor_passes_what_stays_below_its_threshold() -> None:
    by = "lead-xlr-jack-balanced"
    assert level(fed("compressor", "in", {}, by), "compression") == pytest.approx(4.0, abs=0.3)
    squeezed = fed("compressor", "in", {"threshold": "-6 dBu", "ratio": "2-to-1"}, by)
    assert level(squeezed, "compression") == pytest.approx(-1.0, abs=1.0)


def test_the_limiter_of_an_in_ear_receiver_can_be_switched_off() -> None:
    """On it ends at 150 mV, where EN 50332-2 lets a player end."""
    on = fed("in-ear-set", "in-left", {"level": "0 dB", "volume": "0 dB"})
    off = fed("in-ear-set", "in-left", {"level": "0 dB", "volume": "0 dB", "limiter": "off"})
    assert peak(on, "receiver-left") == pytest.approx(20 * math.log10(0.15 / 0.7746), abs=0.1)
    assert peak(off, "receiver-left") > peak(on, "receiver-left") + 10


# ---------------------------------------------------------------- delay


def test_a_delay_unit_comes_as_late_as_it_is_set() -> None:
    """35 m at 343.2 m/s are 102 ms, beside its own 1.5 ms (CV-79)."""
    solution = fed("delay-unit", "in", {"tap-1.time": "102 ms"})
    row = solution.number("unit.tap-1.converter")
    late_s = solution.carried.delay_s[solution.carried.point == row]
    assert late_s.max() == pytest.approx(0.1035, abs=1e-4)


@pytest.mark.parametrize("type_id", ["mixer-digital-32", "mixer-digital-16"])
def test_a_digital_mixer_takes_its_time(type_id: str) -> None:
    """Both converters: 1.5 to 3 ms from input to output, common practice."""
    by = "cable-xlr"
    solution = fed(type_id, "ch1.mic", {"ch1.gain": "14 dB"}, by)
    row = solution.number("unit.main-left.converter")
    late_s = solution.carried.delay_s[solution.carried.point == row]
    assert 0.0015 <= late_s.max() <= 0.003


# ---------------------------------------------------------------- wireless


def wireless(type_id: str, sensitivity: str, output: str | None = None) -> Solution:
    """A wireless set in front of a loud singer, on a mic input."""
    settings = {"set.sensitivity": sensitivity} | ({"set.output": output} if output else {})
    show = Show(
        "wireless",
        items={"set": Item("set", type_id), "desk": Item("desk", "mixer-compact")},
        sources={"anna": Source("anna", "voice-singer-loud", "set", 0.05)},
        links=(Link({"a": "set.out", "b": "desk.ch1.mic"}, (Cable("cable-xlr", 3.0),)),),
        settings=settings,
    )
    return solve(build_rig(show, load_book()))


def test_the_mic_position_of_a_receiver_does_not_lift_the_deviation() -> None:
    """What the transmitter clips no switch behind it mends."""
    line, mic = (wireless("wireless-handheld", "0 dB", each) for each in ("line", "mic"))
    for solution in (line, mic):
        headroom = solution.levels("set.deviation").headroom
        assert headroom is not None
        assert headroom < 0
    assert line.levels("set.deviation").headroom == mic.levels("set.deviation").headroom


def test_noise_of_a_link_follows_the_voice() -> None:
    """The voice 20 dB down, the noise under it 10 dB down, in pauses far lower."""
    solution = wireless("wireless-handheld", "-20 dB")
    shape = solution.graph.shapes[solution.number("set.deviation")]
    assert shape.compander is not None
    compander = shape.compander
    loud, soft, pause = (
        floor_under_signal(
            pause=1e-6,
            nominal=nominal,
            full=1.0,
            link_noise_db=compander.link_noise_db.value,
            ratio=compander.ratio.value,
        )
        for nominal in (1.0, 0.1, 0.0)
    )
    assert loud / soft == pytest.approx(10 ** (10 / 20), rel=0.01)
    assert soft / pause > 10 ** (40 / 20)


def test_a_voice_over_a_compander_has_noise_under_it_at_the_desk() -> None:
    """While she sings the noise at the desk is that of the link, in a pause far less."""
    solution = wireless("wireless-handheld", "-20 dB")
    row = solution.number("desk.ch1.preamp")
    deviation = solution.levels("set.deviation")
    assert deviation.nominal is not None
    assert deviation.ceiling is not None
    playing, pause = floor_while_playing(solution, row), float(solution.floor[row])
    assert playing > 10 * pause
    # 52 dB under full deviation, and half of what the voice stays under that
    expected_db = 52 - (deviation.ceiling - deviation.nominal) / 2
    found_db = 20 * math.log10(float(solution.nominal[row]) / playing)
    assert found_db == pytest.approx(expected_db, abs=0.3)
