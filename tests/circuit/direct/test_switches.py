"""The battery of an active instrument is on only while ring and sleeve are joined."""

from __future__ import annotations

import pytest

from tests.gear.plugging import Plugged, plugged

TYPES = {"bass": "bass-active", "guitar": "guitar-acoustic-preamp", "di": "di-active"}
ITEMS = TYPES | {"desk": "mixer-compact", "ears": "headphone-amplifier"}
MONO, STEREO = "cable-jack 5 m", "cable-jack-balanced 5 m"


def dead(*links: Plugged, **settings: str) -> bool:
    """Whether the bass has no power."""
    switches = {"desk.phantom": "on"} | {f"bass.{name}": value for name, value in settings.items()}
    return "bass" in plugged(ITEMS, links, settings=switches).dead


def test_a_mono_lead_switches_the_battery_on() -> None:
    """Case wiring-active-bass-with-ts-lead: the sleeve of the plug closes the switch."""
    onward: Plugged = ("di.out", "desk.ch1.mic", "cable-xlr 5 m")
    links: list[Plugged] = [("bass.out", "di.in", MONO), onward]
    solution = plugged(ITEMS, links, settings={"desk.phantom": "on"})
    assert "bass" not in solution.dead
    assert solution.levels("di.out").nominal is not None


@pytest.mark.parametrize("into", ["di.in", "desk.ch1.line"])
def test_a_three_pole_lead_leaves_it_dead(into: str) -> None:
    """Case wiring-active-bass-with-trs-lead: neither a mono socket nor a balanced input joins."""
    assert dead(("bass.out", into, STEREO))


def test_a_far_end_that_grounds_the_ring_switches_it_on_after_all() -> None:
    """A two-pole plug on the other end of the run does what one in the bass would do."""
    assert not dead(("bass.out", "di.in", f"{STEREO}, adaptor-jack-coupler, {MONO}"))


def test_without_a_plug_the_battery_is_off() -> None:
    assert dead()


def test_a_closed_switch_is_no_battery() -> None:
    assert dead(("bass.out", "di.in", MONO), battery="none")


def test_all_instruments_like_it_have_the_switch() -> None:
    links: list[Plugged] = [("guitar.out", "di.in", STEREO)]
    assert "guitar" in plugged(ITEMS, links, settings={"desk.phantom": "on"}).dead
