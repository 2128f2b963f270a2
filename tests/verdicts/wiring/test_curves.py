"""The curve of records: played back once, by whatever it is plugged into."""

from __future__ import annotations

import pytest

from levelhead.gear.book import load_book
from levelhead.planning.remedy.remedies import remedies_for
from levelhead.planning.trial import Trial, try_show
from levelhead.show.document import parse_show
from levelhead.verdicts.told.finding import Finding
from levelhead.verdicts.told.severity import Severity
from levelhead.verdicts.wiring.curves import CURVE
from tests.bench import types_of
from tests.verdicts.shows import tried_text, worst_of

DECKS = """
    items:
      deck: {type: DECK}
      pre: {type: preamp-phono}
      desk: {type: mixer-compact-8}
      box: {type: loudspeaker-powered-12}
    links:
      - {from: deck.out-left, to: PLAYS-left, via: [CABLE 1 m]}
      - {from: deck.out-right, to: PLAYS-right, via: [CABLE 1 m]}
      - {from: desk.main-left.out, to: box.in, via: [cable-xlr 10 m]}
      MORE
    """
ONWARD = """- {from: pre.out-left, to: desk.st1.in-left, via: [lead-phono-jack 3 m]}
      - {from: pre.out-right, to: desk.st1.in-right, via: [lead-phono-jack 3 m]}"""


def decks(deck: str, *, played: bool) -> str:
    """A turntable into a desk, by a phono preamplifier or straight."""
    text = DECKS.replace("DECK", deck).replace("MORE", ONWARD if played else "")
    plays, cable = ("pre.in", "cable-phono") if played else ("desk.st1.in", "lead-phono-jack")
    return text.replace("PLAYS", plays).replace("CABLE", cable)


def curve(text: str) -> Finding:
    found = worst_of(text, CURVE)
    assert found is not None
    return found


def codes(trial: Trial) -> set[str]:
    """Of all that somebody would act on."""
    return {each.code for each in trial.judgement.worse_than_fine()}


@pytest.mark.parametrize(("deck", "played"), [("turntable", True), ("turntable-line", False)])
def test_a_groove_that_is_played_once_is_not_told(deck: str, *, played: bool) -> None:
    assert worst_of(decks(deck, played=played), CURVE) is None


@pytest.mark.reference(
    "RIAA 1954 and IEC 60098: table of playback, +17.0 dB at 50 Hz, -13.7 at 10 kHz"
)
@pytest.mark.parametrize(
    ("deck", "played", "sign"), [("turntable", False, -1), ("turntable-line", True, 1)]
)
def test_what_is_left_of_the_curve_is_that_of_the_table(
    deck: str, sign: int, *, played: bool
) -> None:
    """Bands are a third of an octave wide: what is even in them is within 0.2 dB of the middle."""
    found = curve(decks(deck, played=played))
    assert found.severity is Severity.FAILS
    bass, treble = found.why
    assert bass.value == pytest.approx(sign * 17.0, abs=0.2)
    assert treble.value == pytest.approx(sign * -13.7, abs=0.2)


def test_a_groove_into_a_line_input_is_offered_a_phono_preamplifier_and_no_di_box() -> None:
    trial = tried_text(decks("turntable", played=False))
    found = next(each for each in trial.judgement.findings if each.code == CURVE)
    offered = [each.do for each in remedies_for(trial, found)]
    assert offered
    assert all("preamp-phono" in each for each in offered)
    assert "too weak for that input besides" in found.what
    assert not [each for each in trial.judgement.worse_than_fine() if each.family == "loading"]


def test_what_is_played_twice_leaves_the_preamplifier_out_on_both_sides() -> None:
    trial = tried_text(decks("turntable-line", played=True))
    found = next(each for each in trial.judgement.findings if each.code == CURVE)
    first, *_ = remedies_for(trial, found)
    assert "deck.out-left into desk.st1.in-left" in first.do
    assert "deck.out-right into desk.st1.in-right" in first.do
    assert "Its peaks clip there by" in found.what
    assert "enough.clips-as-set" not in codes(trial)
    mended = trial.after(first.edits)
    assert mended is not None
    assert not {CURVE, "enough.clips-as-set", "enough.too-high"} & codes(mended)


BY_OWN_BOX = """
levelhead: 1
show: {name: records}
items: {deck: {type: turntable}, box: {type: box}, pre: {type: preamp-phono},
        desk: {type: mixer-compact-8}}
links:
  - {from: deck.out-left, to: box.in, via: [cable-phono 1 m]}
  - {from: box.out, to: pre.in-left, via: [cable-phono 1 m]}
  - {from: pre.out-left, to: desk.st1.in-left, via: [lead-phono-jack 3 m]}
"""


def through_own_box(stage: str) -> Finding | None:
    """A turntable through a box of one's own and a phono preamplifier into a desk."""
    own = f"""
        box:
          label: Box
          kind: processor
          source: measured
          earth: class-2
          ports:
            in: {{socket: phono, role: in, circuit: unbalanced-input, impedance: 47 kohm}}
            out: {{socket: phono, role: out, circuit: single-ended-output, impedance: 470 ohm}}
          path: {{from: in, stages: [{stage}], to: out}}
        """
    trial = try_show(parse_show(BY_OWN_BOX, "own").show, load_book().extended(types_of(own)))
    found = (each for each in trial.judgement.findings if each.code == CURVE)
    return next(found, None)


CUTS = "{stage: one, curve: cut, filters: [{filter: low-shelf, corner: 158 Hz, gain: -20 dB}]}"


def test_what_is_cut_twice_and_played_once_is_still_cut() -> None:
    """The stage that nothing plays back is told in its own decibels: 20 dB less below its shelf."""
    found = through_own_box(CUTS)
    assert found is not None
    assert "as it is cut in the groove" in found.what
    bass, treble = found.why
    assert bass.value is not None
    assert bass.value < -15
    assert treble.value == pytest.approx(0.0, abs=0.5)


def test_a_stage_that_bends_nothing_is_not_told() -> None:
    """Marked in an entry of one's own, without a filter: nobody hears a curve."""
    assert through_own_box("{stage: one, curve: played}") is None


def test_a_turntable_that_is_plugged_nowhere_says_nothing() -> None:
    assert worst_of("items: {deck: {type: turntable}}", CURVE) is None
