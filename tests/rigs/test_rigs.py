"""Whole shows of our own invention: each is solved, and every type of the book is at work."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any, Final

import pytest
from ruamel.yaml import YAML

from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.gear.book import load_book
from levelhead.rig.build import build_rig
from levelhead.show.document import load_show
from levelhead.verdicts.judge import judge
from levelhead.verdicts.told.severity import Severity, worst

FOLDER: Final = Path(__file__).parent
ROOT: Final = FOLDER.parents[1]
RIGS: Final = sorted(FOLDER.glob("*.yaml"))
EXAMPLES: Final = sorted((ROOT / "src" / "levelhead" / "examples").glob("*.yaml"))
CASES: Final = sorted((ROOT / "tests" / "cases").glob("*.yaml"))

JUDGED: Final = ("pub-duo", "quiet-disco", "school-disco", "school-play")
WAITING: Final = {
    "cable-coax-75-bnc",  # sockets that no gear of the book has yet
    "cable-usb",
    "lead-jack-both",  # to come into a rig
    "lead-mini-headset",
    "lead-phono-headset",
    "lead-jack-headset-pad",
    "lead-phono-headset-pad",
    "lead-direct-out-phono",  # in connection cases only
    "lead-loudspeaker-two-way",
    "cable-hdmi",
    "adaptor-headset-split",  # four poles: to come into a rig
    "adaptor-headset-plugs",
    "headset-trrs",
    "cable-mini-four-pole",
    "mic-lavalier-plugin",
    "phone-ground-last",
    "loudspeaker-line-100v",  # 100 V lines: to come into a rig; tests/reference has them
    "loudspeaker-column-100v",
    "loudspeaker-horn-100v",
    "guitar-head-valve",
}


@cache
def solved(path: Path) -> Solution:
    return solve(build_rig(load_show(path).show, load_book()))


def parts_of(content: Any) -> set[str]:
    """First words of all texts in a show: types of items, sources and cables are among them."""
    if isinstance(content, dict):
        return set().union(*(parts_of(each) for each in content.values()))
    if isinstance(content, list):
        return set().union(*(parts_of(each) for each in content))
    return {content.split(" ")[0]} if isinstance(content, str) and content else set()


def types_at_work() -> set[str]:
    """Types that stand in a rig, an example, or the show of a case."""
    yaml = YAML(typ="safe", pure=True)
    shows = [yaml.load(path.read_text(encoding="utf-8")) for path in (*RIGS, *EXAMPLES)]
    for path in CASES:
        cases = yaml.load(path.read_text(encoding="utf-8"))
        shows += [case["show"] for case in cases if "show" in case]
    named: set[str] = set()
    for show in shows:
        named |= parts_of({key: show.get(key) for key in ("items", "sources", "links")})
    return named & set(load_book().ids)


# ---------------------------------------------------------------- nothing idle


def test_every_type_is_at_work_somewhere() -> None:
    assert set(load_book().ids) - types_at_work() - WAITING == set()


# ---------------------------------------------------------------- each show


@pytest.mark.parametrize("path", RIGS, ids=lambda path: path.stem)
def test_a_rig_is_solved(path: Path) -> None:
    """Every plug fits unless the show is about those that do not; every performer is heard."""
    solution = solved(path)
    if path.stem != "box-of-mistakes":
        assert solution.rig.misfits == ()
    for name in load_show(path).show.sources:
        assert solution.levels(name).nominal is not None


@pytest.mark.parametrize("name", JUDGED)
def test_a_rig_that_is_well_set_up_brings_nothing_worse_than_care(name: str) -> None:
    judgement = judge(solved(FOLDER / f"{name}.yaml"))
    assert judgement.findings
    assert worst(each.severity for each in judgement.findings).rank <= Severity.CARE.rank
