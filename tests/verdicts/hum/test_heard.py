"""Hum judged: heard or not, near the programme or not, and never cured at a mains earth."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from levelhead.chain.solve import solve
from levelhead.gear.figures import Figure
from levelhead.rig.build import build_rig
from levelhead.verdicts.hum.heard import check_hum
from levelhead.verdicts.hum.listener import LISTENER, Listener
from levelhead.verdicts.hum.sound import AMPLE_DB, CLEAN_DB, COVERED_DB
from levelhead.verdicts.hum.words import CAUTION, HEARD, IN_SIGNAL, SENTENCES, SUM
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Finding, Severity
from tests.circuit.ground_rigs import BOOK, line_of_two, show_of
from tests.verdicts.shows import worst_of


def findings(text: str, listener: Listener = LISTENER) -> list[Finding]:
    """What the rule finds in a show."""
    return list(check_hum(Reading.of(solve(build_rig(show_of(text), BOOK))), listener))


def the(text: str, listener: Listener = LISTENER, code: str = HEARD) -> Finding:
    """The one finding of a code."""
    (finding,) = [each for each in findings(text, listener) if each.code == code]
    return finding


def player_into(receiver: str, *, sender: str = "player-earthed", volume: float = 0.0) -> str:
    """An unbalanced lead between two circuits, with the player's volume as stated."""
    line = line_of_two(sender, "lead-1-ohm 1 m", receiver, at=("stage", "hall"))
    return f"{line}\nsettings: {{one: {{volume: {volume} dB}}}}"


def number(finding: Finding, name: str) -> float:
    """A number that led to a finding."""
    (found,) = [each.value for each in finding.why if each.name == name]
    assert found is not None
    return found


def room_of(level_db: float) -> Listener:
    """A listener at 1 m in a room of this background, all of it certain."""
    return Listener(
        Figure(level_db, level_db, level_db, "dB SPL", "measured"),
        Figure(1.0, 1.0, 1.0, "m", "measured"),
    )


LOOP = player_into("amp-unbalanced")
HUM_DB = number(the(LOOP, room_of(20)), "hum at 1 m of the loudspeaker")
OVER_DB = number(the(LOOP, room_of(20)), "programme over hum, A-weighted")


# ---------------------------------------------------------------- at a loudspeaker


def test_a_loop_between_circuits_fails() -> None:
    """Unbalanced, a volt of hum beside a programme of -10 dBV."""
    found = the(LOOP)
    assert found.severity is Severity.FAILS
    assert found.where == "two.in"
    assert set(found.ports) == {"one.out", "two.in"}
    assert "loop of one and two" in found.what


def test_a_balanced_line_between_the_same_earths_is_fine() -> None:
    """Not a word about loops."""
    text = line_of_two("symmetrical", "cable-bare 30 m", "amp-balanced", at=("stage", "hall"))
    found = the(text)
    assert found.severity is Severity.FINE
    assert "loop" not in found.what
    assert found.caution is None


@pytest.mark.parametrize(("beyond_db", "expected"), [(0.2, Severity.FINE), (-0.2, Severity.CARE)])
def test_hum_just_far_enough_under_the_room(beyond_db: float, expected: Severity) -> None:
    """Ten decibels below what is heard nobody acts, however wide the range."""
    room = room_of(HUM_DB + AMPLE_DB + beyond_db)
    assert the(LOOP, room).severity is expected


@pytest.mark.parametrize(("beyond_db", "expected"), [(0.2, Severity.CARE), (-0.2, Severity.FAILS)])
def test_hum_just_heard_near_the_programme(beyond_db: float, expected: Severity) -> None:
    """Over the room it fails where the programme does not cover it."""
    assert OVER_DB < COVERED_DB
    assert the(LOOP, room_of(HUM_DB + beyond_db)).severity is expected


@pytest.mark.parametrize(("beyond_db", "expected"), [(0.2, Severity.CARE), (-0.2, Severity.FAILS)])
def test_hum_just_covered_by_the_programme(beyond_db: float, expected: Severity) -> None:
    """A two-pin player through a poor screen: its volume down to 40 dB over the hum."""
    text = player_into("amp-unbalanced", sender="player")
    over_db = number(the(text, room_of(0)), "programme over hum, A-weighted")
    volume = COVERED_DB + beyond_db - over_db
    found = the(player_into("amp-unbalanced", sender="player", volume=volume), room_of(0))
    assert found.severity is expected


@pytest.mark.parametrize(("beyond_db", "expected"), [(0.2, Severity.FINE), (-0.2, Severity.CARE)])
def test_hum_just_under_the_room_and_far_under_the_programme(
    beyond_db: float, expected: Severity
) -> None:
    """Typically not heard, and 60 dB under the programme when it is."""
    text = player_into("amp-unbalanced", sender="player")
    hum_db = number(the(text, room_of(0)), "hum at 1 m of the loudspeaker")
    over_db = number(the(text, room_of(0)), "programme over hum, A-weighted")
    quieter = player_into("amp-unbalanced", sender="player", volume=CLEAN_DB + beyond_db - over_db)
    assert the(quieter, room_of(hum_db + 1)).severity is expected


def test_a_longer_way_to_the_listener_is_a_quieter_hum() -> None:
    """Twice the distance, six decibels of margin."""
    near = room_of(30)
    far = replace(near, distance=Figure(2.0, 2.0, 2.0, "m", "measured"))
    margins = [the(LOOP, each).margin for each in (near, far)]
    assert margins[0] is not None
    assert margins[1] is not None
    assert margins[1] - margins[0] == pytest.approx(6.02, abs=0.01)


# ---------------------------------------------------------------- at an input


@pytest.mark.parametrize(
    ("over_db", "expected"),
    [
        (CLEAN_DB + 0.2, Severity.FINE),
        (CLEAN_DB - 0.2, Severity.CARE),
        (COVERED_DB + 0.2, Severity.CARE),
        (COVERED_DB - 0.2, Severity.FAILS),
    ],
)
def test_hum_in_a_recording(over_db: float, expected: Severity) -> None:
    """No loudspeaker gives it, so the signal is what it is held against."""
    full = the(player_into("recorder", sender="player"), code=IN_SIGNAL)
    volume = over_db - number(full, "signal over hum, A-weighted")
    assert volume < 0
    text = player_into("recorder", sender="player", volume=volume)
    assert the(text, code=IN_SIGNAL).severity is expected


# ---------------------------------------------------------------- many together


def test_inputs_that_are_heard_only_together_are_told_as_a_sum() -> None:
    """Four alike: each just quiet enough by itself, 6 dB more together."""
    players = [f"p{number}" for number in (1, 2, 3, 4)]
    items = "\n".join(f"  {each}: {{type: player}}" for each in players)
    links = "\n".join(
        f"  - {{from: {each}.out, to: desk.ch{each[1]}.line, via: [lead-phono-jack 5 m]}}"
        for each in players
    )
    trims = ", ".join(f"ch{each[1]}: {{trim: 20 dB}}" for each in players)
    volumes = ", ".join(f"{each}: {{volume: -45 dB}}" for each in players)
    text = f"""
items:
{items}
  desk: {{type: mixer-line-trims, supply: hall}}
  pow: {{type: loudspeaker-powered-12, supply: hall}}
links:
{links}
  - {{from: desk.main-left.out, to: pow.in, via: [lead-jack-balanced-xlr 10 m]}}
settings: {{{volumes}, desk: {{{trims}}}}}
"""
    alone_db = max(
        number(each, "hum at 1 m of the loudspeaker")
        for each in findings(text, room_of(80))
        if each.code == HEARD
    )
    room = room_of(alone_db + AMPLE_DB + 0.1)
    found = findings(text, room)
    assert {each.severity for each in found if each.code == HEARD} == {Severity.FINE}
    (together,) = [each for each in found if each.code == SUM]
    assert together.severity is Severity.CARE
    assert together.where == "pow.driver"
    assert not [each for each in findings(text, room_of(alone_db + 30)) if each.code == SUM]


# ---------------------------------------------------------------- words


def test_a_mains_earth_is_named_as_deadly_and_never_offered() -> None:
    """Wherever hum is worth acting on."""
    for found in (the(LOOP), the(player_into("recorder"), code=IN_SIGNAL)):
        assert found.caution == CAUTION
        assert not re.search(r"\b(lift|cut|tape)", found.what)
    assert "deadly" in CAUTION
    assert CAUTION.startswith("Never lift")


def test_what_nobody_stated_is_told_as_assumed() -> None:
    """And the cheapest way to know is a reading between the two."""
    found = the(
        line_of_two("player-earthed", "lead-1-ohm 1 m", "amp-unbalanced", at=(None, "hall"))
    )
    assert found.assumed == ("mains of one: not stated, taken as a few millivolts from the others",)
    assert found.settle_by is not None
    assert "earths of two" in found.settle_by


def test_the_range_of_the_earths_is_what_would_flip_it() -> None:
    """The heaviest doubt is the voltage between the circuits."""
    found = the(LOOP, room_of(HUM_DB + 3))
    assert found.flips[0].input == "earths of two circuits"


def test_every_severity_of_every_code_has_its_sentence() -> None:
    """Nothing is formatted from a sentence that is not there; a sum is only told when it is bad."""
    assert set(SENTENCES[HEARD]) == set(SENTENCES[IN_SIGNAL]) == {
        Severity.FINE, Severity.CARE, Severity.FAILS,
    }  # fmt: skip
    assert set(SENTENCES[SUM]) == {Severity.CARE, Severity.FAILS}


def test_findings_do_not_depend_on_the_order_of_items() -> None:
    """Two links, told in the other order."""
    first = """
items:
  a: {type: player-earthed, supply: stage}
  b: {type: amp-unbalanced, supply: hall}
  c: {type: player}
links:
  - {from: a.out, to: b.in, via: [lead-1-ohm 1 m]}
  - {from: c.out, to: b.second, via: [lead-1-ohm 1 m]}
"""
    second = """
items:
  c: {type: player}
  b: {type: amp-unbalanced, supply: hall}
  a: {type: player-earthed, supply: stage}
links:
  - {from: c.out, to: b.second, via: [lead-1-ohm 1 m]}
  - {from: a.out, to: b.in, via: [lead-1-ohm 1 m]}
"""
    told = [sorted((each.where, each.severity, each.what) for each in findings(text))
            for text in (first, second)]  # fmt: skip
    assert told[0] == told[1]


@pytest.mark.parametrize("charger", ["none", "two-pin"])
def test_the_screen_of_a_picture_lead_earths_a_laptop_on_its_battery_too(charger: str) -> None:
    """Projector and desk on two circuits: the loop leads through the 0 V of the laptop."""
    text = f"""
        items:
          l: {{type: laptop, supply: hall}}
          p: {{type: projector, supply: ceiling}}
          d: {{type: mixer-compact, supply: hall}}
        links:
          - {{from: l.hdmi, to: p.hdmi, via: [cable-hdmi 10 m]}}
          - ends: {{a: l.phones, left: d.st1.in-left, right: d.st1.in-right}}
            via: [lead-mini-two-jacks 5 m]
        settings: {{l: {{charger: {charger}}}}}
        supplies: {{ceiling: {{outlet: up, circuit: "1"}}, hall: {{outlet: hall, circuit: "2"}}}}
        """
    found = worst_of(text, IN_SIGNAL)
    assert found is not None
    assert found.severity is Severity.FAILS


# ---------------------------------------------------------------- a switch at hand


BASS = """\
items:
  bass: {type: bass-active}
  di: {type: di-passive}
  amp: {type: bass-amp, supply: stage}
  box: {type: loudspeaker-passive-12}
  desk: {type: mixer-compact, supply: hall}
links:
  - {from: bass.out, to: di.in, via: [cable-jack 5 m]}
  - {from: di.through, to: amp.in, via: [cable-jack 3 m]}
  - {from: amp.out, to: box.in}
  - {from: di.out, to: desk.ch1.mic, via: [cable-xlr 30 m]}
settings: {di: {lift: LIFT}, desk: {phantom: "off"}}
"""


def test_what_works_with_the_lift_of_a_box_open_is_care() -> None:
    """Common practice: that switch is what the box has it for; no mains earth is touched."""
    found = the(BASS.replace("LIFT", "closed"))
    assert found.severity is Severity.CARE
    assert found.what.endswith("It works with the ground lift of di open."), found.what


def test_a_locked_lift_is_no_way_out() -> None:
    found = the(BASS.replace("LIFT}", "closed, lock: [lift]}"))
    assert found.severity is Severity.FAILS


def test_with_the_lift_open_there_is_nothing_to_say() -> None:
    found = findings(BASS.replace("LIFT", "open"))
    assert all(each.severity is Severity.FINE for each in found)
