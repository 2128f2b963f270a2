"""Who drives loudspeakers: last on, first off (common practice), whatever the way leads through."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any

import pytest

from levelhead.planning.trial import Trial
from levelhead.verdicts.people.words import SWITCHING
from tests.verdicts.shows import tried_text

XLR, JACK, XLR_JACK = "cable-xlr 5 m", "cable-jack 5 m", "lead-xlr-jack-balanced 5 m"
LINE = "cable-loudspeaker 10 m"
POWERED_LINE = "cable-loudspeaker-1-5 10 m"


def hall(
    items: Mapping[str, str],
    links: Sequence[tuple[str, str, str]],
    settings: Mapping[str, Any] | None = None,
) -> Trial:
    """Items by their types, leads as (from, to, cable)."""
    parts = {
        "items": {name: {"type": kind} for name, kind in items.items()},
        "links": [{"from": one, "to": to, "via": [cable]} for one, to, cable in links],
        "settings": settings or {},
    }
    return tried_text("\n".join(f"{name}: {json.dumps(part)}" for name, part in parts.items()))


def drivers(trial: Trial) -> list[str]:
    return [item.id for item in trial.reading.drivers]


def told(trial: Trial) -> str:
    (found,) = [each for each in trial.judgement.findings if each.code == SWITCHING]
    return found.what


def test_an_amplifier_behind_a_crossover_drives_and_the_crossover_does_not() -> None:
    trial = hall(
        {
            "feed": "feed-line",
            "desk": "mixer-compact",
            "split": "crossover-two-way",
            "amp": "amplifier-two-channel",
            "low": "subwoofer-passive",
            "top": "loudspeaker-passive-12",
        },
        [
            ("feed.out", "desk.ch1.line", XLR_JACK),
            ("desk.main-left.out", "split.in", XLR),
            ("split.out-low", "amp.ch1.in", XLR),
            ("split.out-high", "amp.ch2.in", XLR),
            ("amp.ch1.out", "low.in", LINE),
            ("amp.ch2.out", "top.in", LINE),
        ],
        {"desk": {"ch1": {"fader": "0 dB"}, "main": "0 dB"}},
    )
    assert drivers(trial) == ["amp"]
    assert "desk and split, and amp last" in told(trial)


def test_a_mixer_with_amplifiers_drives_though_a_loop_leads_through_an_effect() -> None:
    """The way comes back from the effect: the mixer is the last on it, and was the first."""
    trial = hall(
        {
            "vox": "feed-line",
            "effect": "effect-unit",
            "desk": "mixer-powered",
            "box": "loudspeaker-passive-10",
        },
        [
            ("vox.out", "desk.ch1.mic", XLR),
            ("desk.monitor.out", "effect.in", JACK),
            ("effect.out", "desk.ch2.line", JACK),
            ("desk.power-left.out", "box.in", POWERED_LINE),
        ],
        {"desk": {"ch1": {"fader": "0 dB", "monitor": "0 dB"}, "ch2": {"fader": "0 dB"}}},
    )
    assert drivers(trial) == ["desk"]
    assert told(trial).startswith("Switch on vox and effect, and desk last;")


def test_what_feeds_another_driver_is_on_before_it() -> None:
    """The wedge stands first in the show, and would hear the mixer come up."""
    trial = hall(
        {
            "wedge": "loudspeaker-powered-8",
            "desk": "mixer-powered",
            "box": "loudspeaker-passive-10",
            "vox": "mic-vocal-dynamic",
        },
        [
            ("vox.out", "desk.ch1.mic", XLR),
            ("desk.power-left.out", "box.in", POWERED_LINE),
            ("desk.monitor.out", "wedge.in", "lead-jack-xlr 5 m"),
        ],
    )
    assert drivers(trial) == ["desk", "wedge"]


def test_of_several_outputs_only_those_to_loudspeakers_count() -> None:
    """An amplifier for earphones drives nothing that anybody else hears."""
    trial = hall(
        {
            "desk": "mixer-compact",
            "left": "loudspeaker-powered-12",
            "right": "loudspeaker-powered-12",
            "ears": "headphone-amplifier",
            "cans": "headphones",
        },
        [
            ("desk.main-left.out", "left.in", XLR),
            ("left.link", "right.in", XLR),
            ("ears.ch1.phones", "cans.in", "cable-headphone-extension 2 m"),
        ],
    )
    assert drivers(trial) == ["left", "right"]


@pytest.mark.parametrize("level", ["off", "0 dB"])
def test_what_is_turned_down_now_drives_all_the_same(level: str) -> None:
    trial = hall(
        {"desk": "mixer-compact", "amp": "amplifier-two-channel", "box": "loudspeaker-passive-12"},
        [("desk.main-left.out", "amp.ch1.in", XLR), ("amp.ch1.out", "box.in", LINE)],
        {"amp": {"ch1": {"level": level}}},
    )
    assert drivers(trial) == ["amp"]


def test_through_passive_gear_the_amplifier_before_it_drives() -> None:
    """One cabinet links on to the next through copper alone."""
    trial = hall(
        {
            "amp": "amplifier-two-channel",
            "one": "loudspeaker-passive-12",
            "two": "loudspeaker-passive-12",
        },
        [("amp.ch1.out", "one.in", LINE), ("one.link", "two.in", LINE)],
    )
    assert drivers(trial) == ["amp"]


def test_a_loudspeaker_on_batteries_is_last_too() -> None:
    """It needs no mains to say what the desk gives when it comes up."""
    trial = hall(
        {"box": "loudspeaker-bluetooth", "feed": "feed-line", "desk": "mixer-analogue-16"},
        [
            ("feed.out", "desk.ch1.line", XLR_JACK),
            ("desk.phones", "box.in", "lead-jack-mini 3 m"),
        ],
        {"desk": {"ch1": {"fader": "0 dB"}, "main": "0 dB", "phones-level": "0 dB"}},
    )
    assert drivers(trial) == ["box"]
    assert "desk, and box last" in told(trial)
