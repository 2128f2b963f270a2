"""Numbers of ``docs/formats.md`` that physics fixes: the page has them, and so has the program."""

from __future__ import annotations

import json
import math
from typing import Any, Final

import pytest

from levelhead.gear.book import load_book
from levelhead.quantity.parsing import parse_si
from tests.docs.conftest import Desk
from tests.docs.page import PAGE, code

PRINTED_DB: Final = 0.051  # half a step of one decimal, and what binary fractions add
WINDINGS_DB: Final = 0.1  # what a real transformer takes more than an ideal one
CABLES_DB: Final = 0.02  # what the page leaves out: resistance and capacitance of the cables
DUO: Final = "duo.yaml"
OWN: Final = "own.yaml"


def on_the_page(name: str) -> dict[str, float]:
    """Levels of the page's table of a show."""
    return {code(row[0]): float(row[1].split()[0]) for row in PAGE.tables("levels")[name]}


def solved(name: str, address: str, desk: Desk) -> float:
    """Nominal level of a point, as it is computed."""
    level = desk.check(desk.load(name)).trial.solution.levels(address).nominal
    assert level is not None
    return level


@pytest.mark.parametrize("name", PAGE.tables("levels"))
def test_levels_of_the_page_are_those_that_are_computed(name: str, desk: Desk) -> None:
    written = on_the_page(name)
    computed = {address: solved(name, address, desk) for address in written}
    assert computed == pytest.approx(written, abs=PRINTED_DB)


def figure(type_id: str, port: str, name: str, unit: str) -> float:
    """A figure of a port of a shipped type."""
    raw = load_book().entry(type_id).ports[port].figures[name]
    return parse_si(raw if isinstance(raw, str) else raw["value"], unit)


@pytest.mark.reference("spherical wave: sound pressure is inversely proportional to distance")
def test_a_voice_at_five_centimetres(desk: Desk) -> None:
    air = load_book().entry("voice-singer").air
    assert air is not None
    level = air.level if isinstance(air.level, str) else air.level["value"]
    expected = parse_si(level, "dB SPL") + 20 * math.log10(1 / 0.05)
    assert solved(DUO, "anna", desk) == pytest.approx(expected, abs=1e-6)
    assert on_the_page(DUO)["anna"] == pytest.approx(expected, abs=PRINTED_DB)


@pytest.mark.reference("ISO 1683: 0 dB SPL is 20 uPa; 0 dBu is the voltage of 1 mW in 600 ohm")
def test_volts_of_a_microphone_of_2_mv_per_pascal(desk: Desk) -> None:
    pressure_pa = 20e-6 * 10 ** (solved(DUO, "anna", desk) / 20)
    expected = 20 * math.log10(2e-3 * pressure_pa / math.sqrt(1e-3 * 600))
    assert solved(DUO, "vox.capsule", desk) == pytest.approx(expected, abs=1e-6)
    assert on_the_page(DUO)["vox.capsule"] == pytest.approx(expected, abs=PRINTED_DB)


@pytest.mark.reference("voltage divider: U2 / U1 = R2 / (R1 + R2)")
def test_loss_of_a_microphone_at_its_input(desk: Desk) -> None:
    loss_db = 20 * math.log10(1 + figure("mic-vocal-dynamic", "out", "impedance", "ohm") / 2200)
    lost = solved(DUO, "vox.capsule", desk) - solved(DUO, "desk.ch1.mic", desk)
    assert lost == pytest.approx(loss_db, abs=CABLES_DB)


@pytest.mark.reference("voltage divider: U2 / U1 = R2 / (R1 + R2)")
def test_loss_of_the_pad(desk: Desk) -> None:
    """680 + 680 ohm in series, 150 ohm and 2.2 kohm across, from an output of 100 ohm."""
    across_ohm = 1 / (1 / 150 + 1 / 2200)
    loss_db = 20 * math.log10((100 + 1360 + across_ohm) / across_ohm)
    lost = solved(OWN, "dsp.to-analogue", desk) - solved(OWN, "desk.ch1.mic", desk)
    assert lost == pytest.approx(loss_db, abs=CABLES_DB)


@pytest.mark.reference("AES17: 0 dBFS is the rms level of a full-scale sine")
def test_levels_through_converters(desk: Desk) -> None:
    volts, digital, analogue = (
        solved(OWN, each, desk) for each in ("dsp.in", "dsp.to-digital", "dsp.to-analogue")
    )
    assert digital == pytest.approx(volts - 20, abs=1e-6)
    assert analogue == pytest.approx(digital + 18, abs=1e-6)


def shown_and_printed(words: str, desk: Desk) -> list[Any]:
    """An answer as the page shows it, and as the command prints it."""
    (example,) = (each for each in PAGE.examples("levelhead") if words in each.what)
    command, _, part = example.what.partition(", ")
    printed = json.loads(desk.run(command)[1])
    return [json.loads(example.text), printed["findings"][0] if part else printed]


@pytest.mark.reference(
    "ideal transformer, 12 turns to 1: 20 lg 12 = 21.58 dB (Whitlock, Handbook for Sound Engineers)"
)
def test_a_passive_di_takes_21_6_db_and_the_trim_lacks_1_6(desk: Desk) -> None:
    for answer in shown_and_printed("passive di", desk):
        level = {point["at"]: point["nominal"] for point in answer["levels"]}
        taken_db = level["di-passive.in"] - level["di-passive.out"]
        assert taken_db == pytest.approx(21.58, abs=WINDINGS_DB)
        lacking_db = 4 - level["di-passive.out"] - answer["gain"]["high"]
        assert lacking_db == pytest.approx(1.6, abs=0.1)


@pytest.mark.reference("electrical power: U = sqrt(P R), so 300 W in 4 ohm are 34.6 V")
def test_volts_of_a_loudspeaker_output_against_what_a_line_input_survives(desk: Desk) -> None:
    for finding in shown_and_printed("amplifier speaker output", desk):
        (volts,) = finding["why"]
        margin_db = 20 * math.log10(volts["limit"] / volts["value"])
        assert volts["value"] == pytest.approx(math.sqrt(300 * 4), rel=0.005)
        assert finding["margin"] == pytest.approx(margin_db, abs=0.05)
