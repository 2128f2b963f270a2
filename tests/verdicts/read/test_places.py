"""What outlives an edit: stamps of points, findings kept by place, readings that are held."""

from __future__ import annotations

import gc
from functools import cache
from typing import Final
from weakref import ref

from benchmarks.shows import book_for, show_text
from levelhead.chain.solve import solve
from levelhead.planning.trial import Trial, try_show
from levelhead.rig.build import build_rig
from levelhead.show.document import parse_show
from levelhead.show.edits import Edit, Recable, Set, apply
from levelhead.show.model import Cable
from levelhead.verdicts.enough.gain import check_gain_is_enough
from levelhead.verdicts.read.kept import MOST_HELD, Told

CHANNELS: Final = 12
BOOK: Final = book_for(CHANNELS)


@cache
def before() -> Trial:
    """A desk full of microphones and keyboards, judged."""
    trial = try_show(parse_show(show_text(CHANNELS), "row").show, BOOK)
    assert trial.judgement
    return trial


def after(edit: Edit) -> Trial:
    """The same after an edit, judged."""
    trial = before().after([edit])
    assert trial is not None
    assert trial.judgement
    return trial


def told(trial: Trial) -> list[Told]:
    """What all rules that judge place by place said."""
    return [each for places in trial.found.kept.by_rule.values() for each in places.values()]


def newly_stamped(trial: Trial) -> set[str]:
    """Points that something has changed since the first judgement."""
    stamps, addresses = trial.reading.stamps, trial.solution.graph.wiring.addresses
    return {
        address
        for address, number in zip(addresses, stamps.points.tolist(), strict=True)
        if number == stamps.number
    }


def test_a_turned_gain_changes_its_strip_and_what_lies_behind() -> None:
    """The strip beside it and the input before it stay as they are."""
    changed = newly_stamped(after(Set("desk.ch3.gain", "31 dB")))
    assert {"desk.ch3.preamp", "desk.ch3.fader", "left.driver"} <= changed
    assert not {"desk.ch3.mic", "desk.ch4.preamp", "desk.ch4.fader"} & changed


def test_a_fader_pulled_down_changes_what_lies_behind() -> None:
    """The way is shut; strips beside it stay as they are."""
    changed = newly_stamped(after(Set("desk.ch3.fader", "off")))
    assert {"desk.ch3.fader", "left.driver"} <= changed
    assert not {"desk.ch3.preamp", "desk.ch4.preamp", "desk.ch4.fader"} & changed


def test_another_cable_changes_what_it_leads_to() -> None:
    """Its far end, the strip there and what lies behind, no other strip."""
    changed = newly_stamped(after(Recable("desk.ch3.mic", (Cable("cable-xlr", 40.0),))))
    assert {"desk.ch3.mic", "desk.ch3.preamp", "left.driver"} <= changed
    assert not {"desk.ch4.mic", "desk.ch4.preamp"} & changed


def test_a_switch_stamps_every_point() -> None:
    """Where ways open or close nothing is taken for granted."""
    moved = after(Set("desk.phantom", "off"))
    assert len(newly_stamped(moved)) == len(moved.solution.nominal)


def test_strips_that_an_edit_leaves_alone_are_not_judged_again() -> None:
    """After a turned gain, one strip of the desk has new findings."""
    turned = after(Set("desk.ch3.gain", "31 dB"))
    places = turned.found.kept.by_rule[check_gain_is_enough]
    fresh = [name for name, each in places.items() if each.number == turned.reading.stamps.number]
    assert len(places) == CHANNELS
    assert fresh == [("desk.ch3.mic", "desk.ch3.preamp")]


def test_one_place_asked_alone_says_what_the_whole_rule_says() -> None:
    """A trial asks whether one finding is gone, and no other place."""
    trial = before().after([Set("desk.ch3.gain", "12 dB")])
    assert trial is not None
    alone = [each.to_json() for each in trial.found.at(check_gain_is_enough, "desk.ch3.mic")]
    whole = [each.to_json() for each in trial.found.by(check_gain_is_enough)]
    assert alone == [each for each in whole if each["where"] == "desk.ch3.mic"]
    assert alone


def test_a_long_evening_of_edits_holds_few_readings() -> None:
    """Findings keep the solution that they were made from: only so many are kept."""
    line = [before()]
    for number in range(1, CHANNELS + 1):
        trial = line[-1].after([Set(f"desk.ch{number}.gain", f"{20 + number} dB")])
        assert trial is not None
        line.append(trial)
        assert trial.judgement
    held = {each.number for each in told(line[-1])}
    assert len(held) <= MOST_HELD + 1
    fresh = try_show(line[-1].show, BOOK).judgement.findings
    assert [each.to_json() for each in line[-1].judgement.findings] == [
        each.to_json() for each in fresh
    ]


def test_solutions_of_long_ago_are_let_go() -> None:
    """As the app edits: each trial follows the last, and nobody has the ones before."""
    trial = try_show(parse_show(show_text(CHANNELS), "row").show, BOOK)
    solutions = [ref(trial.solution)]
    for number in range(2 * CHANNELS):
        assert trial.judgement
        edit = Set(f"desk.ch{number % CHANNELS + 1}.gain", f"{20 + number} dB")
        show, _ = apply(trial.show, [edit])
        solution = solve(build_rig(show, BOOK, previous=trial.solution.rig), trial.solution)
        after = Trial(show, BOOK, solution, ref(trial), trial.islands)
        assert after.judgement
        trial = after
        solutions.append(ref(trial.solution))
    gc.collect()
    alive = sum(each() is not None for each in solutions)
    assert alive <= 2 * (MOST_HELD + 1)  # those of kept findings, each with the hum before it
