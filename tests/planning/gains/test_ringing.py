"""A plan tells whether it rings: by the same loop as the feedback of the planned show."""

from __future__ import annotations

import pytest

from levelhead.acoustics.rings_of import ringing_of
from levelhead.gear.book import load_book
from levelhead.planning.gains.make import Made, make_plan
from levelhead.planning.gains.ringing import ringing_words
from levelhead.show.document import parse_show
from tests.verdicts.air.halls import CHAIRS, show_text

BEHIND = (
    "at: [0, -4, 2], aim: [0, 9, 1.2]"  # of the talker: the loudspeaker looks at the microphone
)


def planned(level: float, *, room: bool = True) -> Made:
    """A talker in a hall, planned to some level at the chairs. [dB(A)]"""
    areas = f"{{chairs: {{{CHAIRS}, level: {level} dB(A)}}}}"
    text = show_text(areas=areas, box=BEHIND, talker="voice-talker")
    if not room:
        text = show_text(room=None, areas=None, box=BEHIND, talker="voice-talker")
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
        assert "turns on the room" in told
    else:
        assert "Ringing is near" in told
    if told:
        assert f"{abs(margin.median_db):.1f} dB" in told
        assert f"{abs(margin.sure_db):.1f} dB" in told
        assert told in " ".join(made.plan.turns_on)


def test_loud_rings_and_soft_does_not() -> None:
    """The same hall: what rings turns on the level alone, dB by dB."""
    loud, soft = (ringing_of(planned(each).after).margin for each in (80.0, 70.0))
    assert loud is not None
    assert soft is not None
    assert soft.median_db - loud.median_db == pytest.approx(10.0, abs=0.5)
    assert not list(ringing_words(planned(70.0).after))
    assert list(ringing_words(planned(130.0).after))


def test_nothing_is_said_where_nobody_told_the_places() -> None:
    assert not list(ringing_words(planned(80.0, room=False).after))
