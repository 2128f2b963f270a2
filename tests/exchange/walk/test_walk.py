"""The walk along a channel: what meters should read, and whether it finds what was put in."""

from __future__ import annotations

import math
from functools import cache

import pytest

from levelhead.errors import AskError
from levelhead.exchange.paperwork.work import Paperwork
from levelhead.exchange.walk import (
    Walk,
    answers_of,
    channel_meant,
    narrowed,
    walked,
)
from levelhead.exchange.walk.alone import Alone
from levelhead.exchange.walk.places import Ground
from levelhead.gear.book import load_book
from levelhead.planning.check import check_show
from levelhead.show.document import parse_show
from levelhead.show.edits import Edit, Set, SetPins
from tests.paper.shows import checked
from tests.planning.remedy.test_through_copper import SHOW as BEHIND_A_MULTICORE

BAND = "church-band.yaml"
HALL = "village-hall.yaml"


@cache
def band() -> Paperwork:
    return Paperwork(checked(BAND))


def made(work: Paperwork, channel: str, symptom: str = "silent") -> tuple[Walk, Ground]:
    return walked(work, channel_meant(work, channel), symptom)  # type: ignore[arg-type]


def kinds(walk: Walk) -> list[str]:
    return [stop.kind for stop in walk.stops]


def test_stops_stand_in_signal_order() -> None:
    """Source, lead, DI with its lead, phantom, gain, bus, amplifier, loudspeaker."""
    walk, _ = made(band(), "ch8")
    order = ["source", "lead", "lead", "phantom", "gain", "routing", "output", "output"]
    assert kinds(walk) == order
    assert "di-acoustic" in walk.stops[2].title
    assert walk.stops[-1].expected[0].unit == "dB SPL"


def test_what_needs_no_phantom_has_no_stop_for_it() -> None:
    assert "phantom" not in kinds(made(band(), "ch3")[0])


@pytest.mark.parametrize("name", ["ch4", "desk.ch4", "desk.ch4.mic", "4", "harmony", "vox-2"])
def test_a_channel_is_meant_by_its_place_its_number_or_its_player(name: str) -> None:
    assert channel_meant(band(), name).address == "desk.ch4.mic"


def test_a_channel_that_is_none_has_its_neighbour_named() -> None:
    with pytest.raises(AskError, match=r"no channel 'ch33'.*desk\.ch3"):
        channel_meant(band(), "ch33")


@pytest.mark.reference("IEC 61938: P48 is fed through 6.8 kohm in each leg")
def test_phantom_volts_at_the_microphone() -> None:
    """Two feeds of 6.8 kohm side by side: 48 V less 3.4 kohm times the current."""
    work = band()
    walk, _ = made(work, "ch4")
    stop = next(each for each in walk.stops if each.kind == "phantom")
    arrival = work.check.trial.solution.phantom_at("vox-2")
    assert arrival is not None
    assert stop.expected[0].reads == pytest.approx(48 - 3400 * arrival.current_a, abs=0.1)
    assert stop.expected[0].low == pytest.approx(arrival.needed_v)


@pytest.mark.reference("Sum of levels: pressure, sensitivity, gain (IEC 60268-4, IEC 60268-1)")
def test_a_meter_reads_the_sum_of_its_way() -> None:
    """By hand: level of the capsule, the lead, the gain, on a peak meter with +4 dBu at 0."""
    work = band()
    _, ground = made(work, "ch3")
    solution = work.check.trial.solution
    capsule = ground.alone.levels("vox-1.capsule")
    read = ground.alone.expected("desk.ch3.preamp")
    assert capsule is not None
    assert capsule.nominal is not None
    assert read is not None
    lost_db = capsule.nominal - (solution.levels("desk.ch3.mic").nominal or 0.0)
    source = ground.route.source
    assert source is not None
    crest_db = source.peak_to_rms_db.value - 20 * math.log10(math.sqrt(2))
    assert read.reads == pytest.approx(capsule.nominal - lost_db + 34.0 + crest_db - 4.0, abs=0.1)


def test_behind_the_sum_only_this_channel_is_read() -> None:
    """The bus meter with one source is lower than with everybody."""
    walk, ground = made(band(), "ch3")
    bus = next(each for each in walk.stops if each.kind == "routing").expected[0]
    with_all = ground.work.check.trial.solution.levels(bus.at)
    alone = ground.alone.levels(bus.at)
    assert alone is not None
    assert alone.nominal is not None
    assert with_all.nominal is not None
    assert alone.nominal < with_all.nominal - 3.0


def test_listening_is_read_on_the_meter_for_it() -> None:
    walk, _ = made(band(), "ch3")
    gain = next(each for each in walk.stops if each.kind == "gain")
    assert [each.how for each in gain.expected] == ["meter", "pfl"]
    assert ".ch3." not in gain.expected[1].at


def test_a_show_that_is_silent_by_itself_says_so() -> None:
    """Phantom power is off in the hall: it is said, and readings are those with it on."""
    walk, _ = made(Paperwork(checked(HALL)), "ines")
    assert any("phantom" in each for each in walk.said)
    assert "Readings are told with this done" in walk.said[-1]
    assert all(stop.expected for stop in walk.stops if stop.kind in {"phantom", "gain"})


def test_loudspeaker_lines_and_phantom_power_have_their_cautions() -> None:
    walk, _ = made(band(), "ch8")
    assert "voltages that can shock" in str(walk.stops[-1].caution)
    assert "Phantom power is on" in str(walk.stops[3].caution)


def test_a_mains_earth_is_never_lifted() -> None:
    for work in (band(), Paperwork(checked(HALL))):
        walk, _ = made(work, "ch2", "hum")
        assert "deadly" in walk.cautions[0]
        said = " ".join(each.what for stop in walk.stops for each in stop.candidates)
        assert "lift" not in said.replace("ground lift", "")


def test_one_wire_lost_is_told_with_what_it_costs() -> None:
    """A floating capsule with one leg open has no circuit but its stray capacitance."""
    walk, _ = made(band(), "ch3", "thin")
    lead = walk.stops[1]
    told = [each.what for each in lead.candidates if "pin 2" in each.what]
    assert len(told) == 1
    assert "dB less of its bass" in told[0]


def test_the_tightest_stage_comes_first_when_it_breaks_up() -> None:
    work = Paperwork(checked(HALL))
    walk, _ = made(work, "ch1", "distorted")
    gain = next(each for each in walk.stops if each.kind == "gain")
    room_db = work.check.trial.solution.levels("desk.ch1.preamp").headroom
    assert room_db is not None
    assert f"{room_db:.1f} dB are left" in gain.candidates[0].what


# ---------------------------------------------------------------- narrowing


def test_readings_bracket_the_fault() -> None:
    walk, ground = made(band(), "ch3")
    found = narrowed(walk, ground, answers_of(["3=right", "4: meter reads -40"], walk))
    assert (found.good, found.bad) == (3, 4)
    fader = next(each for each in found.suspects if "fader" in each.candidate.what)
    assert fader.fits is True
    assert fader.would_read == "down to nothing"


def test_phantom_power_tells_of_its_lead_not_of_the_source() -> None:
    walk, ground = made(band(), "ch4")
    number = next(each.number for each in walk.stops if each.kind == "phantom")
    found = narrowed(walk, ground, {number: 0.2})
    assert found.bad == number
    assert found.suspects[0].fits is True
    assert {each.stop for each in found.suspects} == {number}
    assert narrowed(walk, ground, {number: "right"}).good == 0


@pytest.mark.parametrize("typed", ["9=right", "x", "4", "1=-40"])
def test_what_is_no_answer_is_refused(typed: str) -> None:
    walk, _ = made(band(), "ch3")
    with pytest.raises(AskError, match="Write it like"):
        answers_of([typed], walk)


FAULTS: tuple[tuple[str, Edit], ...] = (
    ("phantom", SetPins("desk.ch4.mic", {"1": "open"})),
    ("gain", Set("desk.ch4.gain", "10 dB")),
    ("routing", Set("desk.ch4.mute", "on")),
    ("routing", Set("desk.ch4.fader", "off")),
    ("routing", Set("desk.main", "off")),
    ("output", Set("amp-pa.ch2.level", "off")),
    ("output", SetPins("pa-right.in", {"1+": "open"})),
)


@pytest.mark.parametrize(("kind", "fault"), FAULTS)
def test_a_fault_that_was_put_in_is_found(kind: str, fault: Edit) -> None:
    """Meters of a copy with the fault are typed back; it lies in the stretch that is told."""
    work = band()
    walk, ground = made(work, "harmony")
    after = work.check.trial.after([fault])
    assert after is not None
    faulty = Alone(after, ground.route)
    answers: dict[int, float] = {}
    for stop in walk.stops:
        for expected in stop.expected[:1]:
            if expected.how == "volts":
                direct = after.solution.dc_at(expected.at)
                answers[stop.number] = 0.0 if direct is None else direct.common_v
            else:
                is_sound = expected.how == "sound"
                read = faulty.sound(expected.at) if is_sound else faulty.expected(expected.at)
                answers[stop.number] = expected.reads - 60 if read is None else read.reads
    found = narrowed(walk, ground, answers)
    assert found.bad is not None
    inside = [stop for stop in walk.stops if found.good < stop.number <= found.bad]
    assert kind in {stop.kind for stop in inside}
    stops = {stop.number for stop in inside if stop.kind == kind}
    assert any(each.fits is True and each.stop in stops for each in found.suspects)


def test_json_holds_what_a_page_needs() -> None:
    walk, ground = made(band(), "ch3")
    content = walk.to_json()
    assert content["stops"][2]["expected"][0]["unit"] == "dB"
    assert content["other_ends"][0]["item"]
    assert narrowed(walk, ground, {3: "wrong"}).to_json()["bad"] == 3


def test_a_dead_microphone_behind_a_multicore_is_walked_all_the_same() -> None:
    """Nothing arrives anywhere: each stop says so, none asks for a level that is not there."""
    work = Paperwork(check_show(parse_show(BEHIND_A_MULTICORE, "guitar").show, load_book()))
    walk, _ = made(work, "desk.ch2")
    assert kinds(walk)[0] == "source"
    assert "phantom" in kinds(walk)
