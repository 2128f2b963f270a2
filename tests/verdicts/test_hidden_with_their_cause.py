"""What is hidden as a consequence goes with its cause: two mistakes in a rig, one of them mended.

A finding that is not told beside its cause (``verdicts.consequences``) must be gone once the cause
is mended. One that is told only then was a mistake of its own, and stood in the shadow of another.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from itertools import combinations
from typing import Final, NamedTuple

import pytest

from levelhead.planning.trial import Trial
from levelhead.verdicts.enough.gain import SET_TOO_LOW
from levelhead.verdicts.judge import RULES
from levelhead.verdicts.told.finding import Finding, Severity
from tests.verdicts.shows import tried_text

HALL: Final = """
items:
  vox: {type: mic-vocal-dynamic}
  cond: {type: mic-vocal-condenser}
  keys: {type: keyboard-stereo, supply: stage}
  deck: {type: <deck>, supply: foh}
  pre: {type: preamp-phono, supply: foh}
  guitar: {type: guitar-electric-passive}
  head: {type: guitar-head-valve, supply: stage}
  cab: {type: guitar-cabinet}
  desk: {type: mixer-analogue-16, supply: foh}
  comp: {type: compressor, supply: foh}
  small: {type: mixer-compact-8, supply: foh}
  sub: {type: subwoofer-powered, supply: stage}
  left: {type: loudspeaker-powered-12, supply: stage}
  right: {type: loudspeaker-powered-12, supply: stage}
  amp: {type: amplifier-two-channel, supply: stage}
  foyer: {type: loudspeaker-passive-12, figures: {in.impedance: <ohms>}}
sources: {a: {type: voice-singer, at: vox}, b: {type: voice-singer, at: cond}}
links:
  - {from: vox.out, to: desk.ch1.mic, via: [cable-xlr 10 m]<mic-pins>}
  - {from: cond.out, to: desk.ch2.mic, via: [cable-xlr 10 m]}
  - {from: <keys>, to: desk.ch3.line, via: [<keys-lead> 5 m]}
  - {from: deck.out-left, to: pre.in-left, via: [cable-phono 1 m]}
  - {from: pre.out-left, to: small.st1.in-left, via: [lead-phono-jack 2 m]}
  - {from: small.main-left.out, to: desk.ch4.line, via: [lead-xlr-jack-balanced 3 m]}
  - {from: guitar.out, to: head.in, via: [cable-jack 6 m]}
  - {from: head.<tap>, to: cab.in, via: [<cab-lead> 2 m]}
  - {ends: {a: desk.ch1.insert, send: comp.<send>, return: comp.<return>}, via: [lead-insert 2 m]}
  - {from: desk.main-left.out, to: sub.in-left, via: [cable-xlr 20 m]}
  - {from: desk.main-right.out, to: sub.in-right, via: [<right-lead> 20 m]}
  - {from: sub.out-left, to: left.in, via: [cable-xlr 5 m]}
  - {from: sub.out-right, to: right.in, via: [<top-lead> 5 m]}
  - {from: desk.aux1.out, to: amp.ch1.in, via: [lead-jack-balanced-xlr 20 m]}
  - {from: amp.ch1.out, to: foyer.in, via: [<line> <line-m> m]}
supplies: {foh: {outlet: hall, circuit: "1"}, stage: {outlet: stage, circuit: "1"}}
settings:
  desk:
    phantom: <phantom>
    ch1: {gain: <gain>, fader: -10 dB, send1: -10 dB}
    ch2: {gain: 25 dB, fader: -10 dB}
    ch3: {gain: <keys-gain>, fader: -10 dB}
    ch4: {gain: 10 dB, fader: -20 dB}
    main: -10 dB
  small: {st1: {fader: 0 dB}, main: -10 dB}
  head: {volume: -40 dB}
  left: {input: <left-input>, level: -20 dB}
  right: {level: -20 dB}
  amp: {ch1: {level: -20 dB}}
"""
RIGHT: Final = {
    "deck": "turntable",
    "ohms": "8 ohm",
    "mic-pins": "",
    "keys": "keys.out-left",
    "keys-lead": "cable-jack-balanced",
    "tap": "out",
    "cab-lead": "cable-loudspeaker-jack",
    "send": "in",
    "return": "out",
    "right-lead": "cable-xlr",
    "top-lead": "cable-xlr",
    "line": "cable-loudspeaker",
    "line-m": "10",
    "phantom": "on",
    "gain": "40 dB",
    "keys-gain": "10 dB",
    "left-input": "line",
}
MISTAKES: Final = (
    ("deck", "turntable-line"),
    ("ohms", "2 ohm"),
    ("ohms", "0.9 ohm"),
    ("mic-pins", ", pins: {3: open}"),
    ("mic-pins", ", pins: {2: 3, 3: 2}"),
    ("keys-lead", "cable-jack"),
    ("tap", "out-16ohm"),
    ("tap", "out-4ohm"),
    ("cab-lead", "cable-jack"),
    ("right-lead", "cable-xlr-reversed"),
    ("right-lead", "lead-xlr-jack"),
    ("top-lead", "cable-xlr-reversed"),
    ("line", "cable-loudspeaker-0-75"),
    ("line-m", "120"),
    ("phantom", "off"),
    ("gain", "60 dB"),
    ("gain", "10 dB"),
    ("keys-gain", "50 dB"),
    ("left-input", "mic"),
)
Mistake = tuple[str, str]
CUT: Final = ("mic-pins", ", pins: {3: open}")


class Place(NamedTuple):
    """What a finding is of."""

    code: str
    where: str


def places(findings: Iterable[Finding]) -> set[Place]:
    """Those that somebody would act on."""
    worse = (each for each in findings if each.severity is not Severity.FINE)
    return {Place(each.code, each.where) for each in worse}


@cache
def hall(*mistakes: Mistake) -> Trial:
    text = HALL
    for slot, words in {**RIGHT, **dict(mistakes)}.items():
        text = text.replace(f"<{slot}>", words)
    return tried_text(text)


def told(trial: Trial) -> set[Place]:
    return places(trial.judgement.findings)


def hidden(trial: Trial) -> set[Place]:
    """What the rules found and nobody is told."""
    return places(each for rule in RULES for each in trial.found.by(rule)) - told(trial)


PAIRS: Final = [pair for pair in combinations(MISTAKES, 2) if pair[0][0] != pair[1][0]]


def names(pair: tuple[Mistake, Mistake]) -> str:
    return " and ".join(f"{slot} {words}" for slot, words in pair)


def test_each_mistake_alone_is_told_or_harms_nothing() -> None:
    """Nothing is hidden that has no cause beside it."""
    for mistake in MISTAKES:
        trial = hall(mistake)
        if hidden(trial):
            assert told(trial) - told(hall()), mistake


@pytest.mark.long
@pytest.mark.parametrize("pair", PAIRS, ids=names)
def test_what_is_hidden_goes_with_its_cause(pair: tuple[Mistake, Mistake]) -> None:
    """With one of two mistakes mended, nothing is told that was found before and kept back."""
    both = hall(*pair)
    for left in pair:
        shown_late = told(hall(left)) & hidden(both)
        if CUT in pair:  # what gain a strip wants nobody knows while half of the signal is missing
            shown_late = {each for each in shown_late if each.code != SET_TOO_LOW}
        assert not shown_late, f"hidden while the other was there, told with {left} alone"


def test_two_mistakes_on_one_way_hide_something_at_all() -> None:
    """The table has pairs in which something is hidden: else the test above could not fail."""
    pairs = [pair for pair in PAIRS[:: len(PAIRS) // 12] if hidden(hall(*pair))]
    assert pairs
