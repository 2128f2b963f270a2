"""What a part of the rig says of a place is what the whole rig says."""

from __future__ import annotations

from functools import cache
from typing import Final

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from benchmarks.shows import book_for, show_text
from levelhead.chain.upstream import part_leading_to
from levelhead.gear.book import load_book
from levelhead.planning.moves.in_order import candidates
from levelhead.planning.remedy.screening import surely_stays
from levelhead.planning.trial import Trial, try_show
from levelhead.show.document import parse_show
from levelhead.show.edits import Set
from levelhead.verdicts.enough.gain import check_set_too_low
from levelhead.verdicts.told.finding import Finding
from tests.random_rigs import random_rig

CHANNELS: Final = 8
MISTAKES: Final = 3


@cache
def mistaken() -> Trial:
    """A small desk on which three gains are far too low."""
    text = show_text(CHANNELS, mistakes=MISTAKES)
    return try_show(parse_show(text, "mistaken").show, book_for(CHANNELS))


def low_gain(channel: int) -> Finding:
    """The finding on one of them."""
    found = mistaken().found.by(check_set_too_low)
    return next(each for each in found if each.where == f"desk.ch{channel}.gain")


def test_a_strip_hangs_on_its_lead_and_on_no_other_strip() -> None:
    """Of eight channels and three loudspeakers a microphone and its channel are left."""
    part = part_leading_to(mistaken().solution.rig, ["desk.ch1.mic"])
    assert part is not None
    assert set(part.items) == {"mic-1", "desk"}
    assert [link.ports for link in part.links] == [("mic-1.out", "desk.ch1.mic")]
    assert "desk.ch2.mic" not in part.ports


def test_behind_a_mix_nothing_is_cut() -> None:
    """A loudspeaker hangs on all that is mixed for it."""
    assert part_leading_to(mistaken().solution.rig, ["left.in"]) is None


def test_a_switch_that_has_nothing_to_do_with_it_is_screened_out() -> None:
    """A low cut raises no level; whether a knob mends it is left to the whole show."""
    trial, finding = mistaken(), low_gain(1)
    assert surely_stays(trial, [Set("desk.ch1.low-cut", "on")], finding)
    assert not surely_stays(trial, [Set("desk.ch1.gain", "30 dB")], finding)


def test_what_is_gone_is_not_screened_out() -> None:
    """Without phantom power a condenser microphone is silent: that is for the whole show."""
    assert not surely_stays(mistaken(), [Set("desk.phantom", "off")], low_gain(1))


@settings(max_examples=8, deadline=None)
@given(seed=st.integers(0, 100_000))
def test_what_the_part_says_the_whole_says(seed: int) -> None:
    """Every move that is screened out leaves its finding on the whole show."""
    trial = try_show(random_rig(load_book(), np.random.default_rng(seed)), load_book())
    for finding in trial.judgement.worse_than_fine()[:4]:
        for move in list(candidates(trial, finding))[:6]:
            if surely_stays(trial, move.edits, finding):
                after = trial.after(move.edits)
                assert after is None or after.still(finding)
