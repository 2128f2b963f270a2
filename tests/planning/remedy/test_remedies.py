"""Remedies: every one that is offered was solved, and holds when it is done by hand."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Final

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import levelhead
from levelhead.gear.book import load_book
from levelhead.planning.remedy.offers import with_remedies
from levelhead.planning.remedy.outcome import new_findings
from levelhead.planning.remedy.remedies import MOST_OFFERED, remedies_for
from levelhead.planning.trial import Trial, try_show
from levelhead.show.document import load_show
from levelhead.show.edits import Lock, Plug, Set, Unplug, apply
from levelhead.show.model import Show
from levelhead.verdicts.told.finding import Finding, Remedy
from levelhead.verdicts.told.severity import Severity
from tests.chain.bench import Items, bench_show
from tests.verdicts.cases import CASES
from tests.verdicts.shows import tried_text

EXAMPLES: Final = Path(levelhead.__file__).parent / "examples"
BAD: Final = {Severity.FAILS, Severity.HARM}


@cache
def village_hall() -> Show:
    return load_show(str(EXAMPLES / "village-hall.yaml")).show


def bad_keys(trial: Trial) -> set[tuple[tuple[str, str], Severity]]:
    return {(each.key, each.severity) for each in trial.judgement.findings if each.severity in BAD}


def assert_holds(before: Trial, finding: Finding, remedy: Remedy) -> None:
    """Do it by hand on a fresh copy, and look."""
    show, _ = apply(before.show, remedy.edits)  # refuses a socket that is taken
    after = try_show(show, before.book)
    left = {each.key for each in after.judgement.worse_than_fine()}
    assert finding.key not in left, remedy.do
    assert bad_keys(after) <= bad_keys(before), remedy.do
    assert remedy.verdict_after.rank < finding.severity.rank
    for edit in remedy.edits:
        if isinstance(edit, Set):
            assert edit.address not in before.show.locks, remedy.do


def assert_all_hold(show: Show, trial: Trial) -> None:
    for finding in trial.judgement.worse_than_fine():
        remedies = remedies_for(trial, finding)
        assert len(remedies) <= MOST_OFFERED
        for remedy in remedies:
            assert_holds(trial, finding, remedy)
    assert trial.show == show


# ---------------------------------------------------------------- whatever the show


gains = st.integers(min_value=-20, max_value=60)
levels = st.integers(min_value=-70, max_value=20)


@settings(max_examples=25)
@given(
    levels=st.tuples(levels, levels, levels),
    gains=st.tuples(gains, gains, gains),
    ceiling_v=st.sampled_from([2, 9, 49]),
    locked=st.sets(st.sampled_from(["d.ch1.gain", "d.ch2.gain", "d.ch3.fader", "d.main"])),
    phantom=st.sampled_from(["off", "on"]),
)
def test_remedies_hold_on_any_bench(
    levels: tuple[int, int, int],
    gains: tuple[int, int, int],
    ceiling_v: int,
    locked: set[str],
    phantom: str,
) -> None:
    """Levels, gains, locks at random; an output that may harm, a box that may be dead."""
    tones: Items = {
        f"t{n}": ("tone", {"generator.level": f"{level} dBu"}) for n, level in enumerate(levels, 1)
    }
    items: Items = {
        **tones,
        "amp": ("tone", {"output.ceiling": f"{ceiling_v} V", "generator.level": "0 dBu"}),
        "f": "frail",
        "b": "powered",
        "p": "phantom-desk",
        "d": "desk",
    }
    links = [(f"t{n}.out", f"d.ch{n}.line") for n in (1, 2, 3)]
    show = bench_show(
        items,
        [*links, ("amp.out", "f.in"), ("b.out", "p.ch1.mic")],
        settings={
            "p.phantom": phantom,
            **{f"d.ch{n}.gain": f"{gain} dB" for n, gain in enumerate(gains, 1)},
        },
        locks=locked,
    )
    assert_all_hold(show, try_show(show, CASES))


@settings(max_examples=6)
@given(
    gain=st.integers(min_value=0, max_value=60),
    volume=st.integers(min_value=-60, max_value=0),
    main=st.integers(min_value=-30, max_value=10),
    locked=st.sets(st.sampled_from(["desk.phantom", "desk.ch1.gain", "laptop.volume"])),
)
def test_remedies_hold_in_the_village_hall(
    gain: int, volume: int, main: int, locked: set[str]
) -> None:
    """The demo with other settings and some controls locked."""
    edits = [
        Set("desk.ch1.gain", f"{gain} dB"),
        Set("laptop.volume", f"{volume} dB"),
        Set("desk.main", f"{main} dB"),
        *(Lock(address) for address in sorted(locked)),
    ]
    show, _ = apply(village_hall(), edits)
    assert_all_hold(show, try_show(show, load_book()))


# ---------------------------------------------------------------- which, and how many


def troubled(gain: str = "-20 dB", **more: str) -> Trial:
    """A weak tone whose gain is set far too low."""
    items: Items = {"t": ("tone", {"generator.level": "-36 dBu"}), "d": "desk"}
    set_ = {"d.ch1.gain": gain, **{f"d.{name}": text for name, text in more.items()}}
    return try_show(bench_show(items, [("t.out", "d.ch1.line")], settings=set_), CASES)


def the(trial: Trial, code: str) -> Finding:
    (finding,) = (each for each in trial.judgement.worse_than_fine() if each.code == code)
    return finding


def test_a_gain_goes_to_its_planned_place() -> None:
    trial = troubled()
    (remedy,) = remedies_for(trial, the(trial, "enough.set-too-low"))
    assert remedy.edits == (Set("d.ch1.gain", "40 dB"),)
    assert remedy.verdict_after is Severity.FINE


def test_a_gain_that_would_clip_what_follows_takes_its_fader_down_with_it() -> None:
    """The common way: gain to its place, fader down by as much; no plug is moved for a knob."""
    trial = tried_text(
        """
        items:
          k: {type: mic-kick-dynamic}
          d: {type: mixer-compact}
          b: {type: loudspeaker-powered-12}
        sources: {drum: {type: sound-kick, at: k}}
        links: [{from: k.out, to: d.ch1.mic}, {from: d.main-left.out, to: b.in}]
        settings: {d: {main: 10 dB, ch1: {gain: 10 dB}}}
        """
    )
    alone = trial.after((Set("d.ch1.gain", "29 dB"),))
    assert alone is not None
    assert any(each.severity is Severity.CARE for each in new_findings(trial, alone))
    (remedy,) = remedies_for(trial, the(trial, "enough.set-too-low"))
    assert remedy.edits == (Set("d.ch1.gain", "29 dB"), Set("d.ch1.fader", "-19 dB"))
    assert remedy.verdict_after is Severity.FINE


def test_too_little_from_a_mix_is_mended_in_that_mix() -> None:
    """A delay on a group: the group goes up by what is missing, not the voice's gain to its end."""
    trial = tried_text(
        """
        items:
          v: {type: mic-vocal-dynamic}
          d: {type: mixer-analogue-16}
          e: {type: delay-unit}
          b: {type: loudspeaker-powered-12}
        sources: {voice: {type: voice-singer, at: v}}
        links:
          - {from: v.out, to: d.ch1.mic}
          - {from: d.group1.out, to: e.in, via: [lead-jack-balanced-xlr 2 m]}
          - {from: e.out-1, to: b.in, via: [cable-xlr 20 m]}
        settings:
          d: {ch1: {gain: 35 dB, group1: on, to-main: off}, group1: {fader: -25 dB}}
        """
    )
    first, *others = remedies_for(trial, the(trial, "enough.too-low"))
    (turn,) = first.edits
    assert isinstance(turn, Set)
    assert turn.address == "d.group1.fader"
    assert first.verdict_after is Severity.FINE
    assert all(
        edit.address != "d.ch1.gain"
        for each in others
        for edit in each.edits
        if isinstance(edit, Set)
    )
    assert not any(isinstance(edit, Plug) for each in others for edit in each.edits)


def test_of_several_settings_of_one_control_the_first_is_offered() -> None:
    """Turned down with 6 dB of reserve, not also with 1 dB."""
    trial = troubled("60 dB")
    turned = [
        edit.address
        for remedy in remedies_for(trial, the(trial, "enough.clips-as-set"))
        for edit in remedy.edits
        if isinstance(edit, Set)
    ]
    assert len(turned) == len(set(turned))


def test_what_is_fine_gets_no_remedies() -> None:
    trial = troubled("40 dB")
    assert all(not each.remedies for each in with_remedies(trial, trial.judgement.findings))


def test_a_locked_control_is_not_turned() -> None:
    show, _ = apply(troubled("60 dB").show, [Lock("d.ch1.gain")])
    trial = try_show(show, CASES)
    for remedy in remedies_for(trial, the(trial, "enough.clips-as-set")):
        assert all(edit.address != "d.ch1.gain" for edit in remedy.edits if isinstance(edit, Set))


def test_nobody_else_falls_silent_for_a_remedy() -> None:
    """Pulling the plug of what clips would also remove the finding."""
    trial = try_show(village_hall(), load_book())
    heard = {way[0] for way in trial.solution.paths}
    for finding in with_remedies(trial, trial.judgement.findings):
        for remedy in finding.remedies:
            after = trial.after(remedy.edits)
            assert after is not None
            assert heard <= {way[0] for way in after.solution.paths}, remedy.do


def test_the_demos_mistakes_have_the_remedies_of_common_practice() -> None:
    """The link output, the phantom switch, the laptop's volume."""
    trial = try_show(village_hall(), load_book())
    first = {
        each.code: each.remedies[0]
        for each in with_remedies(trial, trial.judgement.findings)
        if each.remedies
    }
    plug = next(edit for edit in first["harm.level"].edits if isinstance(edit, Plug))
    assert plug.link.ends == {"a": "amp-wedges.ch2.link", "b": "foyer.in"}
    assert first["phantom.missing"].edits == (Set("desk.phantom", "on"),)
    assert first["enough.too-low"].edits == (Set("laptop.volume", "0 dB"),)


def test_a_move_of_a_plug_is_told_as_a_plug() -> None:
    """Nobody needs to be told to unplug first."""
    trial = try_show(village_hall(), load_book())
    (remedy, *_) = remedies_for(trial, the(trial, "harm.level"))
    assert any(isinstance(edit, Unplug) for edit in remedy.edits)
    assert remedy.do.startswith("Plug ")
    assert "Unplug" not in remedy.do


@pytest.mark.parametrize("code", ["harm.level", "phantom.missing"])
def test_remedies_are_the_same_however_often_they_are_asked_for(code: str) -> None:
    trial = try_show(village_hall(), load_book())
    finding = the(trial, code)
    assert remedies_for(trial, finding) == remedies_for(trial, finding)
