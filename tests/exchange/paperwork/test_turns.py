"""The order of switching on paper: that of the finding, and nothing loud before what feeds it."""

from __future__ import annotations

import pytest

from levelhead.exchange.paperwork.turns import turns_of
from levelhead.exchange.paperwork.work import Paperwork
from levelhead.exchange.sheets.start_up import START_UP
from levelhead.exchange.sound_check import sound_check
from levelhead.planning.check import Check
from levelhead.verdicts.people.words import SWITCHING
from tests.paper.shows import checked
from tests.verdicts.shows import tried_text

PUB = """
    items:
      vox: {type: mic-vocal-condenser, label: Vox}
      desk: {type: mixer-powered, label: Desk}
      box: {type: loudspeaker-passive-10}
      echo: {type: effect-unit, label: Echo}
    sources: {anna: {type: voice-singer, at: vox}}
    links:
      - {from: vox.out, to: desk.ch1.mic, via: [cable-xlr 5 m]}
      - {from: desk.monitor.out, to: echo.in, via: [cable-jack 3 m]}
      - {from: echo.out, to: desk.ch2.line, via: [cable-jack 3 m]}
      - {from: desk.power-left.out, to: box.in, via: [cable-loudspeaker-1-5 10 m]}
    settings: {desk: {phantom: on, ch1: {fader: 0 dB, monitor: 0 dB}, ch2: {fader: 0 dB}}}
"""


SHOWS = ("church-band.yaml", "classroom.yaml", "odd-leads.yaml", "pub-duo.yaml", "wedding.yaml")


def pub() -> Paperwork:
    trial = tried_text(PUB)
    return Paperwork(Check(trial.judgement.verdict, trial.judgement.findings, (), trial))


def order_told(work: Paperwork) -> str:
    """The sentence of the finding."""
    (found,) = [each for each in work.check.findings if each.code == SWITCHING]
    return found.what


def steps(work: Paperwork, part: str) -> list[str]:
    return [row["do"] for row in START_UP.rows(work) if row["part"] == part]


def at(told: list[str], word: str) -> int:
    """Which step is the first with a word."""
    return next(number for number, do in enumerate(told) if word in do)


@pytest.mark.parametrize("name", SHOWS)
def test_paper_switches_on_last_what_the_finding_calls_last(name: str) -> None:
    """Every item of the show has one turn, and nobody reads two orders."""
    work = Paperwork(checked(name))
    turns = turns_of(work)
    told = order_told(work).partition(";")[0]
    first, _, last = told.rpartition(", and ")
    drivers = [work.called(item) for item in turns.drivers]
    assert last.startswith(drivers[0])
    assert not any(f" {driver}," in first for driver in drivers)
    all_turns = (turns.batteries, turns.before, turns.mixers, turns.behind, turns.drivers)
    everything = [item.id for turn in all_turns for item in turn]
    assert len(everything) == len(set(everything))


def test_an_effect_in_the_loop_of_a_mixer_with_amplifiers_is_on_before_it() -> None:
    """The mixer drives the loudspeaker: what comes up after it would be heard."""
    turns = turns_of(pub())
    assert [item.id for item in turns.drivers] == ["desk"]
    assert [item.id for item in turns.behind] == ["echo"]
    assert not turns.mixers
    assert "Switch on Echo, and Desk last" in order_told(pub())


def test_phantom_power_waits_for_the_mixer_that_feeds_it() -> None:
    """On behind the mixer, off before it, and never in between."""
    on, off = steps(pub(), "Start-up"), steps(pub(), "Shut-down")
    assert at(on, "Echo") < at(on, "mixers with amplifiers in them on: Desk") < at(on, "48 V on")
    assert at(off, "48 V off") < at(off, "mixers with amplifiers in them off: Desk")


def test_the_channels_of_such_a_mixer_are_no_levels_of_loudspeakers() -> None:
    told = [each.do for each in sound_check(pub()).steps if each.part == "at-rest"]
    assert not any("up to their marks" in do and "Desk" in do for do in told)
    assert any(do.startswith("Desk, masters: ") and "main level" in do for do in told)


def test_of_two_drivers_the_one_that_is_fed_comes_up_after_and_goes_off_before() -> None:
    """A mixer with amplifiers and its wedge: the wedge would hear the mixer."""
    work = Paperwork(checked("pub-duo.yaml"))
    on, off = steps(work, "Start-up"), steps(work, "Shut-down")
    assert at(on, "on: desk") < at(on, "Then: wedge")
    (last,) = [do for do in off if do.startswith("First, ")]
    assert last.index(" wedge.") < last.index(" Then: desk.")
    assert "off the other way round, wedge and desk first" in order_told(work)
    by_hand = [each.do for each in sound_check(work).steps]
    assert "Last: desk, then wedge." in by_hand
    assert "First off: wedge, then desk. Wait until they are silent." in by_hand
