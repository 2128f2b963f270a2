"""The usual questions beside a stage, asked in the terminal. Common practice, with the sums."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import pytest

from tests.cli.conftest import EXAMPLES
from tests.docs.page import PAGE, misfits

Levelhead = Callable[..., Any]

RATIO = 12  # turns of the passive DI
DI_LOSS_DB = 20 * math.log10(RATIO)  # 21.58 dB
PLUS_4_OVER_MINUS_10_DB = 4 - 20 * math.log10(10 ** (-10 / 20) / math.sqrt(0.6))  # 11.79 dB


def found(answer: dict[str, Any], code: str) -> list[dict[str, Any]]:
    return [each for each in answer["findings"] if each["code"] == code]


def remedies(answer: dict[str, Any]) -> list[dict[str, Any]]:
    """Remedies of everything that fails or harms."""
    bad = (each for each in answer["findings"] if each["severity"] in {"fails", "harm"})
    return [remedy for each in bad for remedy in each["remedies"]]


@pytest.mark.parametrize("input_", ["line input", "mic input"])
def test_a_loudspeaker_output_into_a_powered_loudspeaker_harms(
    levelhead: Levelhead, input_: str
) -> None:
    ran = levelhead("ask", "amp speaker out", f"powered loudspeaker {input_}")
    answer = levelhead("ask", "amp speaker out", f"powered loudspeaker {input_}", "--json").json
    assert (ran.status, answer["verdict"]) == (1, "harm")
    assert "\nHARM " in ran.out
    assert "CAUTION" in ran.out
    first, *_ = remedies(answer)
    assert "amplifier-two-channel.ch1.link" in first["do"]
    assert first["verdict_after"] == "fine"
    assert f"> {first['do']}" in " ".join(ran.out.split())


def test_turning_the_amplifier_down_is_no_remedy_for_harm(levelhead: Levelhead) -> None:
    """Nor is its cable told, as if somebody should go on."""
    question = ("amp speaker out", "powered loudspeaker line input")
    assert ".level) to" not in levelhead("ask", *question).out
    assert "\nCable" not in levelhead("ask", *question).out
    quiet = levelhead("ask", *question, "--set", "amplifier-two-channel.ch1.level=-20 dB", "--json")
    assert quiet.json["verdict"] == "harm"


def test_the_link_output_of_the_amplifier_is_fine(levelhead: Levelhead) -> None:
    ran = levelhead("ask", "amp link output", "powered loudspeaker line input")
    assert ran.status == 0
    assert "\nFINE " in ran.out


def test_a_laptop_goes_in_with_its_volume_full(levelhead: Levelhead) -> None:
    answer = levelhead("ask", "laptop headphones", "compact mixer stereo line", "--json").json
    volume = next(point for point in answer["levels"] if point["at"].startswith("laptop.volume"))
    assert answer["verdict"] in {"fine", "care"}
    assert volume["nominal"] == pytest.approx(-9.0, abs=0.01)  # as the player plays it


def test_a_laptop_at_a_quarter_costs_a_printed_figure(levelhead: Levelhead) -> None:
    """A quarter of the numbers is 12.0 dB, and the converter's noise stays where it is."""
    text = levelhead("ask", "laptop headphones", "compact mixer stereo line").out
    assert "12.0 dB worse" in " ".join(text.split())


def test_an_active_di_on_battery_drives_a_line_input(levelhead: Levelhead) -> None:
    ran = levelhead("ask", "active di on battery", "compact mixer line", "--at", "+4 dBu")
    assert ran.status == 0
    assert "\nFINE " in ran.out


def test_an_active_di_without_phantom_is_dead_and_a_battery_wakes_it(levelhead: Levelhead) -> None:
    answer = levelhead("ask", "active di on phantom only", "line mixer", "--json").json
    assert answer["verdict"] == "fails"
    assert found(answer, "phantom.missing")
    assert any(".battery" in remedy["do"] for remedy in remedies(answer))


def test_a_passive_di_takes_the_level_down_by_its_turns(levelhead: Levelhead) -> None:
    answer = levelhead("ask", "passive di", "line mixer trim", "--at", "+4 dBu", "--json").json
    levels = {point["at"]: point["nominal"] for point in answer["levels"]}
    lost_db = levels["di-passive.in"] - levels["di-passive.out"]
    assert lost_db == pytest.approx(DI_LOSS_DB, abs=0.2)  # and a little for its windings


def test_a_passive_di_lacks_little_at_a_trim_of_20_db(levelhead: Levelhead) -> None:
    ran = levelhead("ask", "passive di", "line mixer trim", "--at", "+4 dBu")
    answer = levelhead("ask", "passive di", "line mixer trim", "--at", "+4 dBu", "--json").json
    assert answer["verdict"] == "care"
    assert f"{DI_LOSS_DB - 20:.1f} dB" in " ".join(ran.out.split())  # 1.6 dB


def test_a_passive_di_reaches_unity_at_70_per_cent_of_a_control_to_40_db(
    levelhead: Levelhead,
) -> None:
    """The channel's line input: 0 to 60 dB of gain behind a pad of 20 dB, so -20 to +40 dB."""
    question = ("passive di", "compact mixer line input with gain", "--at", "+4 dBu")
    gain = levelhead("ask", *question, "--json").json["gain"]
    assert gain["set"] - 20 == pytest.approx(DI_LOSS_DB, abs=0.2)
    assert gain["position"] == pytest.approx((DI_LOSS_DB + 20) / 60, abs=0.01)
    assert "69 % of its travel" in " ".join(levelhead("ask", *question).out.split())


def test_a_passive_di_into_a_fixed_line_input_fails(levelhead: Levelhead) -> None:
    """What it lacks is as much as it takes down; the mic input is among the remedies."""
    answer = levelhead("ask", "passive di", "compact mixer stereo line", "--json").json
    assert answer["verdict"] == "fails"
    assert any(".mic)" in remedy["do"] for remedy in remedies(answer))


def test_a_passive_di_into_a_mic_input_is_fine(levelhead: Levelhead) -> None:
    ran = levelhead("ask", "passive di", "compact mixer mic", "--at", "+4 dBu")
    assert ran.status == 0
    assert "\nFINE " in ran.out


def test_a_consumer_player_is_11_8_db_below_a_professional_line(levelhead: Levelhead) -> None:
    """-10 dBV against +4 dBu, before the output's impedance takes its share."""
    player = levelhead("ask", "media player", "compact mixer stereo line", "--json").json
    feed = levelhead("ask", "line feed", "compact mixer line", "--json").json
    out = next(each for each in player["levels"] if each["at"].startswith("player-media.converter"))
    line = next(each for each in feed["levels"] if each["at"] == "feed-line.output")
    assert line["nominal"] - out["nominal"] == pytest.approx(PLUS_4_OVER_MINUS_10_DB, abs=0.02)


def test_a_condenser_microphone_hangs_on_the_phantom_switch(levelhead: Levelhead) -> None:
    answer = levelhead("ask", "condenser mic", "compact mixer mic", "--json").json
    branches = {
        way["value"]: way["verdict"] for each in answer["depends_on"] for way in each["branches"]
    }
    assert (branches["off"], branches["on"]) == ("fails", "fine")
    off = levelhead(
        "ask", "condenser mic", "compact mixer mic", "--set", "mixer-compact.phantom=off"
    )
    assert off.status == 1
    assert "dead" in off.out


# ---------------------------------------------------------------- inside a show


@pytest.mark.parametrize("words", [("singer",), ("keys.out-left", "desk line input")])
def test_one_more_source_joins_a_show(levelhead: Levelhead, words: tuple[str, ...]) -> None:
    """In 80 columns; the JSON holds what was tried."""
    ran = levelhead("ask", *words, "--show", str(EXAMPLES / "duo-in-a-pub.yaml"))
    assert ran.status == 0
    assert max(map(len, ran.out.splitlines())) <= 80
    asked = levelhead("ask", *words, "--show", str(EXAMPLES / "duo-in-a-pub.yaml"), "--json").json
    objects = PAGE.objects()
    assert not list(misfits(asked, "Proposals", objects))
    assert asked["proposals"][0]["edits"]
