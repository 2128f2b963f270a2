"""Knobs that stand wrong at several strips: what holds for all in one copy is as if tried alone."""

from __future__ import annotations

from typing import Any

import pytest

from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.gear.book import load_book
from levelhead.planning.remedy.offers import with_remedies
from levelhead.planning.remedy.remedies import remedies_for
from levelhead.planning.remedy.together import turned_together
from levelhead.planning.trial import Trial, try_show
from levelhead.show.document import parse_show
from levelhead.show.edits import Edit, Set
from levelhead.verdicts.enough.gain import SET_TOO_LOW
from levelhead.verdicts.told.finding import Finding

HEAD = """
levelhead: 1
show: {name: Choir}
items:
  desk: {type: mixer-digital-32}
  left: {type: loudspeaker-powered-12}
"""


def choir(voices: int, *, fader_db: float, level_db: float = -20) -> Trial:
    """So many vocal microphones with their gains 20 dB too low."""
    numbers = range(1, voices + 1)
    lines = [
        HEAD,
        *(f"  mic-{n}: {{type: mic-vocal-dynamic}}" for n in numbers),
        "sources:",
        *(f"  voice-{n}: {{type: voice-singer, at: mic-{n}}}" for n in numbers),
        "links:",
        "  - {from: desk.main-left.out, to: left.in, via: [cable-xlr 20 m]}",
        *(
            f"  - {{from: mic-{n}.out, to: desk.ch{n}.mic, via: [cable-xlr {5 + n} m]}}"
            for n in numbers
        ),
        "settings:",
        f"  left: {{level: {level_db:g} dB}}",
        "  desk:",
        "    main: 0 dB",
        *(f"    ch{n}: {{gain: 15 dB, fader: {fader_db:g} dB}}" for n in numbers),
    ]
    return try_show(parse_show("\n".join(lines), "choir").show, load_book())


def low(trial: Trial) -> list[Finding]:
    """Gains that stand too low."""
    return [each for each in trial.judgement.worse_than_fine() if each.code == SET_TOO_LOW]


def offered(trial: Trial) -> dict[str, list[tuple[Edit, ...]]]:
    """What is offered for each gain when the whole show is searched."""
    found = with_remedies(trial, trial.judgement.findings)
    low_ones = (each for each in found if each.code == SET_TOO_LOW)
    return {each.where: [remedy.edits for remedy in each.remedies] for each in low_ones}


def alone(trial: Trial) -> dict[str, list[tuple[Edit, ...]]]:
    """What is offered for each gain when it is searched by itself."""
    return {
        each.where: [remedy.edits for remedy in remedies_for(trial, each)] for each in low(trial)
    }


@pytest.mark.parametrize("voices", [2, 5])
def test_low_gains_are_mended_in_one_copy(voices: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """One copy mends them all, no other is solved, and each is offered what it is alone."""
    trial = choir(voices, fader_db=-20)
    assert len(low(trial)) == voices
    solved: list[Solution] = []

    def counted(*given: Any) -> Solution:
        solved.append(solve(*given))
        return solved[-1]

    with monkeypatch.context() as patched:
        patched.setattr("levelhead.planning.trial.solve", counted)
        found = offered(trial)
    assert len(solved) == 1
    assert found == alone(choir(voices, fader_db=-20))
    assert all(found.values())


def test_gains_that_are_too_much_together_are_tried_alone() -> None:
    """One voice at its place has room in the mix, six have not: no lot holds that overruns it."""
    trial = choir(6, fader_db=8, level_db=-5)
    assert len(low(trial)) == 6
    assert len(turned_together(trial, low(trial))) < 6
    assert offered(trial) == alone(trial)


def test_turns_of_one_knob_are_not_tried_together() -> None:
    """Two findings whose remedy is the same knob are no lot: one of them is enough to mend both."""
    trial = choir(2, fader_db=-20)
    twice = [low(trial)[0], low(trial)[0]]
    assert turned_together(trial, twice) == {}


def test_each_turn_is_its_own() -> None:
    """What is offered for a strip turns nothing of another strip."""
    for where, remedies in offered(choir(4, fader_db=-20)).items():
        strip = where.rpartition(".")[0]
        for edits in remedies:
            assert all(
                isinstance(edit, Set) and edit.address.startswith(strip + ".") for edit in edits
            )
