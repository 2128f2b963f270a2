"""DI boxes, boosters, pads, transformers and splitters: what they do to a signal and to phantom."""

from __future__ import annotations

import math
from typing import Final

import numpy as np
import pytest

from tests.gear.plugging import BAND, BOOK, gain_db, loading_ohm, plugged

# ---------------------------------------------------------------- DI boxes

IDEAL_CORE: Final = {
    "core.magnetising": "1000 H",
    "core.leakage": "1 nH",
    "core.primary": "1 ohm",
    "core.secondary": "0.01 ohm",
    "core-loss.value": "10000 Mohm",
    "winding-capacitance.value": "0.001 pF",
}
AMPLIFIER_V: Final = math.sqrt(300 * 8)  # 300 W in 8 ohm
DI_LINKS: Final = (
    ("feed.out", "di.in", "cable-jack 1 m"),
    ("di.out", "desk.ch1.mic", "cable-xlr 10 m"),
)


@pytest.mark.reference("Whitlock, 'Audio Transformers', Handbook for Sound Engineers (CV-37)")
@pytest.mark.parametrize(
    ("turns", "step_db", "seen_ohm"),
    [("12", -21.584, 144 * 1500), ("10", -20.0, 100 * 1500), ("20", -26.021, 400 * 1500)],
)
def test_an_ideal_core_steps_down_by_its_turns_and_shows_their_square(
    turns: str, step_db: float, seen_ohm: float
) -> None:
    """1.5 kohm behind 12 to 1 appears as 216 kohm."""
    solution = plugged(
        {"feed": "feed-line-unbalanced", "di": "di-passive", "desk": "mixer-compact"},
        DI_LINKS,
        figures={
            "feed": {"out.impedance": "100 kohm"},
            "di": {**IDEAL_CORE, "core.ratio": turns},
            "desk": {"ch.mic.impedance": "1.5 kohm"},
        },
    )
    step = (gain_db(solution, "di.out") - gain_db(solution, "di.in"))[BAND[1000]]
    assert step == pytest.approx(step_db, abs=0.01)
    assert loading_ohm(solution, "di.in", 100e3) == pytest.approx(seen_ohm, rel=0.005)


@pytest.mark.parametrize("di", ["di-passive", "di-passive-small"])
@pytest.mark.parametrize("pad", ["off", "20-db"])
def test_passive_di_boxes_are_flat_where_instruments_are(di: str, pad: str) -> None:
    """Typical sheets: within 1 dB from 40 Hz to 16 kHz, small cores within 2 dB."""
    solution = plugged(
        {"feed": "feed-line-unbalanced", "di": di, "desk": "mixer-compact"},
        DI_LINKS,
        settings={"di.pad": pad},
        figures={"feed": {"out.impedance": "1 kohm"}},
    )
    level_db = gain_db(solution, "desk.ch1.mic")[BAND[40] : BAND[16000] + 1]
    assert np.abs(level_db - gain_db(solution, "desk.ch1.mic")[BAND[1000]]).max() < (
        1 if di == "di-passive" else 2
    )


@pytest.mark.parametrize(("pad", "loss_db"), [("20-db", 20), ("40-db", 40)])
@pytest.mark.parametrize("di", ["di-passive", "di-active"])
def test_a_pad_takes_what_it_says(di: str, pad: str, loss_db: float) -> None:
    """Common practice: what is printed beside the switch, within 1.5 dB, at a stage's 1 kohm."""
    rigs = [
        plugged(
            {"feed": "feed-line-unbalanced", "di": di, "desk": "mixer-compact"},
            DI_LINKS,
            settings={"di.pad": each, "desk.phantom": "on"},
            figures={"feed": {"out.impedance": "1 kohm"}},
        )
        for each in ("off", pad)
    ]
    through = [solution.levels("desk.ch1.mic").nominal for solution in rigs]
    assert through[0] is not None
    assert through[1] is not None
    assert through[0] - through[1] == pytest.approx(loss_db, abs=1.5)


@pytest.mark.parametrize(
    ("di", "pad", "low_ohm", "high_ohm"),
    [
        # typical sheets; a passive box shows its turns squared times the desk
        ("di-passive", "off", 100e3, 250e3),
        ("di-passive", "40-db", 30e3, 100e3),
        ("di-passive-small", "off", 50e3, 150e3),
        ("di-active", "off", 470e3, 2.2e6),
        ("di-active", "20-db", 100e3, 1e6),
        ("di-active", "40-db", 47e3, 220e3),
        ("di-active-piezo", "off", 5e6, 22e6),
    ],
)
def test_what_an_instrument_sees(di: str, pad: str, low_ohm: float, high_ohm: float) -> None:
    solution = plugged(
        {"feed": "feed-line-unbalanced", "di": di, "desk": "mixer-compact"},
        DI_LINKS,
        settings={"di.pad": pad, "desk.phantom": "on"},
        figures={"feed": {"out.impedance": "100 kohm"}},
    )
    assert low_ohm < loading_ohm(solution, "di.in", 100e3) < high_ohm


def damage_v(di: str, pad: str) -> float:
    """Volts that the input survives."""
    return BOOK.plan(di, {"pad": pad}, {}).block("").plan.ports["in"].figures["damage"].value


@pytest.mark.parametrize("di", ["di-passive", "di-active"])
def test_a_stronger_pad_stands_more_volts(di: str) -> None:
    """With 40 dB twice the 49 V of a 300 W amplifier, common practice."""
    bare, weak, strong = (damage_v(di, pad) for pad in ("off", "20-db", "40-db"))
    assert bare < weak < strong
    assert strong > 2 * AMPLIFIER_V


def test_a_bare_active_input_does_not_stand_an_amplifier() -> None:
    assert damage_v("di-active", "off") < AMPLIFIER_V


def test_left_and_right_of_a_stereo_di_stay_apart() -> None:
    """Two cores, one sleeve: crosstalk below -60 dB, typical sheets."""
    solution = plugged(
        {"pc": "laptop", "di": "di-passive-stereo", "desk": "mixer-compact"},
        [
            ("pc.phones", "di.in", "cable-mini 1 m"),
            ("di.out-left", "desk.ch1.mic", "cable-xlr 15 m"),
            ("di.out-right", "desk.ch2.mic", "cable-xlr 15 m"),
        ],
    )
    own = gain_db(solution, "desk.ch1.mic", "pc.phones.left")[BAND[1000]]
    other = gain_db(solution, "desk.ch1.mic", "pc.phones.right")[BAND[1000]]
    assert own - other > 60


def copper_of(di: str, lift: str) -> set[tuple[str, str]]:
    """Pins that a wire or a resistor of the box reaches."""
    parts = BOOK.plan(di, {"lift": lift}, {}).block("").plan.parts
    return {pin for part in parts if part.kind in {"wire", "resistor"} for pin in part.pins}


@pytest.mark.parametrize("di", ["di-passive", "di-passive-small", "di-passive-stereo"])
def test_an_open_lift_leaves_no_copper_to_the_desk(di: str) -> None:
    """Only the winding's picofarads join the two grounds then."""
    desk = {(port, "1") for port in ("out", "out-left", "out-right")}
    assert copper_of(di, "closed") & desk
    assert not copper_of(di, "open") & desk


# ---------------------------------------------------------------- phantom through boxes


def phantom_volts(box: str, out: str, **figures: str) -> float:
    """What a condenser microphone gets through a box."""
    solution = plugged(
        {"mic": "mic-instrument-condenser", "box": box, "desk": "mixer-compact"},
        [("mic.out", "box.in", "cable-xlr 1 m"), (f"box.{out}", "desk.ch1.mic", "cable-xlr 1 m")],
        settings={"desk.phantom": "on"},
        figures={"mic": figures},
    )
    arrival = solution.phantom_at("mic")
    return 0.0 if arrival is None else arrival.volts


@pytest.mark.parametrize(
    ("box", "out", "pair_ohm"),
    [
        # IEC 61938: 6.8 kohm in each leg, both legs beside one another, and what lies in series
        ("pad-20", "out", (6800 + 1000) / 2),
        ("splitter-parallel", "direct-3", 6800 / 2),
        ("splitter-passive", "direct", 6800 / 2),
        ("splitter-resistive", "out-1", (6800 + 150) / 2),
    ],
)
def test_phantom_passes_where_there_is_copper(box: str, out: str, pair_ohm: float) -> None:
    volts = phantom_volts(box, out, **{"powered-by.current": "3 mA"})
    assert volts == pytest.approx(48 - 3e-3 * pair_ohm, abs=0.1)


@pytest.mark.parametrize(
    ("box", "out"),
    [("splitter-passive", "isolated"), ("isolator-line", "out"), ("booster-inline", "out")],
)
def test_phantom_ends_at_transformers_and_boosters(box: str, out: str) -> None:
    assert phantom_volts(box, out) == pytest.approx(0, abs=0.01)


# ---------------------------------------------------------------- pads, transformers, splitters


@pytest.mark.parametrize(
    ("box", "source", "loss_db"),
    [("pad-20", "feed-line", 20), ("pad-20", "mic-vocal-dynamic", 20), ("pad-40", "feed-line", 40)],
)
def test_a_balanced_pad_takes_what_it_says(box: str, source: str, loss_db: float) -> None:
    """Common practice: 20 dB between 150 ohm and 1.5 kohm, against the same line without it."""
    straight = plugged(
        {"feed": source, "desk": "mixer-compact"}, [("feed.out", "desk.ch1.mic", "cable-xlr 3 m")]
    )
    padded = plugged(
        {"feed": source, "pad": box, "desk": "mixer-compact"},
        [("feed.out", "pad.in", "cable-xlr 3 m"), ("pad.out", "desk.ch1.mic", "cable-xlr 1 m")],
    )
    lost = (gain_db(straight, "desk.ch1.mic") - gain_db(padded, "desk.ch1.mic"))[BAND[1000]]
    assert lost == pytest.approx(loss_db, abs=0.6)


def test_a_loudspeaker_line_comes_down_by_40_db() -> None:
    solution = plugged(
        {
            "amp": "amplifier-two-channel",
            "box": "adaptor-loudspeaker-line",
            "sub": "loudspeaker-powered-12",
        },
        [
            ("amp.ch1.out", "box.in", "cable-loudspeaker 1 m"),
            ("box.out", "sub.in", "cable-xlr 5 m"),
        ],
    )
    assert gain_db(solution, "sub.in")[BAND[1000]] == pytest.approx(-40, abs=1)


def test_a_100_v_line_comes_down_to_0_dbu() -> None:
    """100 V to 0.775 V are 42.2 dB, and 600 ohm on 20 kohm lose 0.26 dB more."""
    solution = plugged(
        {"amp": "amplifier-two-channel", "box": "transformer-100v-line", "desk": "mixer-compact"},
        [
            ("amp.ch1.out", "box.in", "lead-loudspeaker-bare 3 m"),
            ("box.out", "desk.ch1.line", "lead-xlr-jack-balanced 5 m"),
        ],
        figures={"desk": {"ch.line.impedance": "20 kohm"}},
    )
    expected_db = 20 * math.log10(0.775 / 100 * 20 / 20.6)
    assert gain_db(solution, "desk.ch1.line")[BAND[1000]] == pytest.approx(expected_db, abs=0.3)


def level_with(desks: int) -> float:
    """Level of a 150 ohm microphone at the first of some desks of 1.5 kohm. [dB]"""
    names = [f"desk-{number}" for number in range(1, desks + 1)]
    cable = "cable-xlr 1 m"
    solution = plugged(
        {"mic": "mic-vocal-dynamic", "split": "splitter-parallel"}
        | dict.fromkeys(names, "mixer-compact"),
        [
            ("mic.out", "split.in", cable),
            *((f"split.direct-{name[-1]}", f"{name}.ch1.mic", cable) for name in names),
        ],
        figures={
            "mic": {"out.impedance": "150 ohm"},
            **{name: {"ch.mic.impedance": "1.5 kohm"} for name in names},
        },
    )
    return float(gain_db(solution, "desk-1.ch1.mic")[BAND[1000]])


@pytest.mark.parametrize("desks", [2, 5])
def test_desks_in_parallel_load_a_microphone(desks: int) -> None:
    """Ohm's law: the load falls to a half and a fifth."""
    share = (1500 / desks) / (150 + 1500 / desks)
    lost_db = 20 * math.log10(1500 / 1650 / share)
    assert level_with(1) - level_with(desks) == pytest.approx(lost_db, abs=0.05)


@pytest.mark.parametrize("box", ["splitter-passive", "splitter-passive-3"])
def test_an_isolated_leg_is_flat(box: str) -> None:
    """Within 1 dB from 40 Hz to 16 kHz: typical sheets of microphone transformers."""
    out = "isolated" if box == "splitter-passive" else "isolated-2"
    solution = plugged(
        {"mic": "mic-vocal-dynamic", "split": box, "one": "mixer-compact", "two": "mixer-compact"},
        [
            ("mic.out", "split.in", "cable-xlr 10 m"),
            ("split.direct", "one.ch1.mic", "cable-xlr 5 m"),
            (f"split.{out}", "two.ch1.mic", "cable-xlr 30 m"),
        ],
    )
    level_db = gain_db(solution, "two.ch1.mic")
    assert np.ptp(level_db[BAND[40] : BAND[16000] + 1]) < 1


# ---------------------------------------------------------------- what stands around a box


def ports_of(type_id: str) -> set[str]:
    """Addresses of a type's ports below the item, as its switches stand by themselves."""
    blocks = BOOK.plan(type_id, {}, {}).blocks
    return {block.address(name) for block in blocks for name in block.plan.ports}


AROUND: Final = [each for each in BOOK.ids if BOOK.entry(each).usual.model_fields_set]


@pytest.mark.parametrize("type_id", AROUND)
def test_what_usually_stands_around_a_type_is_in_the_book(type_id: str) -> None:
    usual = BOOK.entry(type_id).usual
    for place in (usual.fed_by, usual.into, usual.by and f"{type_id}.{usual.by}"):
        if place is not None and BOOK.entry(type_id).blocks == {}:
            other, _, port = place.partition(".")
            assert port in ports_of(other)
    assert usual.fed_at is None or usual.fed_by is not None
    assert usual.source is None or BOOK.entry(usual.source).air is not None
