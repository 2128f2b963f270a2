"""Batteries that a plug switches, and sockets of which one alone carries both sides."""

from __future__ import annotations

import math

import pytest

from levelhead.chain.solve import solve
from levelhead.gear.book import load_book
from levelhead.planning.remedy.remedies import remedies_for
from levelhead.rig.build import build_rig
from levelhead.show.document import parse_show
from levelhead.verdicts.judge import judge
from levelhead.verdicts.told.severity import Severity
from levelhead.verdicts.wiring.contacts import BATTERY, ONE_SIDE
from tests.bench import types_of
from tests.verdicts.shows import tried_text, worst_of

# --- batteries ---


def bass(lead: str) -> str:
    """An active bass into an active DI box."""
    return f"""
        items: {{b: {{type: bass-active}}, di: {{type: di-active}}, d: {{type: mixer-compact}}}}
        links:
          - {{from: b.out, to: di.in, via: [{lead} 5 m]}}
          - {{from: di.out, to: d.ch1.mic, via: [cable-xlr 20 m]}}
        settings: {{d: {{phantom: "on"}}}}
        """


def test_a_two_pole_plug_switches_the_battery_on() -> None:
    found = worst_of(bass("cable-jack"), BATTERY)
    assert found is not None
    assert found.severity is Severity.FINE
    assert "drains until the plug is pulled" in found.what


def test_a_three_pole_plug_leaves_it_off_and_the_plain_lead_is_offered() -> None:
    trial = tried_text(bass("cable-jack-balanced"))
    found = next(each for each in trial.judgement.findings if each.code == BATTERY)
    assert found.severity is Severity.FAILS
    assert found.why[0].value is None  # nothing joins the two
    offered = [each.do for each in remedies_for(trial, found)]
    assert "cable-jack 5 m" in offered[0], offered  # others have a two-pole plug there as well


BRIDGED = """
lead-resistor:
  label: Three-pole lead with a resistor from ring to sleeve
  kind: cable
  source: measured
  ends: {a: jack-trs, b: jack-trs}
  wire: {core: 85 mohm/m, contact: 5 mohm}
  map: {a.tip: b.tip, a.ring: b.ring, a.sleeve: b.sleeve}
  parts: [{name: bridge, resistor: [a.ring, a.sleeve], value: OHM}]
"""


@pytest.mark.parametrize(("ohm", "severity"), [(990, Severity.FINE), (1010, Severity.FAILS)])
def test_the_switch_is_on_up_to_1_kohm(ohm: int, severity: Severity) -> None:
    """1 kohm takes 1 V off 9 V at 1 mA."""
    book = load_book().extended(types_of(BRIDGED.replace("OHM", f"{ohm} ohm")))
    text = f"levelhead: 1\nshow: {{name: Bass}}\n{_flat(bass('lead-resistor'))}"
    found = judge(solve(build_rig(parse_show(text, "bass").show, book))).findings
    (finding,) = (each for each in found if each.code == BATTERY)
    assert finding.severity is severity
    assert finding.why[0].value == pytest.approx(ohm, abs=1)


def _flat(text: str) -> str:
    return "\n".join(line[8:] for line in text.splitlines())


def test_without_a_battery_no_plug_helps() -> None:
    found = worst_of(
        bass("cable-jack").replace("settings: {", "settings: {b: {battery: none}, "), BATTERY
    )
    assert found is not None
    assert found.severity is Severity.FAILS
    assert "no battery" in found.what


def test_an_instrument_without_a_plug_drains_nothing() -> None:
    text = """
        items: {b: {type: bass-active}, f: {type: feed-line}, d: {type: mixer-compact}}
        links: [{from: f.out, to: d.ch1.mic}]
        """
    assert worst_of(text, BATTERY) is None


# --- outputs of which the left one alone is mono ---


def keys(*sides: str, gear: str = "keyboard-stereo") -> str:
    """A keyboard with these outputs plugged."""
    links = [
        f"          - {{from: k.out-{side}, to: d.ch{number}.line, via: [cable-jack 3 m]}}"
        for number, side in enumerate(sides, 1)
    ]
    return f"""
        items: {{k: {{type: {gear}}}, d: {{type: mixer-compact}}}}
        links:
{chr(10).join(links)}
        """


@pytest.mark.parametrize("sides", [("left",), ("left", "right")])
def test_the_left_socket_alone_and_both_are_fine(sides: tuple[str, ...]) -> None:
    assert worst_of(keys(*sides), ONE_SIDE) is None


@pytest.mark.parametrize(("gear", "shared"), [("keyboard-stereo", 0.7), ("drum-machine", 0.9)])
def test_the_right_socket_alone_misses_what_the_left_has_to_itself(
    gear: str, shared: float
) -> None:
    found = worst_of(keys("right", gear=gear), ONE_SIDE)
    assert found is not None
    assert found.severity is Severity.CARE
    assert found.margin == pytest.approx(-10 * math.log10((1 - shared) / 2) - 20, abs=0.01)


def test_the_left_socket_is_offered() -> None:
    trial = tried_text(keys("right"))
    found = next(each for each in trial.judgement.findings if each.code == ONE_SIDE)
    assert any(each.verdict_after is Severity.FINE for each in remedies_for(trial, found))


OWN = """
own-keys:
  label: Keys of which the sides share most
  like: keyboard-stereo
  path:
    from: [{generator: {level: -6 dBu, peak-to-rms: 14 dB, shared: "SHARED"}}]
"""


@pytest.mark.parametrize(("shared", "told"), [("0.979", 1), ("0.981", 0)])
def test_20_db_below_the_whole_nobody_misses_it(shared: str, told: int) -> None:
    """A share of 0.98 leaves each side 1 % of the power to itself."""
    book = load_book().extended(types_of(OWN.replace("SHARED", shared)))
    text = f"levelhead: 1\nshow: {{name: Keys}}\n{_flat(keys('right', gear='own-keys'))}"
    found = judge(solve(build_rig(parse_show(text, "keys").show, book))).findings
    assert sum(each.code == ONE_SIDE for each in found) == told


# --- inputs of which the left one alone feeds both sides ---


@pytest.mark.parametrize(("side", "severity"), [("left", None), ("right", Severity.CARE)])
def test_the_right_socket_of_a_stereo_channel_alone_feeds_one_side(
    side: str, severity: Severity | None
) -> None:
    text = f"""
        items: {{f: {{type: feed-line-unbalanced}}, d: {{type: mixer-compact}}}}
        links: [{{from: f.out, to: d.st1.in-{side}, via: [cable-jack 3 m]}}]
        """
    found = worst_of(text, ONE_SIDE)
    assert (None if found is None else found.severity) is severity
