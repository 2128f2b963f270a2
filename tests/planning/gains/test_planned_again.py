"""The plan of a planned show changes nothing, also where it stood clipped or limited before."""

from __future__ import annotations

from typing import Final

import pytest

from levelhead.planning.gains.make import Made, plan_solved
from levelhead.planning.trial import Trial
from tests.cases.running import RUN, ran

CLIPPED: Final = (
    "amp-eight-times-power-with-limiter",
    "hum-source-imbalance-10-ohm",
    "loading-two-amplifier-channels-on-one-box",
    "route-talkback-into-mains",
    "route-usb-return-in-its-own-send",
    "slice-amp-link-to-powered-switch-at-mic",
    "slice-amp-speaker-out-to-powered-line-in",
)
"""Rigs in which something clips, is limited or goes round in a loop as they stand."""

NOT_SETTLED: Final = {
    "limiter-threshold-too-high": "the limiter takes in one round and not in the next",
    "enough-chained-loudspeakers-mic-then-mic": "the first loudspeaker goes on where the second "
    "has no more",
}


def made(trial: Trial) -> Made:
    return plan_solved(trial.solution, trial.book, reserve_db=6.0, loudness="full")


def planned_again(name: str) -> Made:
    trial = ran(name)
    edits = made(trial).plan.edits
    after = trial.after(edits) if edits else trial
    assert after is not None
    return made(after)


@pytest.mark.parametrize("name", CLIPPED)
def test_a_second_plan_turns_nothing(name: str) -> None:
    assert planned_again(name).plan.edits == ()


def test_what_clipped_ends_at_its_reserve() -> None:
    """A powered loudspeaker 28.7 dB into its ceiling: the plan stands 6 dB under it."""
    (end,) = made(ran("slice-amp-link-to-powered-switch-at-mic")).plan.ends
    assert end.peak_planned is not None
    assert end.ceiling is not None
    assert end.ceiling - end.peak_planned == pytest.approx(6.0, abs=0.2)


@pytest.mark.long
@pytest.mark.parametrize("name", [each for each in RUN if each not in NOT_SETTLED])
def test_a_second_plan_turns_nothing_in_any_case(name: str) -> None:
    assert planned_again(name).plan.edits == ()
