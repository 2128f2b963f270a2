"""One signal twice at seats: colours and delayed loudspeakers, and what is no reason to speak."""

from __future__ import annotations

import pytest

from levelhead.verdicts.air.words import COMB, DELAYED
from levelhead.verdicts.told.finding import Finding
from tests.verdicts.air.halls import CARE, FINE, HALL, one

LAWN = "{lawn: {corners: [[-6, 3], [6, 3], [6, 15], [-6, 15]]}}"


def pair(*, apart_m: float, room: str = "{where: outdoors}", turned_m: float = 0.0) -> Finding:
    """Two tops of one signal so far apart, each turned so far to its side at 12 m."""
    text = f"""levelhead: 1
show: {{name: Twins}}
items:
  player: {{type: player-pro}}
  desk: {{type: mixer-compact}}
  one: {{type: loudspeaker-powered-12, at: [{-apart_m / 2}, 0, 2.2], aim: [{-apart_m / 2 - turned_m}, 12, 1.2]}}
  two: {{type: loudspeaker-powered-12, at: [{apart_m / 2}, 0, 2.2], aim: [{apart_m / 2 + turned_m}, 12, 1.2]}}
links:
  - {{from: player.out-left, to: desk.st1.in-left, via: [lead-xlr-jack-balanced 3 m]}}
  - {{from: desk.main-left.out, to: one.in, via: [cable-xlr 10 m]}}
  - {{from: one.link, to: two.in, via: [cable-xlr 2 m]}}
settings: {{desk: {{st1: {{fader: -10 dB}}}}, one: {{level: -10 dB}}, two: {{level: -10 dB}}}}
room: {room}
areas: {LAWN}
"""  # noqa: E501 - lines of a show
    found = one(text, COMB)
    assert found is not None
    return found


def test_two_tops_side_by_side_colour_each_other() -> None:
    """70 cm apart, both to the same seats: a copy as loud, up to 2 ms later."""
    found = pair(apart_m=0.7)
    assert found.severity is CARE
    assert float(found.why[0].value or 0) > 8.0


def test_left_and_right_of_a_stage_are_no_alarm() -> None:
    """From two sides ears hear width; so does every audience of two loudspeakers."""
    assert pair(apart_m=7.0).severity is FINE
    assert pair(apart_m=5.0, room=HALL).severity is FINE


def test_reverberation_fills_the_dips() -> None:
    """The same pair in a hall that sounds for three seconds: less from peak to dip."""
    live = HALL.replace("reverberation: 1 s", "reverberation: 3 s")
    dry, wet = pair(apart_m=0.7), pair(apart_m=0.7, room=live)
    assert float(wet.why[0].value or 0) < float(dry.why[0].value or 0) - 3.0


def delayed(
    *, time_ms: float, level_db: float, back_m: float = 15.0, more: str = "", area: str = ""
) -> Finding | None:
    """A loudspeaker down a lawn that repeats one at its edge."""
    area = area or "[[-3, 16], [3, 16], [3, 30], [-3, 30]]"
    text = f"""levelhead: 1
show: {{name: Long}}
items:
  player: {{type: player-pro}}
  desk: {{type: mixer-compact}}
  unit: {{type: delay-unit}}
  front: {{type: loudspeaker-powered-12, label: Front, at: [0, 0, 2.2], aim: [0, 12, 1.2]}}
  back: {{type: loudspeaker-powered-12, label: Back, at: [0, {back_m}, 2.2], aim: [0, 40, 1.2]}}
links:
  - {{from: player.out-left, to: desk.st1.in-left, via: [lead-xlr-jack-balanced 3 m]}}
  - {{from: desk.main-left.out, to: front.in, via: [cable-xlr 10 m]}}
  - {{from: front.link, to: unit.in, via: [cable-xlr 20 m]}}
  - {{from: unit.out-1, to: back.in, via: [cable-xlr 2 m]}}
settings:
  desk: {{st1: {{fader: -10 dB}}}}
  front: {{level: -10 dB}}
  back: {{level: {level_db} dB}}
  unit: {{tap-1: {{time: {time_ms} ms}}}}
room: {{where: outdoors}}
areas: {{lawn: {{corners: {area}}}}}
{more}"""
    return one(text, DELAYED)


@pytest.mark.parametrize(
    ("time_ms", "level_db", "severity"),
    [(57, -16, FINE), (57, -4, CARE), (42, -18, CARE), (42, -24, FINE)],
)
def test_a_delayed_loudspeaker_and_the_front(
    time_ms: float, level_db: float, severity: object
) -> None:
    """15 ms behind it may be 10 dB louder; at the same time it may not."""
    found = delayed(time_ms=time_ms, level_db=level_db)
    assert found is not None
    assert found.severity is severity


def test_an_echo_is_told_by_its_own_rule() -> None:
    """Without any delay it comes 44 ms before the front: nothing is said here."""
    assert delayed(time_ms=0, level_db=-10) is None


def test_a_foyer_is_no_delay() -> None:
    """Where nothing of the front is left, nobody waits for it."""
    foyer = "[[-1, 61], [1, 61], [1, 63], [-1, 63]]"
    assert delayed(time_ms=180, level_db=-10, back_m=60.0, area=foyer) is None
