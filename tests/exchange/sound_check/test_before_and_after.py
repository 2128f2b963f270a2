"""Steps around the single sources: music into loudspeakers, several hot ones, what rings."""

from __future__ import annotations

from functools import cache

import pytest

from levelhead.exchange.paperwork.work import Paperwork
from levelhead.exchange.sound_check import SoundCheck, Step, sound_check
from levelhead.exchange.sound_check.channels import channels
from levelhead.gear.book import load_book
from levelhead.planning.check import Check
from levelhead.planning.trial import try_show
from levelhead.show.document import parse_show
from tests.paper.shows import checked
from tests.verdicts.air.halls import show_text


@cache
def order_of(name: str) -> SoundCheck:
    return sound_check(Paperwork(checked(name)))


def of_part(order: SoundCheck, part: str) -> list[Step]:
    return [each for each in order.steps if each.part == part]


def test_music_comes_from_a_player_of_the_rig() -> None:
    """A disc jockey's player can play it, keys cannot: then a free input takes it."""
    wedding = of_part(order_of("wedding.yaml"), "loudspeakers")[0]
    church = of_part(order_of("church-band.yaml"), "loudspeakers")[0]
    assert "from Disc jockey" in wedding.do
    assert "by a free input" in church.do


def test_two_sides_are_heard_together_for_their_polarity() -> None:
    """Common practice: turned polarity takes the bass in the middle between two."""
    steps = of_part(order_of("wedding.yaml"), "loudspeakers")
    assert any("polarity" in each.do for each in steps)


def test_earphones_get_no_music_and_ring_with_nothing() -> None:
    """A show that is heard by earphones alone has neither step."""
    order = order_of("quiet-disco.yaml")
    work = Paperwork(checked("quiet-disco.yaml"))
    worn = {each.id for each in work.rig.items.values() if each.plan.is_worn}
    assert worn
    assert not worn & {each.at for each in of_part(order, "loudspeakers")}


@pytest.mark.parametrize("name", ["church-band.yaml", "marquee-wedding.yaml"])
def test_open_microphones_are_tried_before_the_loudest_moment(name: str) -> None:
    """Without a place nobody can say what rings first, and nothing is said of it."""
    (step,) = of_part(order_of(name), "ringing")
    assert step.caution is not None
    assert "by the numbers" not in step.do


@pytest.mark.parametrize("name", ["school-play.yaml", "outdoor-stage.yaml"])
def test_who_rings_first_is_that_of_the_loop(name: str) -> None:
    """As ``feedback`` says it of the same show, with a room and with places alone."""
    work = Paperwork(checked(name))
    (step,) = of_part(sound_check(work), "ringing")
    margin = work.ringing.margin
    assert margin is not None
    assert f"First by the numbers: {work.ringing.shares()[0][0][0]} at " in step.do
    where = "over" if margin.median_db >= 0 else "under"
    assert f"{abs(margin.median_db):.1f} dB {where} the marks" in step.do


def test_where_no_pair_has_its_places_they_are_tried_all_the_same() -> None:
    """The one microphone with a place is plugged into nothing; the open one has none."""
    spare = "  spare: {type: mic-vocal-dynamic, at: [0, -2, 1.5]}"
    text = show_text(room=None, areas=None, vox="need: must", more=spare)
    trial = try_show(parse_show(text, "talk.yaml").show, load_book())
    check = Check(trial.judgement.verdict, trial.judgement.findings, (), trial)
    (step,) = of_part(sound_check(Paperwork(check)), "ringing")
    assert "by the numbers" not in step.do


def test_several_hot_sources_are_told_once_what_to_do_first() -> None:
    """One step before them; at each stand its numbers alone."""
    work = Paperwork(checked("odd-leads.yaml"))
    hot = [each for each in channels(work) if each.is_hot]
    assert len(hot) >= 3
    first, *others = of_part(order_of("odd-leads.yaml"), "sources")
    assert first.do.startswith(f"The hot ones come first: {hot[0].who}")
    assert "headphones down" in first.do
    told = [each.caution for each in others if each.caution]
    assert len(told) == len(hot)
    assert not any("Before it plays" in each for each in told)


def test_of_one_hot_source_it_stands_with_it() -> None:
    first, *others = of_part(order_of("wedding.yaml"), "sources")
    assert "Before it plays" in (first.caution or "")
    assert not any(each.caution for each in others)


def test_an_effect_is_called_by_what_makes_it() -> None:
    """What a send feeds and what comes back to its mixer is the effect, not the mixer."""
    (send,) = [each for each in of_part(order_of("church-band.yaml"), "sends") if "aux3" in each.at]
    assert send.do.startswith("desk aux3 to reverb.")
