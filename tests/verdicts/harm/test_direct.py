"""Direct current where it does not belong: each rule on this and that side of its limit."""

from __future__ import annotations

import pytest

from levelhead.gear.book import load_book
from levelhead.planning.trial import Trial, try_show
from levelhead.show.document import parse_show
from levelhead.verdicts.harm.direct import BACK_FED, SURGE, VOLTS
from levelhead.verdicts.phantom.way import BATTERY, ONE_LEG, SUPPLY
from levelhead.verdicts.told.finding import Finding
from levelhead.verdicts.told.severity import Severity


def trial(text: str, phantom: str = "on") -> Trial:
    """Gear at channel 1 of a compact mixer, phantom as told."""
    settings = f'settings: {{desk: {{phantom: "{phantom}"}}}}'
    body = f"levelhead: 1\nshow: {{name: case}}\n{text}\n{settings}\n"
    return try_show(parse_show(body, "case").show, load_book())


def findings(tried: Trial, code: str) -> list[Finding]:
    return [each for each in tried.judgement.findings if each.code == code]


def the(tried: Trial, code: str) -> Finding:
    (finding,) = findings(tried, code)
    return finding


def microphone(type_id: str, figures: str = "", *, pins: str = "", desk: str = "") -> str:
    return f"""
items:
  mic: {{type: {type_id}, figures: {{{figures}}}}}
  desk: {{type: mixer-compact, figures: {{{desk}}}}}
links: [{{from: mic.out, to: desk.ch1.mic, via: [cable-xlr 10 m], pins: {{{pins}}}}}]
"""


SHORTED = 'a.3: "1"'  # an old unbalanced lead: 48 V through 6.8 kohm and the coil, 6.9 mA


# ---------------------------------------------------------------- current


@pytest.mark.parametrize(("stands", "severity"), [
    ("100 mA", Severity.FINE),
    ("28 mA", Severity.FINE),  # 12.2 dB above 6.86 mA
    ("6.9 mA", Severity.CARE),
    ("6.7 mA", Severity.HARM),
])  # fmt: skip
def test_a_coil_on_an_unbalanced_lead(stands: str, severity: Severity) -> None:
    text = microphone("mic-vocal-dynamic", f"out.back-fed: {stands}", pins=SHORTED)
    finding = the(trial(text), BACK_FED)
    assert finding.severity is severity
    assert finding.why[0].value == pytest.approx(48 / (6800 + 200), rel=0.01)


@pytest.mark.parametrize("type_id", ["mic-vocal-dynamic", "mic-ribbon-passive"])
def test_no_blanket_alarm_on_a_sound_lead(type_id: str) -> None:
    """Both legs stand alike: nothing flows."""
    tried = trial(microphone(type_id))
    assert [each.what for each in tried.judgement.worse_than_fine()] == []
    assert findings(tried, BACK_FED) == []


def test_phantom_off_moves_nothing() -> None:
    tried = trial(microphone("mic-ribbon-passive", pins=SHORTED), phantom="off")
    assert [*findings(tried, BACK_FED), *findings(tried, VOLTS)] == []


def test_what_lives_on_phantom_is_not_back_fed() -> None:
    assert findings(trial(microphone("mic-vocal-condenser")), BACK_FED) == []


# ---------------------------------------------------------------- volts


@pytest.mark.parametrize(("rating", "severity"), [
    ("63 V", Severity.FINE),
    ("48.4 V", Severity.CARE),
    ("47.6 V", Severity.HARM),
    ("25 V", Severity.HARM),
])  # fmt: skip
def test_an_output_capacitor_stands_the_whole_supply(rating: str, severity: Severity) -> None:
    text = f"""
items:
  keys: {{type: keyboard-stereo, figures: {{out-left.dc-tolerance: {rating}}}}}
  desk: {{type: mixer-compact, figures: {{ch.mic.phantom: 48 V}}}}
links: [{{from: keys.out-left, to: desk.ch1.mic, via: [lead-jack-xlr 5 m]}}]
"""
    finding = the(trial(text), VOLTS)
    assert finding.why[0].value == pytest.approx(48, abs=0.2)
    assert finding.severity is severity


def player(type_id: str, out: str, lead: str, between: str = "") -> Trial:
    """A player at the channel's microphone input, by its lead or through a box."""
    ways = f"""
  - {{from: play.{out}, to: desk.ch1.mic, via: [{lead}]}}"""
    if between:
        ways = f"""
  - {{from: play.{out}, to: x.in, via: [{lead}]}}
  - {{from: x.out, to: desk.ch1.mic, via: [cable-xlr 5 m]}}"""
    box = f"x: {{type: {between}}}, " if between else ""
    text = f"""
items: {{play: {{type: {type_id}}}, {box}desk: {{type: mixer-compact}}}}
links:{ways}
"""
    return trial(text)


@pytest.mark.parametrize(("type_id", "out", "lead"), [
    ("laptop", "phones", "lead-mini-sum-xlr 2 m"),
    ("player-media", "out-left", "lead-phono-xlr 2 m"),
    ("de-embedder", "out-left", "lead-phono-xlr 2 m"),
])  # fmt: skip
def test_the_output_capacitor_of_a_player_does_not_stand_phantom_power(
    type_id: str, out: str, lead: str
) -> None:
    """IEC 61938: 48 V behind 6.8 kohm charge a capacitor to the whole 48 V."""
    found = findings(player(type_id, out, lead), VOLTS)
    assert {each.severity for each in found} == {Severity.HARM}
    for each in found:
        assert each.why[0].value == pytest.approx(48, abs=0.2)


def test_a_player_without_a_capacitor_is_told_by_its_current_alone() -> None:
    tried = player("player-direct-coupled", "out-left", "lead-phono-xlr 2 m")
    assert findings(tried, VOLTS) == []
    assert the(tried, BACK_FED).severity is Severity.HARM


@pytest.mark.parametrize("box", ["di-passive", "di-active"])
def test_a_laptop_behind_a_box_sees_no_phantom_power(box: str) -> None:
    tried = player("laptop", "phones", "lead-mini-sum-jack 2 m", box)
    found = [*findings(tried, VOLTS), *findings(tried, BACK_FED)]
    assert {each.where for each in found} <= {"x.out"}
    assert {each.severity for each in found} <= {Severity.FINE}


def test_the_supply_that_drives_the_current_is_named() -> None:
    """48 V behind 6.8 kohm against 2.2 V behind 2.2 kohm, both of them on the output of a phone."""
    found = findings(player("phone", "headset", "lead-mini-sum-xlr 2 m"), BACK_FED)
    assert found
    for each in found:
        assert each.what.startswith("desk, ch1, mic input drives")


# ---------------------------------------------------------------- charge


def patched(stands: str) -> str:
    return f"""
items:
  mic: {{type: mic-ribbon-passive, figures: {{out.surge: {stands}}}}}
  desk: {{type: mixer-compact}}
  bay: {{type: patch-bay-trs}}
links:
  - {{from: mic.out, to: bay.pair1.in, via: [lead-xlr-jack-balanced 10 m]}}
  - {{from: bay.pair1.out, to: desk.ch1.mic, via: [lead-jack-balanced-xlr 2 m]}}
"""


def test_a_ribbon_through_a_patch_bay_gets_the_charge_of_a_leg() -> None:
    """48 V through 10 ohm of protection, the contact and 30 ohm of winding."""
    finding = the(trial(patched("20 mA")), SURGE)
    assert finding.severity is Severity.HARM
    assert finding.why[0].value == pytest.approx(48 / 40.1, rel=0.1)


@pytest.mark.parametrize(("share", "severity"), [
    (4.2, Severity.FINE), (1.01, Severity.CARE), (0.98, Severity.HARM),
])  # fmt: skip
def test_the_surge_that_is_just_stood(share: float, severity: Severity) -> None:
    peak_a = the(trial(patched("20 mA")), SURGE).why[0].value
    assert peak_a is not None
    finding = the(trial(patched(f"{1000 * peak_a * share:.4f} mA")), SURGE)
    assert finding.severity is severity


# ---------------------------------------------------------------- the way of phantom power


@pytest.mark.parametrize(("pins", "told"), [("", 0), ("a.3: open", 1)])
def test_a_lost_leg_is_told(pins: str, told: int) -> None:
    found = findings(trial(microphone("mic-vocal-condenser", pins=pins)), ONE_LEG)
    assert [each.severity for each in found] == [Severity.CARE] * told


@pytest.mark.parametrize(("gives", "severity"), [
    ("50 mA", Severity.FINE),
    ("5.7 mA", Severity.FINE),  # 3.1 dB above 4 mA
    ("4.05 mA", Severity.CARE),
    ("3.9 mA", Severity.FAILS),
])  # fmt: skip
def test_a_supply_for_all_inputs(gives: str, severity: Severity) -> None:
    text = microphone(
        "mic-vocal-condenser", "powered-by.current: 4 mA", desk=f"phantom-supply: {gives}"
    )
    assert the(trial(text), SUPPLY).severity is severity


@pytest.mark.parametrize(("box", "told"), [("isolator-line", 1), ("splitter-parallel", 0)])
def test_a_box_on_its_battery_where_phantom_is_on_but_does_not_arrive(box: str, told: int) -> None:
    out = "direct-1" if box == "splitter-parallel" else "out"
    text = f"""
items:
  bass: {{type: bass-passive}}
  di: {{type: di-active}}
  x: {{type: {box}}}
  desk: {{type: mixer-compact}}
links:
  - {{from: bass.out, to: di.in, via: [cable-jack 5 m]}}
  - {{from: di.out, to: x.in, via: [cable-xlr 5 m]}}
  - {{from: x.{out}, to: desk.ch1.mic, via: [cable-xlr 5 m]}}
settings: {{di: {{battery: fitted}}, desk: {{phantom: "on"}}}}
"""
    body = f"levelhead: 1\nshow: {{name: case}}\n{text}"
    found = findings(try_show(parse_show(body, "case").show, load_book()), BATTERY)
    assert [each.severity for each in found] == [Severity.CARE] * told
