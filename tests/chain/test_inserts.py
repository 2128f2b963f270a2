"""Inserts: the way out of a channel and back in, for everything that can be plugged there."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from levelhead.chain.noise.hum import solve_hum
from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.gear.book import GearBook, load_book
from levelhead.rig.build import build_rig
from levelhead.show.document import parse_show
from tests.bench import types_of

LEAD = "{ends: {a: desk.ch1.insert, send: comp.in, return: comp.out}, via: [lead-insert 2 m]}"
RECORDING = "{from: desk.ch1.insert, to: rec.in-left, via: [lead-phono-jack 3 m]"
DIRECT_OUT = (
    "{from: desk.ch1.insert, to: rec.in-left, via: [lead-direct-out 3 m, adaptor-jack-phono]}"
)
# 75 ohm into one leg of 10 kohm, 50 ohm of the driven leg into 10 kohm; half of the signal is
# common to both pins of the input, which rejects it by 45 dB only
LOST_DB = 20 * math.log10((1 + 75 / 10e3) * (1 + 50 / 10e3) / (1 + 10 ** (-45 / 20) / 2))
SILENT_DB = 90.0  # below the open channel: less than the sleeve that both signals share

OWN = """
two-sockets:
  label: Processor with a loop of two sockets
  kind: processor
  source: measured
  earth: mains
  ports:
    in: {socket: jack-ts, role: in, circuit: unbalanced-input, impedance: 1 Mohm}
    send: {socket: jack-ts, role: out, circuit: single-ended-output, impedance: 100 ohm}
    return: {socket: jack-ts, role: in, circuit: unbalanced-input, impedance: 10 kohm}
    out: {socket: jack-ts, role: out, circuit: single-ended-output, impedance: 100 ohm}
  path:
    from: in
    stages:
      - {stage: first, gain: 6 dB}
      - {stage: behind, insert: [send, return]}
    to: out
"""


def solved(*links: str, wiring: str | None = None, book: GearBook | None = None) -> Solution:
    """A line feed into channel 1 of a desk, and what else is plugged."""
    said = "" if wiring is None else f", insert-wiring: {wiring}"
    text = f"""\
levelhead: 1
show: {{name: Insert}}
items:
  feed: {{type: feed-line}}
  desk: {{type: mixer-analogue-16, figures: {{ch.insert.send: 75 ohm, ch.insert.return: 10 kohm}}}}
  comp: {{type: compressor, figures: {{in.impedance: 20 kohm, in.cmrr: 45 dB}}}}
  rec: {{type: recorder-line, figures: {{in-left.impedance: 10 kohm}}}}
  loop: {{type: {"two-sockets" if book else "compressor"}}}
links:
  - {{from: feed.out, to: desk.ch1.line}}
{chr(10).join(f"  - {link}" for link in links)}
settings: {{desk: {{ch1: {{gain: 20 dB, send1: 0 dB, group1: on}}{said}}}}}
"""
    return solve(build_rig(parse_show(text, "insert").show, book or load_book()))


def level(solution: Solution, point: str) -> float:
    """Nominal level at a point; silence is far down. [dBu]"""
    nominal = solution.levels(point).nominal
    return -math.inf if nominal is None else nominal


OPEN = solved()
SENT = level(OPEN, "desk.ch1.preamp")


def test_with_nothing_plugged_the_signal_passes() -> None:
    assert level(OPEN, "desk.ch1.insert-return") == SENT
    assert "desk.ch1.insert.send" not in OPEN.graph.index


def test_an_insert_lead_leads_through_the_item_at_its_far_end() -> None:
    through = solved(LEAD)
    (way,) = {way for way in through.paths if "desk.aux1.level" in way}
    assert [point for point in way if "insert" in point or "comp" in point] == [
        "desk.ch1.insert.send",
        "comp.in",
        "comp.input",
        "comp.compression",
        "comp.output",
        "comp.out",
        "desk.ch1.insert.return",
        "desk.ch1.insert-return",
    ]
    assert level(through, "desk.ch1.insert-return") == pytest.approx(SENT - LOST_DB, abs=0.01)


def test_a_control_of_the_inserted_item_moves_the_channel() -> None:
    """All that follows is behind the insert: fader, pre-fader aux, main."""
    before = solved(LEAD)
    show = before.rig.show
    turned = replace(show, settings={**show.settings, "comp.output": "6 dB"})
    louder = solve(build_rig(turned, before.rig.book))
    for point in ("desk.ch1.fader", "desk.aux1.level", "desk.main-left.level"):
        assert level(louder, point) == pytest.approx(level(before, point) + 6, abs=0.01)


def test_a_mono_plug_pushed_home_feeds_the_recorder_and_silences_the_channel() -> None:
    """Case wiring-mono-jack-in-insert-full: the contact opens and the sleeve shorts the ring."""
    home = solved(RECORDING + "}")
    assert level(home, "rec.in-left") == pytest.approx(SENT, abs=0.1)
    assert level(home, "desk.ch1.insert-return") < SENT - SILENT_DB


@pytest.mark.parametrize("wiring", ["tip-send", "ring-send"])
def test_at_the_first_click_the_recorder_listens_and_the_channel_goes_on(wiring: str) -> None:
    """Case wiring-mono-jack-in-insert-first-click: the contact stays closed, on either wiring."""
    half = solved(RECORDING + ", plugged: half}", wiring=wiring)
    lost_db = 20 * math.log10(1 + 75 / 5e3)  # recorder and return side by side
    for point in ("rec.in-left", "desk.ch1.insert-return"):
        assert level(half, point) == pytest.approx(SENT - lost_db, abs=0.02)


def test_tip_and_ring_joined_in_the_plug_keep_the_channel_on() -> None:
    """Case wiring-tip-ring-joined-jack-in-insert: two inputs of 10 kohm on 75 ohm cost 0.13 dB."""
    joined = solved(DIRECT_OUT)
    assert level(joined, "desk.ch1.insert-return") == pytest.approx(SENT - 0.13, abs=0.02)
    assert level(joined, "rec.in-left") == pytest.approx(SENT - 0.13, abs=0.02)


def test_a_swapped_insert_lead_is_silent() -> None:
    """Case wiring-insert-lead-swapped: output meets output, input meets input."""
    ends = "send: comp.in, return: comp.out"
    swapped = solved(LEAD.replace(ends, "send: comp.out, return: comp.in"))
    assert level(swapped, "desk.ch1.insert-return") < SENT - SILENT_DB
    assert level(swapped, "comp.input") < SENT - SILENT_DB


def test_a_tip_send_lead_in_a_ring_send_desk_is_as_silent_as_a_swapped_one() -> None:
    wrong = solved(LEAD, wiring="ring-send")
    assert level(wrong, "desk.ch1.insert-return") < SENT - SILENT_DB


def test_wiring_is_unknown_until_somebody_says_it_and_only_where_it_matters() -> None:
    assert OPEN.rig.unknowns == frozenset()
    assert solved(LEAD).rig.unknowns == {"desk.insert-wiring"}
    assert solved(LEAD, wiring="tip-send").rig.unknowns == frozenset()
    assert solved(LEAD, wiring="unknown").rig.unknowns == {"desk.insert-wiring"}


@pytest.mark.parametrize("point", ["desk.group1.fader", "desk.main-left.level"])
def test_groups_and_mains_are_inserted_too(point: str) -> None:
    insert = point.rpartition(".")[0] + ".insert"
    plain = f"{{from: {insert}, to: rec.in-left, via: [lead-phono-jack 3 m]}}"
    through, cut = solved(LEAD.replace("desk.ch1.insert", insert)), solved(plain)
    assert level(through, point) == pytest.approx(level(OPEN, point) - LOST_DB, abs=0.01)
    assert level(cut, point) < level(OPEN, point) - SILENT_DB


LOOP = load_book().extended(types_of(OWN))


def looped(*links: str) -> Solution:
    """A desk's aux into a processor with a loop of two sockets."""
    into = "{from: desk.aux1.out, to: loop.in, via: [cable-jack 3 m]}"
    return solved(into, *links, book=LOOP)


def test_separate_sockets_a_plug_in_the_send_alone_breaks_nothing() -> None:
    alone = looped()
    tapped = looped("{from: loop.send, to: rec.in-left, via: [lead-phono-jack 3 m]}")
    assert level(tapped, "loop.behind") == pytest.approx(level(alone, "loop.behind"))
    lost_db = 20 * math.log10(1 + 100 / 10e3)
    assert level(tapped, "rec.in-left") == pytest.approx(
        level(alone, "loop.first") - lost_db, abs=0.02
    )


def test_separate_sockets_a_plug_in_the_return_takes_over() -> None:
    through = looped(
        "{from: loop.send, to: comp.in, via: [cable-jack 1 m]}",
        "{from: comp.out, to: loop.return, via: [cable-jack 1 m]}",
    )
    alone = level(looped(), "loop.behind")
    assert level(through, "loop.behind") == pytest.approx(alone - 0.13, abs=0.03)
    silent = looped("{from: comp.out, to: loop.return, via: [cable-jack 1 m]}")
    assert level(silent, "loop.behind") < alone - SILENT_DB


def test_hum_enters_at_the_return_of_an_insert() -> None:
    """An input like any other; its ground is the sleeve that send and return share."""
    assert "desk.ch1.insert.return" in solve_hum(solved(LEAD)).inputs


def test_one_plug_after_the_other_gives_what_each_gives_alone() -> None:
    """Nothing of what was solved before stays where a contact has moved."""
    plugs = [
        "",
        RECORDING + "}",
        RECORDING + ", plugged: half}",
        LEAD,
        RECORDING + ", plugged: half}",
    ]
    before: Solution | None = None
    for plug in plugs:
        fresh = solved(*([plug] if plug else []))
        before = solve(fresh.rig, before)
        for point in ("desk.ch1.fader", "desk.main-left.level"):
            assert level(before, point) == level(fresh, point), plug
