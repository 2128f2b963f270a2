"""All rules over one solution."""

from __future__ import annotations

import inspect
import re
from pathlib import Path
from typing import Final

import pytest

import levelhead.verdicts
from levelhead.show.model import Show
from levelhead.verdicts.air.rules import check_air
from levelhead.verdicts.judge import RULES
from levelhead.verdicts.told.severity import Severity
from tests.chain.bench import Items, bench_show
from tests.verdicts.cases import judged
from tests.verdicts.shows import judged_text

MIXED: Final = bench_show(
    {
        "loud": ("tone", {"generator.level": "+20 dBu", "output.ceiling": "49 V"}),
        "weak": ("tone", {"generator.level": "-60 dBu"}),
        "box": "powered",
        "f": "frail",
        "d": "desk",
        "p": "phantom-desk",
    },
    [
        ("loud.out", "f.in"),
        ("weak.out", "d.ch1.line"),
        ("box.out", "p.ch1.mic"),
    ],
)


def test_every_rule_of_the_package_is_applied() -> None:
    """A module with a ``check_`` function that is not listed would never speak.

    Those of the air are listed in ``check_air``, which loads them for shows with a place.
    """
    folder = Path(levelhead.verdicts.__file__).parent
    written = {
        line.removeprefix("def ").partition("(")[0]
        for file in folder.rglob("*.py")
        for line in file.read_text(encoding="utf-8").splitlines()
        if line.startswith("def check_")
    }
    of_the_air = set(re.findall(r"import (check_\w+)", inspect.getsource(check_air)))
    assert of_the_air
    assert {rule.__name__ for rule in RULES} | of_the_air == written


def test_the_worst_comes_first() -> None:
    ranks = [finding.severity.rank for finding in judged(MIXED).findings]
    assert ranks == sorted(ranks, reverse=True)
    assert judged(MIXED).verdict is Severity.HARM


def test_the_order_of_items_and_links_changes_no_finding() -> None:
    turned = Show(
        MIXED.name, items=dict(reversed(MIXED.items.items())), links=tuple(reversed(MIXED.links))
    )
    one, other = judged(MIXED), judged(turned)
    assert [each.to_json() for each in one.findings] == [each.to_json() for each in other.findings]


def test_a_link_has_the_worst_verdict_of_its_ends() -> None:
    told = {(link.from_, link.to): link.verdict for link in judged(MIXED).links}
    assert told == {
        ("loud.out", "f.in"): Severity.HARM,
        ("weak.out", "d.ch1.line"): Severity.CARE,
        ("box.out", "p.ch1.mic"): Severity.FAILS,
    }


def test_every_finding_has_its_numbers_its_source_and_its_basis() -> None:
    for finding in judged(MIXED).findings:
        assert finding.why
        assert finding.source
        assert finding.basis
        assert finding.what.endswith(".")


# ---------------------------------------------------------------- beside harm


def harmed(gain: str) -> Show:
    items: Items = {
        "t": ("tone", {"generator.level": "+20 dBu", "output.ceiling": "49 V"}),
        "d": ("desk", {"ch1.line.damage": "10 V"}),
    }
    return bench_show(items, [("t.out", "d.ch1.line")], settings={"d.ch1.gain": gain})


@pytest.mark.parametrize("gain", ["-20 dB", "40 dB"])
def test_how_well_the_signal_does_is_not_judged_where_it_harms(gain: str) -> None:
    """To tell how it can be kept from clipping would read as leave to go on."""
    codes = {finding.code for finding in judged(harmed(gain)).worse_than_fine()}
    assert codes == {"harm.level"}


def test_other_strips_are_judged_beside_harm() -> None:
    show = bench_show(
        {
            "t": ("tone", {"output.ceiling": "49 V"}),
            "hot": ("tone", {"generator.level": "+20 dBu"}),
            "d": ("desk", {"ch1.line.damage": "10 V"}),
        },
        [("t.out", "d.ch1.line"), ("hot.out", "d.ch2.line")],
    )
    worse = {(each.code, each.where) for each in judged(show).worse_than_fine()}
    assert ("harm.level", "d.ch1.line") in worse
    assert ("enough.clips-as-set", "hot.output") in worse


def test_a_lead_that_is_cut_is_told_once() -> None:
    """That little comes by it goes without saying; the lead is what has to change."""
    codes = {
        each.code: each.severity
        for each in judged_text(
            """
            items: {mic: {type: mic-vocal-dynamic}, desk: {type: mixer-compact}}
            sources: {anna: {type: voice-singer, at: mic}}
            links: [{from: mic.out, to: desk.ch1.mic, via: [cable-xlr 10 m], pins: {a.3: open}}]
            """
        ).findings
    }
    assert codes["wiring.level-lost"] is Severity.FAILS
    assert "enough.too-low" not in codes
