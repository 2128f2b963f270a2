"""Cures of hum, tried on copies: each is solved, none touches a protective earth."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import pytest

from levelhead.gear.book import GearBook
from levelhead.planning.moves.candidate import Candidate
from levelhead.planning.moves.hum import hum_cures
from levelhead.planning.remedy.earths import keeps_every_earth
from levelhead.planning.remedy.remedies import remedies_for
from levelhead.planning.trial import Trial, try_show
from levelhead.show.edits import (
    AddItem,
    AddSupply,
    Edit,
    Plug,
    Power,
    Recable,
    Retype,
    Set,
    SetPins,
)
from levelhead.show.model import Supply
from levelhead.verdicts.hum.heard import check_hum
from levelhead.verdicts.hum.words import HEARD
from levelhead.verdicts.told.finding import Finding, Severity
from levelhead.verdicts.told.severity import worst
from tests.circuit.ground_rigs import BOOK, show_of
from tests.verdicts.shows import tried_text

LIFTING: Final = {  # what must never be proposed, as gear that offers it
    "amp-with-a-lift": {
        "label": "Amplifier whose earth somebody made switchable",
        "kind": "amplifier",
        "source": "standard",
        "earth": "mains",
        "powered-by": [{"mains": True}],
        "controls": {"earth": {"options": ["joined", "lifted"], "default": "joined"}},
        "ports": {
            "in": {
                "socket": "jack-trs",
                "role": "in",
                "circuit": "balanced-input",
                "impedance": "20 kohm",
                "cmrr": "60 dB",
            }
        },
        "path": {
            "from": "in",
            "stages": [{"stage": "driver", "sensitivity": {"level": "120 dB SPL", "at": "0 dBu"}}],
            "to": "air",
        },
    }
}
GEAR: Final[GearBook] = BOOK.extended(LIFTING)

WEDGE: Final = """
items:
  mic: {type: mic-vocal-dynamic}
  desk: {type: mixer-compact, supply: hall}
  pow: {type: loudspeaker-powered-12, supply: stage}
sources: {anna: {type: voice-singer, at: mic}}
links:
  - {from: mic.out, to: desk.ch1.mic, via: [cable-xlr 10 m]}
  - {from: desk.aux.out, to: pow.in, via: [CABLE]}
settings: {desk: {ch1: {gain: 35 dB, aux: 0 dB}}}
"""
UNBALANCED: Final = WEDGE.replace("CABLE", "cable-jack 20 m")
DI: Final = """
items:
  bass: {type: bass-active}
  di: {type: di-passive}
  amp: {type: bass-amp, supply: stage}
  box: {type: loudspeaker-passive-12}
  desk: {type: mixer-compact, supply: hall}
links:
  - {from: bass.out, to: di.in, via: [cable-jack 5 m]}
  - {from: di.through, to: amp.in, via: [cable-jack 3 m]}
  - {from: di.out, to: desk.ch1.mic, via: [cable-xlr 30 m]}
  - {from: amp.out, to: box.in}
"""
PLAYER: Final = """
items:
  one: {type: player-pro, supply: stage}
  desk: {type: mixer-compact, supply: hall}
  pow: {type: loudspeaker-powered-12, supply: hall}
links:
  - {from: one.out-left, to: desk.st1.in-left, via: [lead-xlr-jack 5 m]}
  - {from: desk.main-left.out, to: pow.in, via: [cable-xlr 10 m]}
"""


def trial_of(text: str) -> Trial:
    """A show, solved and judged."""
    return try_show(show_of(text), GEAR)


def heard(trial: Trial, where: str) -> Finding:
    """What is heard of one input."""
    found = check_hum(trial.judgement.reading)
    return next(each for each in found if (each.code, each.where) == (HEARD, where))


def cures(trial: Trial, where: str, kind: type[Edit]) -> Iterator[Candidate]:
    """Cures of one input that consist of (or begin with) an edit of this kind."""
    for candidate in hum_cures(trial, heard(trial, where)):
        if isinstance(candidate.edits[0], kind):
            yield candidate


def cured(trial: Trial, candidate: Candidate) -> Trial:
    """The show once a cure was applied to a copy."""
    after = trial.after(candidate.edits)
    assert after is not None
    return after


def severity_after(trial: Trial, candidate: Candidate, where: str) -> Severity:
    """What is heard of the same input then; where nothing but fields is left, nothing is told."""
    found = check_hum(cured(trial, candidate).judgement.reading)
    return worst(each.severity for each in found if each.where == where)


def test_a_balanced_lead_cures_an_unbalanced_one() -> None:
    """The aux is impedance-balanced, the loudspeaker has a balanced input."""
    trial = trial_of(UNBALANCED)
    assert heard(trial, "pow.in").severity is Severity.FAILS
    verdicts = {
        edit.via[0].type: severity_after(trial, candidate, "pow.in")
        for candidate in cures(trial, "pow.in", Recable)
        if isinstance(edit := candidate.edits[0], Recable)
    }
    assert verdicts["lead-jack-balanced-xlr"] is Severity.FINE
    assert verdicts["lead-jack-xlr"] is Severity.CARE  # pin 3 is tied at the far end: half a cure


def test_one_strip_cures_what_two_circuits_did() -> None:
    """Either of the two items on the strip of the other."""
    trial = trial_of(UNBALANCED)
    found = list(cures(trial, "pow.in", Power))
    assert {candidate.edits[0] for candidate in found} == {
        Power("pow", "hall"), Power("desk", "stage"),
    }  # fmt: skip
    before = heard(trial, "pow.in").margin
    assert before is not None
    for candidate in found:
        now = heard(cured(trial, candidate), "pow.in").margin
        assert now is not None
        assert now > before + 30


def test_a_ground_lift_of_a_box_cures_its_loop() -> None:
    """A switch on an audio screen; both amplifiers keep their earth."""
    trial = trial_of(DI)
    assert heard(trial, "amp.in").severity is not Severity.FINE
    lifts = [
        candidate
        for candidate in cures(trial, "amp.in", Set)
        if candidate.edits == (Set("di.lift", "open"),)
    ]
    assert len(lifts) == 1
    assert severity_after(trial, lifts[0], "amp.in") is Severity.FINE


def test_a_transformer_cures_an_unbalanced_line() -> None:
    """A box of the book with a line transformer; no name is looked for."""
    trial = trial_of(PLAYER)
    assert heard(trial, "desk.st1.in-left").severity is Severity.FAILS
    verdicts = [
        severity_after(trial, candidate, "desk.st1.in-left")
        for candidate in cures(trial, "desk.st1.in-left", AddItem)
    ]
    assert Severity.FINE in verdicts


def test_the_screen_of_a_balanced_line_may_be_open_at_one_end() -> None:
    """Proposed where both ends are balanced, and never for a lead whose screen is the way back."""
    balanced = trial_of(WEDGE.replace("CABLE", "lead-jack-balanced-xlr 20 m"))
    (candidate,) = cures(balanced, "pow.in", SetPins)
    assert candidate.edits == (SetPins("pow.in", {"sleeve": "open"}),)
    assert severity_after(balanced, candidate, "pow.in") is Severity.FINE


def test_no_remedy_touches_a_mains_earth() -> None:
    """The amplifier has a switch that would cure it: proposed as any switch is, never offered."""
    trial = trial_of(UNBALANCED.replace("type: loudspeaker-powered-12", "type: amp-with-a-lift"))
    finding = heard(trial, "pow.in")
    lifting = Set("pow.earth", "lifted")
    assert lifting in [edit for each in hum_cures(trial, finding) for edit in each.edits]
    offered = remedies_for(trial, finding)
    assert offered
    assert lifting not in [edit for each in offered for edit in each.edits]


@pytest.mark.parametrize(("earth", "powered", "keeps"), [
    ("none", [{"mains": True}], False),
    ("class-2", [{"mains": True}], False),
    ("none", [{"battery": "9 V"}], True),
    ("mains", [{"mains": True}], True),
])  # fmt: skip
def test_an_earth_may_only_go_with_the_mains(
    earth: str,
    powered: list[dict[str, object]],
    keeps: bool,  # noqa: FBT001 - a column of the table
) -> None:
    """A switch that takes the earth away is refused, whatever it is called; a battery is not."""
    after_it = {**LIFTING["amp-with-a-lift"], "earth": earth, "powered-by": powered}
    book = GEAR.extended({"amp-after": after_it})
    text = UNBALANCED.replace("type: loudspeaker-powered-12", "type: amp-with-a-lift")
    trial = try_show(show_of(text), book)
    after = trial.after((Retype("pow", "amp-after"),))
    assert after is not None
    assert keeps_every_earth(trial.solution.rig, after.solution.rig) is keeps


def test_no_remedy_moves_gear_to_a_supply_whose_earth_is_lost() -> None:
    """It would end the loop, and it may kill: the strip of the other end is proposed, not taken."""
    broken = AddSupply(Supply("broken", "stage", earth="lost"))
    trial = trial_of(UNBALANCED).after((broken, Power("desk", "broken")))
    assert trial is not None
    moved = trial.after((Power("pow", "broken"),))
    assert moved is not None
    assert not keeps_every_earth(trial.solution.rig, moved.solution.rig)
    back = moved.after((Power("pow", trial.show.items["pow"].supply),))
    assert back is not None
    assert keeps_every_earth(moved.solution.rig, back.solution.rig)
    for finding in trial.judgement.worse_than_fine():
        edits = [edit for each in remedies_for(trial, finding) for edit in each.edits]
        assert Power("pow", "broken") not in edits


def test_a_lead_that_sums_two_sides_is_no_cure() -> None:
    """Resistors in a plug raise the impedance of the loop; they were soldered in for stereo."""
    trial = tried_text(
        """
        items:
          g: {type: guitar-electric-passive}
          a: {type: guitar-amp-transistor, supply: stage}
          desk: {type: mixer-compact, supply: foh}
          l: {type: loudspeaker-powered-12, supply: foh}
        links:
          - {from: g.out, to: a.in, via: [cable-jack 5 m]}
          - {from: a.record.out, to: desk.ch2.line, via: [cable-jack 20 m]}
          - {from: desk.main-left.out, to: l.in}
        supplies: {stage: {outlet: A, circuit: "1"}, foh: {outlet: B, circuit: "2"}}
        """
    )
    finding = next(each for each in trial.judgement.findings if each.code == HEARD)
    offered = [remedy.do for remedy in remedies_for(trial, finding)]
    assert offered
    assert not any("sum" in do for do in offered)
    assert any("isolator" in do for do in offered)


def test_a_lead_with_a_fault_is_changed_before_anything_is_put_in_the_line() -> None:
    """A broken wire makes a balanced line hum; a box for loudspeaker lines is no cure of that."""
    trial = tried_text(
        """
        items:
          mic: {type: mic-vocal-dynamic}
          desk: {type: mixer-analogue-16, supply: hall}
          pow: {type: loudspeaker-powered-12, supply: stage}
        sources: {anna: {type: voice-singer, at: mic}}
        links:
          - {from: mic.out, to: desk.ch1.mic, via: [cable-xlr 10 m]}
          - {from: desk.main-right.out, to: pow.in, via: [cable-xlr 20 m], pins: {2: open}}
        settings: {desk: {ch1: {gain: 40 dB}}}
        supplies:
          hall: {outlet: hall, circuit: "1"}
          stage: {outlet: stage, circuit: "2"}
        """
    )
    finding = next(each for each in trial.judgement.findings if each.where == "pow.in")
    moves = list(hum_cures(trial, finding))
    assert any(each.edits[-1].link.pins == {} for each in moves if isinstance(each.edits[-1], Plug))
    added = {one.item.type for each in moves for one in each.edits if isinstance(one, AddItem)}
    assert "isolator-line" in added
    assert "adaptor-loudspeaker-line" not in added
