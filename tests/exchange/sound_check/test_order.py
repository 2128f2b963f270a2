"""The order of sound check, for the rigs of the tests and the examples."""

from __future__ import annotations

import re
from functools import cache

import pytest

from levelhead.exchange.paperwork.turns import turns_of
from levelhead.exchange.paperwork.work import Paperwork
from levelhead.exchange.sound_check import PARTS, SoundCheck, Step, sound_check
from levelhead.exchange.sound_check.channels import HOT_ROOM_DB, channels
from levelhead.planning.check import Check
from levelhead.planning.desks import Desk
from levelhead.planning.gains.planned.ends import MeterMark
from levelhead.show.edits import Set, SetFigure
from levelhead.verdicts.read.strips import clip_level_dbu
from tests.paper.shows import checked

SHOWS = (
    "duo-in-a-pub.yaml",
    "church-band.yaml",
    "outdoor-stage.yaml",
    "wedding.yaml",
    "choir-concert.yaml",
    "quiet-disco.yaml",
    "conference.yaml",
    "odd-leads.yaml",
)


@cache
def work_of(name: str) -> Paperwork:
    return Paperwork(checked(name))


@cache
def order_of(name: str) -> SoundCheck:
    return sound_check(work_of(name))


def of_part(name: str, part: str) -> list[Step]:
    return [each for each in order_of(name).steps if each.part == part]


def one_by_one(name: str) -> list[Step]:
    """Steps of single sources: they set something."""
    return [each for each in of_part(name, "sources") if each.sets]


@pytest.mark.parametrize("name", SHOWS)
def test_parts_come_in_their_order(name: str) -> None:
    parts = [each.part for each in order_of(name).steps]
    assert parts == sorted(parts, key=list(PARTS).index)
    assert {"power-up", "sources", "loudest", "power-down"} <= set(parts)


@pytest.mark.parametrize("name", SHOWS)
def test_what_drives_loudspeakers_is_on_last_and_off_first(name: str) -> None:
    """Common practice; who drives them follows from the ways of the signal."""
    work = work_of(name)
    drivers = [work.called(each) for each in turns_of(work).drivers]
    if drivers:
        assert drivers[0] in of_part(name, "power-up")[-1].do
        assert drivers[0] in of_part(name, "power-down")[1].do


@pytest.mark.parametrize("name", SHOWS)
def test_every_strip_with_a_signal_has_its_step(name: str) -> None:
    work = work_of(name)
    strips = {
        (port.item.id, port.block.name)
        for address in work.strips
        if work.is_input(port := work.rig.ports[address])
    }
    told = {(work.rig.ports[each.at].item.id, work.rig.ports[each.at].block.name) for each in
            of_part(name, "sources")}  # fmt: skip
    assert told == strips


@pytest.mark.parametrize("name", SHOWS)
def test_hot_sources_come_first_and_are_told_so_by_numbers(name: str) -> None:
    work = work_of(name)
    found = channels(work)
    for depth in {each.depth for each in found}:
        hot = [each.is_hot for each in found if each.depth == depth]
        assert hot == sorted(hot, reverse=True)
    for channel, step in zip(found, one_by_one(name), strict=True):
        rooms = [
            clip_level_dbu(work.check.trial.solution, strip.port) - strip.peak_dbu
            for strip in channel.strips
        ]
        assert (step.caution is not None) == (round(min(rooms), 1) < HOT_ROOM_DB)


def test_a_hot_source_is_no_matter_of_its_name() -> None:
    """The disc jockey of the wedding at line level is hot; 20 dB softer it is not."""
    loud = of_part("wedding.yaml", "sources")[0]
    assert loud.caution is not None
    assert "+14.9 dBu" in loud.caution
    trial = checked("wedding.yaml").trial
    player = next(each for each in trial.show.items.values() if "jockey" in each.called)
    softer = trial.after([SetFigure(player.id, "generator.level", "-36 dBFS")])
    assert softer is not None
    after = Paperwork(Check(softer.judgement.verdict, softer.judgement.findings, (), softer))
    assert not any(each.is_hot for each in channels(after))


def test_a_desk_with_pfl_is_listened_to_with_it() -> None:
    """Found by what the switch does: it leads the strip into a meter that leads nowhere."""
    for step in of_part("church-band.yaml", "sources"):
        assert "PFL on" in step.do
        assert "PFL off, mute off, up to the mark" in step.do
    assert not any("PFL" in each.do for each in of_part("outdoor-stage.yaml", "sources"))


def test_a_group_switch_is_not_for_listening() -> None:
    work = work_of("church-band.yaml")
    desk = Desk(work.rig, work.rig.items["desk"])
    strip = work.rig.items["desk"].plan.block("ch3")
    assert desk.listening(strip) == ("desk.ch3.pfl", "on")
    assert desk.muting(strip) == ("desk.ch3.mute", "on")
    assert desk.fader(strip) == "desk.ch3.fader"
    assert desk.gains(strip, "mic") == ("desk.ch3.gain",)


def test_sends_before_the_fader_are_told() -> None:
    (aux,) = [each for each in of_part("outdoor-stage.yaml", "sends") if each.at == "desk.aux1"]
    assert "Ada 0 dB" in aux.do
    assert "(before the faders)" in aux.do
    assert aux.caution is not None


def test_a_send_that_is_off_is_not_told() -> None:
    (aux,) = [each for each in of_part("outdoor-stage.yaml", "sends") if each.at == "desk.aux1"]
    assert "Snare" not in aux.do


def test_the_loudest_moment_is_that_of_the_solved_rig() -> None:
    """Peaks and headroom are those of the levels, at the tightest stage behind the mixer."""
    solution = checked("outdoor-stage.yaml").trial.solution
    steps = {each.at: each for each in of_part("outdoor-stage.yaml", "loudest") if each.at}
    wedges = steps["amp-wedges.ch1.power"]
    headroom = solution.levels("amp-wedges.ch1.power").headroom
    assert headroom is not None
    assert f"with {headroom:.1f} dB to spare" in wedges.do
    assert "Wedge of the drums" in wedges.do


def test_what_a_meter_reads_stands_with_its_detector_and_its_zero() -> None:
    """A digital meter counts from full scale: 2 dB over a zero of -20 dBFS is -18 dBFS."""
    work = work_of("outdoor-stage.yaml")
    strip = work.strips["desk.ch1.mic"]
    mark = MeterMark(strip.metered.address, "Desk, ch1", "peak", "rms", 2.0, -3.0, 6.0, alone="ada")
    step = next(each for each in sound_check(work, [mark]).steps if each.at == "desk.ch1.mic")
    assert step.meter == "-18 dBFS, peak"
    assert step.between == "-23 to -14"


def test_an_analogue_meter_counts_from_its_own_zero() -> None:
    work = work_of("duo-in-a-pub.yaml")
    strip = work.strips["desk.ch1.mic"]
    mark = MeterMark(strip.metered.address, "Desk, ch1", "vu", "rms", 0.2, -3.0, 3.0, alone="mia")
    step = next(each for each in sound_check(work, [mark]).steps if each.at == "desk.ch1.mic")
    assert step.meter == "0 dB, peak"
    assert step.between == "-3 to +3"


@pytest.mark.parametrize("name", SHOWS)
def test_steps_are_numbered_and_written_for_programs(name: str) -> None:
    order = order_of(name)
    rows = order.to_json()
    assert [each["number"] for each in rows] == list(range(1, len(order.steps) + 1))
    assert all(each["part"] in PARTS for each in rows)


@pytest.mark.parametrize("name", SHOWS)
def test_sentences_read_as_such(name: str) -> None:
    for step in order_of(name).steps:
        assert step.do[0] == step.do[0].upper() or step.at
        assert step.do.endswith(".")
        assert not re.search(r"\(\)|  |\.\.", step.do)
        assert "lift" not in (step.caution or "").casefold()


def test_an_item_that_is_called_otherwise_gets_the_same_order() -> None:
    """No step hangs on a name."""
    from levelhead.show.edits import Relabel

    trial = checked("church-band.yaml").trial
    renamed = trial.after([Relabel("desk", "Box of knobs")])
    assert renamed is not None
    work = Paperwork(Check(renamed.judgement.verdict, renamed.judgement.findings, (), renamed))
    one, other = order_of("church-band.yaml"), sound_check(work)
    assert [each.at for each in one.steps] == [each.at for each in other.steps]
    assert [each.sets for each in one.steps] == [each.sets for each in other.steps]


def test_switches_that_are_pressed_already_are_found_as_well() -> None:
    """A show that was saved with PFL and mutes on still says which switches those are."""
    trial = checked("church-band.yaml").trial
    pressed = trial.after([Set("desk.ch3.pfl", "on"), Set("desk.ch3.mute", "on")])
    assert pressed is not None
    rig = pressed.solution.rig
    desk = Desk(rig, rig.items["desk"])
    strip = rig.items["desk"].plan.block("ch3")
    assert desk.listening(strip) == ("desk.ch3.pfl", "on")
    assert desk.muting(strip) == ("desk.ch3.mute", "on")
