"""What a trial keeps of the show before an edit says the same as a fresh start."""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path
from typing import Final

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from levelhead.gear.book import load_book
from levelhead.planning.remedy.outcome import new_findings
from levelhead.planning.trial import Trial, try_show
from levelhead.rig.settings import setting_text
from levelhead.show.document import load_show
from levelhead.show.edits import Edit, Recable, Set, Unplug
from levelhead.show.model import Cable
from levelhead.verdicts.told.severity import Severity
from tests.random_rigs import random_rig

RIGS: Final = Path(__file__).parents[1] / "rigs"
SHOWS: Final = ("church-band", "panel-line", "pub-duo", "shop-opening", "quiet-disco")


@cache
def before(name: str) -> Trial:
    """A show of the folder, judged: what it found is there to be kept."""
    trial = try_show(load_show(RIGS / f"{name}.yaml").show, load_book())
    assert trial.judgement
    return trial


@st.composite
def edited(draw: st.DrawFn) -> tuple[Trial, Trial]:
    """A show before and after a switch, a turned control, a plug or another cable."""
    trial = before(draw(st.sampled_from(SHOWS)))
    rig, links = trial.solution.rig, trial.show.links
    switches = [address for address, each in rig.controls.items() if each.kind == "switch"]
    plain = [link for link in links if len(link.via) == 1 and set(link.ends) == {"a", "b"}]
    edits: list[st.SearchStrategy[Edit]] = [st.sampled_from([Unplug(link) for link in links])]
    if switches:
        address = draw(st.sampled_from(switches))
        options = [Set(address, option) for option in rig.controls[address].options]
        edits.append(st.sampled_from(options))
    turned = [address for address, each in rig.controls.items() if each.kind == "range"]
    if turned:
        address = draw(st.sampled_from(turned))
        plan = rig.controls[address]
        edits.append(st.just(Set(address, setting_text((plan.low + plan.high) / 2, plan))))
    if plain:
        link = draw(st.sampled_from(plain))
        edits.append(st.just(Recable(link.ends["b"], (Cable(link.via[0].type, 37.0),))))
    after = trial.after([draw(st.one_of(edits))])
    return trial, trial if after is None else after


@settings(max_examples=8, deadline=None)
@given(both=edited())
def test_findings_after_an_edit_are_those_of_a_fresh_start(both: tuple[Trial, Trial]) -> None:
    """All fields of all findings, and their order."""
    _, after = both
    fresh = try_show(after.show, load_book())
    kept_json, fresh_json = (
        [each.to_json() for each in trial.judgement.findings] for trial in (after, fresh)
    )
    assert kept_json == fresh_json


@settings(max_examples=6, deadline=None)
@given(seed=st.integers(0, 10_000), steps=st.lists(st.integers(0, 10_000), min_size=2, max_size=3))
def test_findings_after_a_row_of_edits_on_a_random_rig_are_those_of_a_fresh_start(
    seed: int, steps: list[int]
) -> None:
    """What is kept from one trial to the next, several turns, switches and leads long."""
    assert_kept_as_fresh(seed, steps)


@pytest.mark.long
@settings(max_examples=60, deadline=None)
@given(seed=st.integers(0, 100_000), steps=st.lists(st.integers(0, 10_000), min_size=4, max_size=9))
def test_findings_after_a_long_row_of_edits_are_those_of_a_fresh_start(
    seed: int, steps: list[int]
) -> None:
    """The same over rows long enough that readings of before are let go."""
    assert_kept_as_fresh(seed, steps)


def assert_kept_as_fresh(seed: int, steps: list[int]) -> None:
    """Edits one after another on a random rig, each judged; the last against a fresh start."""
    line = [try_show(random_rig(load_book(), np.random.default_rng(seed)), load_book())]
    judged = [line[0].judgement]
    for step in steps:
        after = line[-1].after([turn(line[-1], step)])
        if after is not None:
            line.append(after)  # a trial holds what was before weakly
            judged.append(after.judgement)
    fresh = try_show(line[-1].show, load_book()).judgement
    kept_json, fresh_json = (
        [each.to_json() for each in all_.findings] for all_ in (judged[-1], fresh)
    )
    assert kept_json == fresh_json


def turn(trial: Trial, number: int) -> Edit:
    """A control of a show somewhere else, or a lead of another length, by a number."""
    plain = [each for each in trial.show.links if len(each.via) == 1 and set(each.ends) == {*"ab"}]
    if plain and number % 4 == 0:
        link = plain[number % len(plain)]
        return Recable(link.ends["b"], (Cable(link.via[0].type, 1.0 + number % 50),))
    controls = [each for each in trial.solution.rig.controls.items() if each[1].kind != "dial"]
    address, plan = controls[number % len(controls)]
    if plan.kind == "switch":
        return Set(address, plan.options[number % len(plan.options)])
    if number % 5 == 0 and plan.low == -math.inf:
        return Set(address, "off")
    share = number % 7 / 6
    low = max(plan.low, -60.0)
    return Set(address, setting_text(low + share * (plan.high - low), plan))


@settings(max_examples=12, deadline=None)
@given(both=edited(), rank=st.sampled_from([1, 2]))
def test_the_first_trouble_found_is_trouble_of_the_whole_judgement(
    both: tuple[Trial, Trial], rank: int
) -> None:
    """Rules asked one by one never see trouble where the whole judgement sees none.

    The other way round, only what harm elsewhere may hide is left to the whole judgement.
    """
    trial, after = both
    told = after.found.worse_than(trial.ranks, rank)
    new = [each for each in new_findings(trial, after) if each.severity.rank >= rank]
    assert bool(new) or not told
    if any(each.severity is Severity.HARM for each in new):
        assert told
