"""Published wirings of sockets with contacts, held against what the gear of the book does."""

from __future__ import annotations

import pytest

from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.gear.book import load_book
from levelhead.rig.build import build_rig
from levelhead.show.document import parse_show

OFF_DB = 60.0  # lower than this beside what plays is open


def solved(items: str, links: list[str], settings: str = "{}") -> Solution:
    rows = "".join(f"\n  - {{{link}}}" for link in links)
    text = f"""\
levelhead: 1
show: {{name: Contacts}}
items: {{{items}}}
links:{rows}
settings: {settings}
"""
    return solve(build_rig(parse_show(text, "contacts").show, load_book()))


def gets(solution: Solution, point: str, sent_dbu: float) -> bool:
    """Whether a signal arrives at a point."""
    nominal = solution.levels(point).nominal if point in solution.graph.index else None
    return nominal is not None and nominal > sent_dbu - OFF_DB


# ---------------------------------------------------------------- patch bays

BAY = (
    "feed: {type: feed-line}, other: {type: effect-unit}, bay: {type: patch-bay-trs}, "
    "desk: {type: mixer-line-trims}"
)
BACK = [
    "from: feed.out, to: bay.pair1.in, via: [lead-xlr-jack-balanced 3 m]",
    "from: bay.pair1.out, to: desk.ch1.line, via: [cable-jack-balanced 3 m]",
]
UPPER = "from: bay.pair1.front, to: desk.ch2.line, via: [cable-jack-balanced 1 m]"
LOWER = "from: other.out, to: bay.pair1.front-in, via: [cable-jack-balanced 1 m]"


@pytest.mark.reference("Ballou, Handbook for Sound Engineers, patch bays (recalled)")
@pytest.mark.parametrize(
    ("normal", "in_front", "passes", "listens"),
    [
        ("half", [], True, None),
        ("half", [UPPER], True, True),  # a split: nothing is opened
        ("half", [LOWER], False, None),
        ("half", [UPPER, LOWER], False, True),
        ("full", [], True, None),
        ("full", [UPPER], False, True),
        ("full", [LOWER], False, None),
        ("none", [], False, None),
        ("none", [UPPER], False, True),
    ],
)
def test_normals_of_a_patch_bay(
    *, normal: str, in_front: list[str], passes: bool, listens: bool | None
) -> None:
    """Half-normalled: only a plug in the lower socket opens it. Normalled: one in either does."""
    bay = solved(BAY, [*BACK, *in_front], f"{{bay: {{normal: {normal}}}}}")
    assert gets(bay, "desk.ch1.trim", 4.0) is passes
    assert listens is None or gets(bay, "desk.ch2.trim", 4.0) is listens


# ---------------------------------------------------------------- inserts

DESK = "feed: {type: feed-line}, desk: {type: mixer-analogue-16}, comp: {type: compressor}"
INTO = "from: feed.out, to: desk.ch1.line"


@pytest.mark.reference("open encyclopaedia, 'Phone connector (audio)': unbalanced insert")
@pytest.mark.parametrize("wiring", ["tip-send", "ring-send"])
@pytest.mark.parametrize("reaches", ["tip", "ring"])
def test_an_insert_sends_on_the_tip_or_on_the_ring(wiring: str, reaches: str) -> None:
    """Tip: send or return; ring: return or send; sleeve: ground. A lead has to know which."""
    ends = {"tip": "send: comp.in, return: comp.out", "ring": "return: comp.in, send: comp.out"}
    lead = f"ends: {{a: desk.ch1.insert, {ends[reaches]}}}, via: [lead-insert 2 m]"
    desk = solved(DESK, [INTO, lead], f"{{desk: {{insert-wiring: {wiring}}}}}")
    fits = wiring.startswith(reaches)
    assert gets(desk, "comp.input", 14.0) is fits
    assert gets(desk, "desk.ch1.fader", 14.0) is fits


@pytest.mark.reference("owner's manuals of mixers: direct output at the first and second click")
@pytest.mark.parametrize(("plugged", "goes_on"), [("half", True), ("full", False)])
def test_a_mono_plug_at_its_first_and_second_click(*, plugged: str, goes_on: bool) -> None:
    """Both give a direct output; only pushed home does it interrupt the channel."""
    out = "from: desk.ch1.insert, to: comp.in, via: [cable-jack 2 m]"
    desk = solved(DESK, [INTO, f"{out}, plugged: {plugged}"])
    assert gets(desk, "comp.input", 14.0)
    assert gets(desk, "desk.ch1.fader", 14.0) is goes_on


# ---------------------------------------------------------------- battery


@pytest.mark.reference("Chisholm, notes on pickups: tip signal, ring battery -ve, sleeve ground")
@pytest.mark.parametrize(("lead", "plays"), [("cable-jack", True), ("cable-jack-balanced", False)])
def test_a_mono_plug_bridges_ring_and_sleeve_and_powers_the_preamplifier(
    *, lead: str, plays: bool
) -> None:
    items = "bass: {type: bass-active}, amp: {type: bass-amp}"
    played = solved(items, [f"from: bass.out, to: amp.in, via: [{lead} 5 m]"])
    assert gets(played, "amp.in", -6.0) is plays
