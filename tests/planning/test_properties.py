"""What holds for any show: copper only takes, less never hurts more, order says nothing."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path
from random import Random
from typing import Final

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import levelhead
from levelhead.gear.book import load_book
from levelhead.planning.remedy.remedies import remedies_for
from levelhead.planning.stock import lacking
from levelhead.planning.trial import Trial, try_show
from levelhead.show.document import load_show
from levelhead.show.edits import AddItem, Plug, Retype, Set, Unplug, apply
from levelhead.show.model import Show
from levelhead.verdicts.told.finding import Finding, Remedy
from levelhead.verdicts.told.severity import Severity
from tests.chain.bench import Items, bench_show
from tests.verdicts.cases import CASES
from tests.verdicts.shows import tried_text

EXAMPLES: Final = Path(levelhead.__file__).parent / "examples"
RIGS: Final = Path(__file__).parents[1] / "rigs"
ROUNDING_DB: Final = 1e-6
COPPER: Final = ("4", "2.5", "1.5", "0.75")  # mm2, thick to thin
CABLES: Final = {
    "4": "cable-loudspeaker-4",
    "2.5": "cable-loudspeaker",
    "1.5": "cable-loudspeaker-1-5",
    "0.75": "cable-loudspeaker-0-75",
}


@cache
def shipped(name: str) -> Show:
    folder = EXAMPLES if (EXAMPLES / name).exists() else RIGS
    return load_show(str(folder / name)).show


# ---------------------------------------------------------------- copper and level


@cache
def level_at_cabinet(type_id: str, length_m: int) -> float:
    trial = tried_text(f"""
        items: {{f: {{type: feed-line}}, a: {{type: amplifier-two-channel}},
                 s: {{type: loudspeaker-passive-12}}}}
        links:
          - {{from: f.out, to: a.ch1.in}}
          - {{from: a.ch1.out, to: s.in, via: [{type_id} {length_m} m]}}
        settings: {{a: {{ch1: {{level: -20 dB}}}}}}
        """)
    level = trial.solution.levels("s.in").nominal
    assert level is not None
    return level


@settings(max_examples=10)
@given(
    lengths_m=st.tuples(st.integers(1, 100), st.integers(1, 100)),
    copper=st.tuples(st.sampled_from(COPPER), st.sampled_from(COPPER)),
)
def test_longer_or_thinner_copper_never_raises_the_level_at_its_cabinet(
    lengths_m: tuple[int, int], copper: tuple[str, str]
) -> None:
    short_m, long_m = sorted(lengths_m)
    thick, thin = sorted(copper, key=COPPER.index)
    better = level_at_cabinet(CABLES[thick], short_m)
    worse = level_at_cabinet(CABLES[thin], long_m)
    assert worse <= better + ROUNDING_DB
    if (short_m, thick) != (long_m, thin):
        assert worse < better


@cache
def margin_of(ceiling_v: float, level_db: int) -> float:
    """Distance from damage at the input behind an output with a ceiling."""
    items: Items = {
        "amp": ("tone", {"output.ceiling": f"{ceiling_v} V", "generator.level": f"{level_db} dBu"}),
        "f": "frail",
    }
    trial = try_show(bench_show(items, [("amp.out", "f.in")]), CASES)
    found = [each for each in trial.judgement.findings if each.code == "harm.level"]
    assert found
    (finding,) = found
    assert finding.margin is not None
    return finding.margin


@settings(max_examples=20)
@given(
    ceiling_v=st.sampled_from([5.0, 9.0, 20.0, 49.0]),
    level_db=st.integers(-20, 30),
    down_db=st.integers(0, 40),
)
def test_ideal_attenuation_never_brings_damage_nearer(
    ceiling_v: float, level_db: int, down_db: int
) -> None:
    """All that the output can give, and what it gives, less by a factor: no new node, no harm."""
    after_v = round(ceiling_v * 10 ** (-down_db / 20), 6)
    before = margin_of(ceiling_v, level_db)
    after = margin_of(after_v, level_db - down_db)
    assert after >= before - ROUNDING_DB


# ---------------------------------------------------------------- order


def judged(trial: Trial) -> set[tuple[tuple[str, str], Severity, float | None]]:
    return {
        (each.key, each.severity, None if each.margin is None else round(each.margin, 3))
        for each in trial.judgement.findings
    }


@settings(max_examples=4)
@given(mix=st.randoms(use_true_random=False))
def test_findings_do_not_depend_on_the_order_of_a_show(mix: Random) -> None:
    show = shipped("village-hall.yaml")
    items, links, sources = list(show.items.items()), list(show.links), list(show.sources.items())
    for each in (items, links, sources):
        mix.shuffle(each)  # type: ignore[arg-type]
    other = replace(show, items=dict(items), links=tuple(links), sources=dict(sources))
    assert judged(try_show(other, load_book())) == judged(try_show(show, load_book()))


# ---------------------------------------------------------------- remedies


def touched(show: Show, finding: Finding, remedy: Remedy) -> set[str]:
    """Items at which a remedy or its finding has a hand, with what they are plugged to."""
    ports = {*finding.ports, finding.where}
    for link in show.links:
        if {*finding.ports, finding.where} & set(link.ends.values()):
            ports |= set(link.ends.values())
    for edit in remedy.edits:
        if isinstance(edit, Plug):
            ports |= set(edit.link.ends.values())
        elif isinstance(edit, Set):
            ports.add(edit.address)
        elif isinstance(edit, AddItem):
            ports.add(edit.item.id)
        elif isinstance(edit, Retype):
            ports.add(edit.item)
    return {each.rpartition(".")[0] or each for each in ports}


def arrivals(trial: Trial, apart_from: set[str]) -> set[tuple[str, str]]:
    """Who plays or speaks where: by the last point of each way, or by its item for some items.

    In the air, or in gear of which no output is plugged: a recorder, a stream.
    """
    rig, in_air = trial.solution.rig, trial.solution.in_air
    giving = {
        port.item.id
        for port in rig.ports.values()
        if port.plan.role != "in" and port.link is not None
    }
    ways = ((way[0].partition(".")[0], way[-1]) for way in trial.solution.paths)
    found = ((start, end, end.partition(".")[0]) for start, end in ways)
    return {
        (start, item if item in apart_from else end)
        for start, end, item in found
        if end in in_air or item not in giving
    }


def assert_nobody_is_cut_off(before: Trial, after: Trial, remedy: Remedy) -> None:
    """Each source gets wherever it got before; a loudspeaker off is told as silent."""
    if "silent" in remedy.do:
        return
    plugged = {
        item
        for edit in remedy.edits
        for item in (edit.link.items if isinstance(edit, Plug | Unplug) else ())
    }
    assert arrivals(before, plugged) <= arrivals(after, plugged), remedy.do


def assert_offered_well(before: Trial, finding: Finding, remedy: Remedy) -> None:
    """Its finding is gone, nothing bad is new, nobody is cut off or worse; stock is told."""
    show, _ = apply(before.show, remedy.edits)
    after = try_show(show, before.book)
    assert_nobody_is_cut_off(before, after, remedy)
    known = {each.key: each.severity.rank for each in before.judgement.findings}
    hands = touched(before.show, finding, remedy)
    for each in after.judgement.worse_than_fine():
        is_worse = known.get(each.key, 0) < each.severity.rank
        if is_worse:
            assert each.severity is Severity.CARE, (remedy.do, each.what)
            places = (each.where, *each.ports)
            assert any(place.startswith(tuple(hands)) for place in places), (remedy.do, each.what)
    assert finding.key not in {each.key for each in after.judgement.worse_than_fine()}, remedy.do
    missing = lacking(before.show, remedy.edits)
    assert all(each in remedy.do for each in missing)
    assert ("not in stock" in remedy.do) == bool(missing)


def assert_all_offered_well(show: Show, most: int) -> None:
    trial = try_show(show, load_book())
    for finding in trial.judgement.worse_than_fine()[:most]:
        for remedy in remedies_for(trial, finding):
            assert_offered_well(trial, finding, remedy)


def disturbed(show: Show, mix: Random) -> Show:
    """Some settings of a show where a hurried hand might leave them."""
    rig = try_show(show, load_book()).solution.rig
    ranges = [each for each, plan in rig.controls.items() if plan.kind == "range"]
    switches = [each for each, plan in rig.controls.items() if plan.kind == "switch"]
    used = {port.item.id for port in rig.ports.values() if port.link is not None}
    edits = []
    for address in mix.sample([each for each in ranges if each.partition(".")[0] in used], 2):
        plan = rig.controls[address]
        low = max(plan.low, -40.0)
        edits.append(Set(address, f"{round(mix.uniform(low, plan.high), 1)} dB"))
    phantom = [each for each in switches if "phantom" in each and each not in rig.facts]
    if phantom and mix.random() < 0.5:
        edits.append(Set(mix.choice(phantom), mix.choice(["on", "off"])))
    return apply(show, edits)[0]


@settings(max_examples=2)
@given(mix=st.randoms(use_true_random=False))
def test_remedies_for_a_hurried_hand_hold(mix: Random) -> None:
    assert_all_offered_well(disturbed(shipped("duo-in-a-pub.yaml"), mix), most=3)


def test_no_remedy_makes_worse_what_it_has_no_hand_in() -> None:
    """The mains down by 29 dB would spare the recorder, and starve the equaliser behind them."""
    loud = apply(shipped("church-band.yaml"), [Set("desk.ch11.gain", "49.8 dB")])[0]
    trial = try_show(loud, load_book())
    key = ("enough.too-high", "recorder.in-right")
    (finding,) = (each for each in trial.judgement.findings if each.key == key)
    offered = remedies_for(trial, finding)
    assert offered
    for remedy in offered:
        assert_offered_well(trial, finding, remedy)


COUNCIL: Final = """
    items:
      call: {type: laptop-headset}
      chair: {type: mic-gooseneck-condenser}
      desk: {type: mixer-digital-16}
      rec: {type: recorder-line}
      wedge: {type: loudspeaker-powered-12}
      col: {type: loudspeaker-powered-12}
    sources: {voice: {type: voice-talker-normal, at: chair, distance: 30 cm}}
    links:
      - {from: call.headset, to: desk.ch1.mic, via: [lead-mini-sum-xlr 2 m]}
      - {from: chair.out, to: desk.ch2.mic, via: [cable-xlr 10 m]}
      - {from: desk.aux1.out, to: wedge.in, via: [cable-xlr 10 m]}
      - {from: desk.aux2.out, to: rec.in-left, via: [lead-xlr-phono-open 2 m]}
      - {from: desk.aux3.out, to: rec.in-right, via: [lead-xlr-phono-open 2 m]}
      - {from: desk.main-left.out, to: col.in, via: [cable-xlr 15 m]}
    settings:
      desk:
        ch2: {phantom: on, gain: 50 dB, send1: -20 dB, send2: 0 dB, send3: 0 dB}
        ch1: {phantom: on, send1: -20 dB, send2: 0 dB, send3: 0 dB, """


@pytest.mark.parametrize("more", ["gain: 12 dB", "gain: 12 dB, lock: [phantom]"])
def test_a_source_moved_to_another_strip_gets_to_all_its_ends(more: str) -> None:
    """Monitor mixes and recorders hang on sends: a plug moved alone leaves them behind."""
    trial = tried_text(f"{COUNCIL}{more}}}\n    ")
    offered = [
        (finding, remedy)
        for finding in trial.judgement.worse_than_fine()
        if finding.family == "phantom"
        for remedy in remedies_for(trial, finding)
    ]
    for finding, remedy in offered:
        assert_offered_well(trial, finding, remedy)
    assert any(
        isinstance(edit, Plug) and "desk.ch3.mic" in edit.link.ends.values()
        for _, remedy in offered
        for edit in remedy.edits
    )


@pytest.mark.long
@settings(max_examples=20)
@given(
    mix=st.randoms(use_true_random=False),
    name=st.sampled_from(["church-band.yaml", "village-hall.yaml", "pub-duo.yaml"]),
)
def test_remedies_for_a_hurried_hand_hold_in_every_rig(mix: Random, name: str) -> None:
    assert_all_offered_well(disturbed(shipped(name), mix), most=6)
