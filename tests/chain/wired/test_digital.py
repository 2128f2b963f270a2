"""Digital links: numbers go over as they are, where both ends speak the same format."""

from __future__ import annotations

import pytest

from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.gear.book import load_book
from levelhead.rig.build import build_rig
from levelhead.show.model import Cable, Item, Link, Show


def plugged(
    source: str, target: str, cable: str, pins: dict[str, str] | None = None, length_m: float = 3.0
) -> Solution:
    """One item's digital socket in another's: ``type.port``."""
    (one, out), (other, into) = source.split("."), target.split(".")
    link = Link({"a": f"a.{out}", "b": f"b.{into}"}, (Cable(cable, length_m),), pins or {})
    show = Show("link", items={"a": Item("a", one), "b": Item("b", other)}, links=(link,))
    return solve(build_rig(show, load_book()))


AES3 = ("digital-out-aes3.out", "digital-in-aes3.in", "cable-digital-110")
SPDIF = ("digital-out-spdif.out", "digital-in-spdif.in", "cable-coax-75")


@pytest.mark.parametrize("link", [AES3, SPDIF])
def test_full_scale_is_full_scale_at_both_ends(link: tuple[str, str, str]) -> None:
    solution = plugged(*link)
    for side in ("left", "right"):
        sent = solution.levels(f"a.play-{side}")
        for place in (f"b.in.{side}", f"b.receiver-{side}"):
            assert solution.levels(place).unit == "dBFS"
            assert solution.levels(place).nominal == pytest.approx(sent.nominal)
    assert any("b.receiver-left" in way for way in solution.paths)


def test_a_microphone_cable_carries_aes3_over_some_metres() -> None:
    """The voltage arrives; whether the cable suits its length is another question."""
    source, target, _ = AES3
    solution = plugged(source, target, "cable-xlr", length_m=10.0)
    assert solution.levels("b.in.left").nominal is not None


def test_formats_do_not_understand_one_another() -> None:
    """AES3 into a line input of a recorder: volts arrive, music does not."""
    solution = plugged(AES3[0], "recorder-line-pro.in-left", "cable-xlr")
    assert solution.levels("b.converter-left").nominal is None


def test_a_lead_with_both_cores_open_carries_nothing() -> None:
    source, target, cable = AES3
    silent = plugged(source, target, cable, {"2": "open", "3": "open"})
    assert silent.levels("b.in.left").nominal is None


def test_a_converter_turns_numbers_into_volts_at_its_alignment() -> None:
    """EBU R 68: -16 dBFS at 0 dBFS = +18 dBu is +2 dBu."""
    solution = plugged(AES3[0], "converter-digital-analogue.in", AES3[2])
    assert solution.levels("b.converter-left").nominal == pytest.approx(2.0, abs=0.01)


def test_a_player_by_its_digital_output_into_a_digital_mixer() -> None:
    """S/PDIF: -20 dBFS arrives as such, and the main bus has it when the fader is up."""
    link = Link({"a": "a.digital", "b": "b.spdif-in"}, (Cable("cable-coax-75", 3.0),))
    show = Show(
        "link",
        items={"a": Item("a", "de-embedder"), "b": Item("b", "mixer-digital-32")},
        links=(link,),
        settings={"b.digital-in.level": "0 dB"},
    )
    solution = solve(build_rig(show, load_book()))
    assert solution.levels("b.digital-in.fader-left").nominal == pytest.approx(-20.0, abs=0.01)
    assert solution.levels("b.main-left.level").nominal == pytest.approx(-20.0, abs=0.01)
