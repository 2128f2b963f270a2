"""A plan tells whether it rings: by the same loop as the feedback of the planned show."""

from __future__ import annotations

import pytest

from levelhead.acoustics.rings.rings_of import ringing_of
from levelhead.gear.book import load_book
from levelhead.planning.gains.make import Made, make_plan
from levelhead.planning.gains.ringing import ringing_words
from levelhead.show.document import parse_show
from tests.verdicts.air.halls import CHAIRS, show_text

BEHIND = (
    "at: [0, -4, 2], aim: [0, 9, 1.2]"  # of the talker: the loudspeaker looks at the microphone
)


def planned(level: float, *, room: bool = True, box: str = BEHIND) -> Made:
    """A talker in a hall, planned to some level at the chairs. [dB(A)]"""
    areas = f"{{chairs: {{{CHAIRS}, level: {level} dB(A)}}}}"
    text = show_text(areas=areas, box=box, talker="voice-talker")
    if not room:
        text = show_text(room=None, areas=None, box=box, talker="voice-talker")
    return make_plan(parse_show(text, "talk.yaml").show, load_book())


@pytest.mark.parametrize("level", [70.0, 74.0, 78.0, 80.0, 130.0])
def test_what_is_told_is_the_margin_of_the_planned_show(level: float) -> None:
    made = planned(level)
    margin = ringing_of(made.after).margin
    assert margin is not None
    told = " ".join(ringing_words(made.after))
    if margin.median_db >= 6.0:
        assert not told
    elif margin.median_db < 0:
        assert "rings before it is reached" in told
    elif margin.sure_db < 0:
        assert "turns on the place" in told
    else:
        assert "Ringing is near" in told
    if told:
        assert f"{abs(margin.median_db):.1f} dB" in told
        assert f"{abs(margin.sure_db):.1f} dB" in told
        assert told in " ".join(made.plan.turns_on)


def test_a_plan_is_no_louder_than_nineteen_of_twenty_rooms_bear() -> None:
    """Wanted louder, it stays there, and says by how much; wanted softer, nothing is taken."""
    for level, is_lowered in ((70.0, False), (80.0, True), (130.0, True)):
        made = planned(level)
        margin = ringing_of(made.after).margin
        assert margin is not None
        assert margin.sure_db > -0.3
        assert ("That would ring" in made.plan.anchor) is is_lowered
        if is_lowered:
            assert margin.sure_db < 0.5
    lowered = [
        float(planned(each).plan.anchor.partition("ring: everything is ")[2].split(" dB")[0])
        for each in (79.0, 81.0)
    ]
    assert lowered[1] - lowered[0] == pytest.approx(2.0, abs=0.2)
    short = planned(80.0).plan.goal("loudness")
    assert not short.reached
    assert "softer than wanted" in short.mends[0]


def test_a_show_that_stays_as_loud_as_it_is_set_is_told_to_ring() -> None:
    text = show_text(box=BEHIND, talker="voice-talker", level_db=0.0, gain_db=50.0)
    made = make_plan(parse_show(text, "talk.yaml").show, load_book(), loudness="as-set")
    assert "rings before it is reached" in " ".join(made.plan.turns_on)


def test_nothing_is_said_where_nobody_told_the_places() -> None:
    nowhere = planned(80.0, room=False, box="aim: [0, 9, 1.2]")
    assert not list(ringing_words(nowhere.after))


def test_places_alone_hold_a_plan_under_ringing() -> None:
    """Without a room by straight sound: nineteen of twenty stay quiet, and that is said."""
    made = planned(80.0, room=False)
    margin = ringing_of(made.after).margin
    assert margin is not None
    assert -0.3 < margin.sure_db < 0.5
    assert "That would ring" in made.plan.anchor
