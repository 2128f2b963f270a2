"""What a question leaves open, put at its place."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from levelhead.gear.book import load_book
from levelhead.planning.moves.controls import turns
from levelhead.planning.settle import Branch, free_switches, settled
from levelhead.planning.trial import Trial, try_show
from levelhead.show.edits import Set
from levelhead.show.model import Cable, Item, Link, Show, Source
from levelhead.verdicts.told.severity import Severity
from tests.chain.bench import Items, bench_show
from tests.verdicts.cases import CASES

NOTHING: frozenset[str] = frozenset()
LINKS = [("t.out", "d.ch1.line")]


def toned(level: str, **settings: str) -> Trial:
    items: Items = {
        "t": ("tone", {"generator.level": level, "output.ceiling": "+60 dBu"}),
        "d": "desk",
    }
    told = {f"d.{name.replace('_', '.')}": text for name, text in settings.items()}
    return try_show(bench_show(items, LINKS, settings=told), CASES)


@given(level=st.integers(min_value=-55, max_value=20), gain=st.integers(-20, 60))
def test_gains_go_to_their_place_from_anywhere(level: int, gain: int) -> None:
    """Nominal at the meter's zero; nothing clips, nothing is left to turn."""
    after = settled(toned(f"{level} dBu", ch1_gain=f"{gain} dB"), NOTHING)
    assert after.solution.levels("d.ch1.preamp").nominal == pytest.approx(4.0, abs=0.06)
    assert after.judgement.worse_than_fine() == () or level < -48  # near the end of its travel
    assert settled(after, NOTHING) is after


def test_a_gain_that_was_chosen_stays() -> None:
    after = settled(toned("-36 dBu", ch1_gain="0 dB"), frozenset({"d.ch1.gain"}))
    assert after.solution.rig.setting_db("d.ch1.gain") == 0.0


def test_what_still_clips_is_relieved_by_the_nearest_open_control() -> None:
    """Fader up 10 dB over a nominal +4 dBu: the fader itself is what stands too high."""
    after = settled(toned("+4 dBu", ch1_fader="10 dB"), NOTHING)
    levels = after.solution.levels("d.ch1.fader")
    assert levels.headroom == pytest.approx(6.0, abs=0.06)
    assert after.solution.rig.setting_db("d.ch1.gain") == 0.0


def test_what_harms_is_not_made_to_look_better() -> None:
    items: Items = {
        "t": ("tone", {"generator.level": "+30 dBu", "output.ceiling": "49 V"}),
        "d": ("desk", {"ch1.line.damage": "10 V"}),
    }
    trial = try_show(bench_show(items, LINKS, settings={"d.ch1.fader": "10 dB"}), CASES)
    assert settled(trial, NOTHING).solution.rig.setting_db("d.ch1.fader") == 10.0


# ---------------------------------------------------------------- transmitters


def wireless(sensitivity: str, distance_m: float = 0.05, **settings: str) -> Trial:
    """A singer with a wireless set on a mic input."""
    show = Show(
        "wireless",
        items={"tx": Item("tx", "wireless-handheld"), "desk": Item("desk", "mixer-compact")},
        sources={"anna": Source("anna", "voice-singer", "tx", distance_m)},
        links=(Link({"a": "tx.out", "b": "desk.ch1.mic"}, (Cable("cable-xlr", 3.0),)),),
        settings={"tx.sensitivity": sensitivity} | settings,
    )
    return try_show(show, load_book())


@pytest.mark.parametrize("sensitivity", ["-30 dB", "-10 dB", "0 dB"])
def test_a_transmitter_goes_6_db_under_its_own_ceiling_from_anywhere(sensitivity: str) -> None:
    """And the desk's gain does the rest."""
    after = settled(wireless(sensitivity), NOTHING)
    assert after.solution.levels("tx.deviation").headroom == pytest.approx(6.0, abs=0.06)
    assert after.solution.levels("desk.ch1.preamp").nominal == pytest.approx(4.0, abs=0.06)


def test_a_transmitter_does_not_help_a_desk_that_clips() -> None:
    """With the desk's fader up, the fader comes down and the transmitter stays."""
    after = settled(wireless("-10 dB", **{"desk.ch1.fader": "10 dB"}), NOTHING)
    assert after.solution.levels("tx.deviation").headroom == pytest.approx(6.0, abs=0.06)
    assert after.solution.levels("desk.ch1.fader").headroom == pytest.approx(6.0, abs=0.06)


def test_a_transmitter_that_was_chosen_stays() -> None:
    after = settled(wireless("-30 dB"), frozenset({"tx.sensitivity"}))
    assert after.solution.rig.setting_db("tx.sensitivity") == -30.0


def test_too_much_at_the_desk_is_not_offered_the_transmitter() -> None:
    """Remedies for the mic input that is too hot: the receiver's switch or another socket."""
    trial = wireless("-13 dB", **{"desk.ch1.gain": "20 dB"})
    edits = [
        edit
        for finding in trial.judgement.findings
        if finding.where.startswith("desk")
        for candidate in turns(trial, finding)
        for edit in candidate.edits
    ]
    assert not any(isinstance(each, Set) and each.address == "tx.sensitivity" for each in edits)


# ---------------------------------------------------------------- switches


def boxed(phantom: str | None = None) -> Trial:
    items: Items = {"t": "tone", "b": "powered", "p": "phantom-desk"}
    told = {} if phantom is None else {"p.phantom": phantom}
    links = [("t.out", "b.in"), ("b.out", "p.ch1.mic")]
    return try_show(bench_show(items, links, settings=told), CASES)


def test_every_open_switch_that_would_do_is_named() -> None:
    after, branches = free_switches(boxed(), NOTHING)
    assert after.judgement.verdict is Severity.FINE
    assert [(each.input, each.taken) for each in branches] == [
        ("b.battery", "fitted"),
        ("p.phantom", "on"),
    ]
    assert {each.step for each in branches} == {0}
    assert branches[0].else_ == "b needs phantom power and gets none: it is dead."


def test_a_switch_that_was_chosen_is_not_tried() -> None:
    _, branches = free_switches(boxed("off"), frozenset({"p.phantom"}))
    assert [each.input for each in branches] == ["b.battery"]


def test_where_nothing_fails_no_switch_is_tried() -> None:
    trial = boxed("on")
    assert free_switches(trial, NOTHING) == (trial, ())


def test_two_switches_are_needed_for_two_dead_boxes() -> None:
    """One battery each: the second step is taken on top of the first."""
    items: Items = {"t": "tone", "u": "tone", "a": "powered", "b": "powered", "d": "desk"}
    links = [("t.out", "a.in"), ("u.out", "b.in"), ("a.out", "d.ch1.line"), ("b.out", "d.ch2.line")]
    after, branches = free_switches(try_show(bench_show(items, links), CASES), NOTHING)
    assert after.judgement.verdict is Severity.FINE
    assert {each.step for each in branches} == {0, 1}
    assert {each.input for each in branches} == {"a.battery", "b.battery"}


def test_a_branch_says_itself() -> None:
    branch = Branch("p.phantom", (("off", Severity.FAILS), ("on", Severity.FINE)))
    assert branch.says == "p.phantom: off fails, on is fine"
    assert branch.to_json() == {
        "input": "p.phantom",
        "says": "p.phantom: off fails, on is fine",
        "branches": [
            {"value": "off", "verdict": "fails"},
            {"value": "on", "verdict": "fine"},
        ],
        "best": "on",
        "ask": "Where does p.phantom stand?",
    }
