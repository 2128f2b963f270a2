"""The mic/line switch of a loudspeaker says what is plugged there: a plan leaves it as it fits.

Common practice: a loudspeaker behind a mixer stands at line, one with a microphone at mic; nobody
sets it for a decibel. What each position is worth is computed, never told by its name.
"""

from __future__ import annotations

import pytest

from levelhead.gear.book import load_book
from levelhead.planning.gains.make import Made, make_plan
from levelhead.show.document import parse_show

BEHIND_A_DESK = """levelhead: 1
show: {{name: Panel}}
items:
  mic-1: {{type: mic-gooseneck-condenser}}
  mic-2: {{type: mic-gooseneck-condenser}}
  desk: {{type: mixer-digital-16}}
  pa: {{type: loudspeaker-powered-12}}
sources:
  ada: {{type: voice-talker, at: mic-1, distance: 40 cm}}
  max: {{type: voice-talker, at: mic-2, distance: 40 cm}}
links:
  - {{from: "mic-[1-2].out", to: "desk.ch[1-2].mic", via: [cable-xlr 10 m]}}
  - {{from: desk.main-left.out, to: pa.in, via: [{lead} 15 m]}}
settings:
  desk: {{ch1: {{gain: 40 dB, phantom: on}}, ch2: {{gain: {other} dB, phantom: on}}}}
  pa: {{input: {position}}}
"""

ALONE = """levelhead: 1
show: {name: Reader}
items:
  mic: {type: mic-vocal-dynamic}
  pa: {type: loudspeaker-powered-12}
sources:
  ada: {type: voice-talker, at: mic, distance: 10 cm}
links:
  - {from: mic.out, to: pa.in, via: [cable-xlr 10 m]}
settings:
  pa: {input: line}
"""


def made_of(text: str) -> Made:
    return make_plan(parse_show(text, "panel.yaml").show, load_book())


def behind_a_desk(*, lead: str = "cable-xlr", other: int = 40, position: str = "line") -> Made:
    return made_of(BEHIND_A_DESK.format(lead=lead, other=other, position=position))


def planned(made: Made, control: str) -> str:
    return str(made.after.rig.setting(control))


@pytest.mark.parametrize("lead", ["cable-xlr", "cable-xlr-pin-3-tied"])
@pytest.mark.parametrize("other", [40, 60])
def test_nobody_goes_to_mic_for_a_little_loudness_or_noise(lead: str, other: int) -> None:
    """Pin 3 tied takes 6 dB and makes the desk clip early, one talker is set 20 dB over: borne."""
    made = behind_a_desk(lead=lead, other=other)
    assert planned(made, "pa.input") == "line"
    assert made.after.rig.setting_db("desk.main") > -20.0


def test_mic_behind_a_desk_goes_to_line() -> None:
    """Left at mic, the desk would run some 25 dB under its meters."""
    assert planned(behind_a_desk(position="mic"), "pa.input") == "line"


def test_a_microphone_alone_needs_mic() -> None:
    """At line it is 30 dB too quiet: that is what the switch is for."""
    assert planned(made_of(ALONE), "pa.input") == "mic"


def test_more_gain_is_no_cure_where_the_loudspeaker_itself_is_full() -> None:
    """A singer's peaks use the wedge up: its switch at mic, 30 dB before it, is not spoken of."""
    made = made_of(
        """levelhead: 1
show: {name: Wedge}
items:
  vox: {type: mic-vocal-dynamic}
  guitar: {type: guitar-acoustic-preamp}
  di: {type: di-active}
  desk: {type: mixer-analogue-16}
  wedge: {type: wedge-powered}
  pa: {type: loudspeaker-powered-12}
sources: {ina: {type: voice-singer, at: vox, distance: 5 cm}}
links:
  - {from: vox.out, to: desk.ch1.mic, via: [cable-xlr 10 m]}
  - {from: guitar.out, to: di.in, via: [cable-jack 5 m]}
  - {from: di.out, to: desk.ch2.mic, via: [cable-xlr 10 m]}
  - {from: desk.aux1.out, to: wedge.in, via: [cable-jack-balanced 10 m]}
  - {from: desk.main-left.out, to: pa.in, via: [cable-xlr 10 m]}
settings:
  desk:
    phantom: on
    ch1: {gain: 34 dB, fader: 0 dB, send1: 0 dB}
    ch2: {gain: 20 dB, fader: -5 dB, send1: -6 dB}
  pa: {level: -10 dB}
"""
    )
    mends = made.plan.goal("loudness").mends
    assert any("already use the reserve of wedge" in each for each in mends)
    assert not any("mic/line" in each for each in mends)
