"""Two rigs with mistakes that were written down beforehand, and frights that are none.

What is expected was reckoned by hand: 8 ohm and 83 ohm in parallel are some 7.7 ohm, where a line
amplifier of 120 W bears 83 ohm (100 V squared over 120 W); three wedges of 8 ohm are 2.7 ohm on an
amplifier for 4 ohm (Ohm's law); two clocks slip (AES11); a condenser lives on phantom power
(IEC 61938); a line output at +4 dBu is some 40 dB above a microphone input (common practice).
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Final

import pytest

from levelhead.gear.book import load_book
from levelhead.planning.trial import Trial, try_show
from levelhead.show.document import load_show
from levelhead.verdicts.told.severity import Severity

FOLDER: Final = Path(__file__).parent
PLANTED: Final = {
    "carol-service": {
        ("amplifier.load", "line-amp.out-100v", "harm"),
        ("phantom.missing", "lectern.out", "fails"),
        ("enough.too-high", "camera.mic", "fails"),
    },
    "small-festival": {
        ("digital.two-clocks", "desk.net", "fails"),
        ("phantom.missing", "oh-r.out", "fails"),
        ("amplifier.load", "wedge-amp.ch2.out", "fails"),
        ("routing.unheard", "desk.net.6", "care"),
    },
}
FRIGHTS: Final = {
    # 48 W of taps on 120 W; 60 m to the loop; phantom power beside a dynamic microphone
    "carol-service": ("ceiling-8", "loop", "solo", "piano-di", "choir-1"),
    # two wedges are 4 ohm; 60 m of network cable; a DI box on phantom power; 10 m to the kick
    "small-festival": ("wedge-amp.ch1", "w-1", "vox", "bass-di", "kick", "keys-di"),
}


@cache
def tried(name: str) -> Trial:
    return try_show(load_show(FOLDER / f"{name}.yaml").show, load_book())


def told(trial: Trial) -> set[tuple[str, str, str]]:
    return {(each.code, each.where, each.severity.value) for each in trial.judgement.findings}


@pytest.mark.parametrize("name", PLANTED)
def test_what_was_planted_is_found_and_nothing_else_fails(name: str) -> None:
    found = told(tried(name))
    assert PLANTED[name] <= found
    bad = {each for each in found if each[2] in ("harm", "fails")}
    assert bad <= PLANTED[name]


@pytest.mark.parametrize("name", FRIGHTS)
def test_what_only_looks_frightening_is_no_worse_than_care(name: str) -> None:
    frights = tuple(f"{each}." for each in FRIGHTS[name])
    worst = [
        each
        for each in tried(name).judgement.findings
        if each.where.startswith(frights) and each.severity.rank > Severity.CARE.rank
    ]
    assert worst == []


def worse_than_fine(trial: Trial) -> set[tuple[str, str, str, str]]:
    """What somebody would act on, with its words."""
    found = trial.judgement.worse_than_fine()
    return {(each.code, each.where, each.severity.value, each.what) for each in found}


@pytest.mark.parametrize("name", PLANTED)
def test_the_order_in_which_a_show_lists_things_changes_no_finding(name: str) -> None:
    show = tried(name).show
    turned = replace(
        show,
        items=dict(reversed(show.items.items())),
        sources=dict(reversed(show.sources.items())),
        links=show.links[::-1],
    )
    other = try_show(turned, load_book())
    assert worse_than_fine(other) == worse_than_fine(tried(name))
