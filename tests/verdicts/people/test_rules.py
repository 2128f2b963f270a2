"""People: volts that can be touched, currents through a body, ears, order of switching."""

from __future__ import annotations

import json
import math
from typing import Any

import pytest

from levelhead.gear.book import load_book
from levelhead.planning.remedy.remedies import remedies_for
from levelhead.planning.trial import Trial, try_show
from levelhead.show.document import parse_show
from levelhead.verdicts.people.words import (
    EARS,
    EARTH,
    EXPOSURE,
    NO_DEVICE,
    OVERHEAD,
    RESIDUAL,
    SWITCHING,
    TINGLE,
    TOUCH,
)
from levelhead.verdicts.told.finding import Finding, Severity

HARM, CARE, FINE = Severity.HARM, Severity.CARE, Severity.FINE


def tried(**parts: Any) -> Trial:
    """A show of these parts, solved and judged."""
    text = json.dumps({"levelhead": 1, "show": {"name": "Hall"}, **parts})
    return try_show(parse_show(text, "hall").show, load_book())


def all_of(trial: Trial, code: str) -> list[Finding]:
    return [each for each in trial.judgement.findings if each.code == code]


def number(finding: Finding, name: str) -> float:
    """A number that led to a finding."""
    (found,) = [each.value for each in finding.why if each.name == name]
    assert found is not None
    return found


# ---------------------------------------------------------------- volts on bare contacts


def line(ceiling: str, amp: str = "amplifier-bridged-posts") -> Trial:
    box = "subwoofer-passive-posts" if amp.endswith("posts") else "loudspeaker-passive-12"
    stage, port = ("power", "amp.") if amp.endswith("posts") else ("ch.power", "amp.ch1.")
    lead = "cable-loudspeaker-bare-4 10 m" if amp.endswith("posts") else "cable-loudspeaker 10 m"
    return tried(
        items={
            "feed": {"type": "feed-line"},
            "amp": {"type": amp, "figures": {f"{stage}.ceiling": ceiling}},
            "box": {"type": box},
        },
        links=[
            {"from": "feed.out", "to": f"{port}in"},
            {"from": f"{port}out", "to": "box.in", "via": [lead]},
        ],
    )


@pytest.mark.parametrize(
    ("ceiling", "severity"),
    [("35 V", FINE), ("70.5 V", CARE), ("74 V", HARM), ("141 V", HARM)],
)
def test_bare_posts_are_held_against_71_v(ceiling: str, severity: Severity) -> None:
    """IEC 60065, 9.1.1.1: 71 V rms of audio; the load is 8 ohm behind 60 mohm."""
    found = {each.where: each for each in all_of(line(ceiling), TOUCH)}
    assert set(found) == {"amp.out", "box.in"}
    assert found["amp.out"].severity is severity
    assert (found["amp.out"].caution is None) == (severity is FINE)


def test_covered_contacts_are_told_and_never_judged() -> None:
    """However many volts: nobody reaches them."""
    for ceiling in ("34.6 V", "100 V"):
        (found,) = all_of(line(ceiling, "amplifier-two-channel"), TOUCH)
        assert found.severity is FINE
        assert "covered" in found.what


def test_line_level_has_no_finding() -> None:
    """Volts that nobody feels."""
    assert not all_of(grouped("0.1 mA"), TOUCH)


# ---------------------------------------------------------------- lost earths


def stage(earth: str = "sound", leak: str = "0.5 mA", **more: Any) -> Trial:
    """A guitar amplifier on a supply of its own, and an earthed microphone."""
    return tried(
        items={
            "amp": {"type": "guitar-amp-valve", "supply": "plug", "figures": {"leakage": leak}},
            "guitar": {"type": "guitar-electric-passive"},
            "mic": {"type": "mic-vocal-dynamic"},
            "desk": {"type": "mixer-compact", "supply": "hall"},
        },
        links=[
            {"from": "guitar.out", "to": "amp.in", "via": ["cable-jack 5 m"]},
            {"from": "mic.out", "to": "desk.ch1.mic", "via": ["cable-xlr 10 m"]},
            *more.get("links", []),
        ],
        supplies={"plug": {"outlet": "stage", "earth": earth}, "hall": {"outlet": "hall"}},
    )


def test_a_sound_earth_is_no_finding_at_all() -> None:
    """No blanket alarm for everyone who sings and plays."""
    assert not all_of(stage(), EARTH)
    assert not all_of(stage(), TINGLE)


def test_a_lost_earth_is_harm_with_the_volts_of_one_fault() -> None:
    """Nothing else earths it: all of the mains, and 115 to 230 mA (IEC TS 60479-1: 30 mA kill)."""
    (found,) = all_of(stage("lost"), EARTH)
    assert found.severity is HARM
    assert number(found, "volts to earth after one insulation fault") == pytest.approx(230, abs=0.5)
    assert "115 to 230 mA" in found.what
    assert found.caution is not None
    assert "electrician" in found.caution


def test_a_screen_to_the_desk_is_no_earth() -> None:
    """Fewer volts as long as the screen lasts; harm all the same."""
    lead = {"from": "amp.record.out", "to": "desk.ch2.line", "via": ["cable-jack 5 m"]}
    (found,) = all_of(stage("lost", links=[lead]), EARTH)
    assert found.severity is HARM
    assert 20 < number(found, "volts to earth after one insulation fault") < 225
    assert "audio leads alone" in found.what


def test_nothing_is_offered_that_works_around_a_lost_earth() -> None:
    """No edit at all, and no word of lifting."""
    trial = stage("lost")
    (found,) = all_of(trial, EARTH)
    assert remedies_for(trial, found) == ()
    assert "lift" not in f"{found.what} {found.caution}"


def test_double_insulated_gear_needs_no_earth() -> None:
    """A two-pin keyboard on the broken strip is no finding."""
    trial = tried(
        items={
            "keys": {"type": "keyboard-stereo", "supply": "strip"},
            "desk": {"type": "mixer-compact"},
        },
        links=[{"from": "keys.out-left", "to": "desk.ch1.line", "via": ["cable-jack 3 m"]}],
        supplies={"strip": {"outlet": "stage", "earth": "lost"}},
    )
    assert not all_of(trial, EARTH)


# ---------------------------------------------------------------- tingles


def grouped(leak: str, *, to_desk: bool = False) -> Trial:
    """Two keyboards with two-pin supplies whose leads meet, with half of a leakage each."""
    joined = [{"from": "a.out-right", "to": "desk.ch1.line", "via": ["cable-jack 3 m"]}]
    return tried(
        items={
            "a": {"type": "keyboard-stereo", "figures": {"leakage": leak}},
            "b": {"type": "in-ear-set", "figures": {"leakage": "1 uA"}},
            "desk": {"type": "mixer-compact"},
        },
        links=[
            {"from": "a.out-left", "to": "b.in-left", "via": ["cable-jack 3 m"]},
            *(joined if to_desk else []),
        ],
    )


@pytest.mark.parametrize(
    ("leak", "severity"),
    [
        ("0.2 mA", FINE),
        ("0.49 mA", FINE),
        ("0.49 mA +- 20 %", CARE),
        ("0.52 mA", CARE),
        ("9.9 mA", CARE),
        ("10.6 mA", HARM),
    ],
)
def test_what_leaks_is_held_against_what_is_felt(leak: str, severity: Severity) -> None:
    """IEC TS 60479-1: 0.5 mA is felt, some 10 mA is not let go of."""
    (found,) = all_of(grouped(leak), TINGLE)
    assert found.severity is severity


def test_felt_turns_the_sign_of_the_margin() -> None:
    """Just this and just that side of 0.5 mA."""
    under, over = (all_of(grouped(leak), TINGLE)[0].margin for leak in ("0.49 mA", "0.52 mA"))
    assert under is not None
    assert over is not None
    assert under > 0 > over


def test_a_screen_to_an_earthed_desk_ends_a_tingle() -> None:
    """The same leakage, earthed by a sound lead."""
    assert not all_of(grouped("2 mA", to_desk=True), TINGLE)


# ---------------------------------------------------------------- residual currents


def circuit(leak: str, rcd: str | None = "30 mA") -> Trial:
    """Ten powered loudspeakers on one circuit."""
    supply = {"outlet": "stage", "circuit": "1"} | ({} if rcd is None else {"rcd": rcd})
    loud = {"type": "loudspeaker-powered-12", "supply": "s", "figures": {"leakage": leak}}
    return tried(items={f"pow-{each}": loud for each in range(10)}, supplies={"s": supply})


@pytest.mark.parametrize(
    ("leak", "severity"), [("0.5 mA", FINE), ("1.49 mA", FINE), ("1.51 mA", CARE), ("3 mA", CARE)]
)
def test_leakages_add_up_to_half_of_a_rating(leak: str, severity: Severity) -> None:
    """IEC 61008-1: it must hold up to half of its rated residual current, 15 of 30 mA."""
    (found,) = all_of(circuit(leak), RESIDUAL)
    assert found.severity is severity
    assert found.margin is not None
    assert (found.margin >= 0) == (leak in {"0.5 mA", "1.49 mA"})
    assert severity is FINE or "never bypassed" in str(found.caution)


def test_without_a_stated_device_nothing_is_said() -> None:
    assert not all_of(circuit("3 mA", None), RESIDUAL)


# ---------------------------------------------------------------- ears


def worn(driver_ceiling: str, **settings: str) -> Trial:
    """An in-ear set at full volume with earphones that end at a level."""
    return tried(
        items={
            "feed": {"type": "feed-line", "figures": {"generator.level": "-20 dBu"}},
            "pack": {"type": "in-ear-set"},
            "ears": {"type": "earphones", "figures": {"driver.ceiling": driver_ceiling}},
        },
        links=[
            {"from": "feed.out", "to": "pack.in-left"},
            {"from": "pack.phones", "to": "ears.in"},
        ],
        settings={"pack": {"limiter": "off", "volume": "0 dB"} | settings},
    )


@pytest.mark.parametrize(
    ("ends_at", "severity"),
    [
        ("105 dB SPL", FINE),
        ("109.9 dB SPL", FINE),
        ("110.2 dB SPL", CARE),
        ("119.9 dB SPL", CARE),
        ("120.2 dB SPL", HARM),
        ("131 dB SPL", HARM),
    ],
)
def test_the_most_at_the_ear(ends_at: str, severity: Severity) -> None:
    (found,) = all_of(worn(ends_at), EARS)
    assert found.severity is severity


def test_a_volume_fully_up_is_harm_and_told_so() -> None:
    """40 mW into 16 ohm on 115 dB SPL at 1 mW."""
    (found,) = all_of(worn("140 dB SPL"), EARS)
    assert number(found, "highest level at the ear") == pytest.approx(130, abs=0.5)  # 1 dB in 2 ohm
    assert found.severity is HARM
    assert "a volume knob does not" in found.what


@pytest.mark.parametrize(
    ("volume", "severity"),
    [
        ("-30 dB", FINE),
        ("-20.4 dB", FINE),  # just this side: 0.98 V of the link, 115 dB SPL at 126 mV
        ("-19.6 dB", CARE),  # just that side of 110 dB SPL
        ("-10.4 dB", CARE),  # just this side of 120 dB SPL
        ("-9.6 dB", HARM),
    ],
)
def test_the_volume_counts_where_it_stands(volume: str, severity: Severity) -> None:
    """+2 dBu of the link and -1.8 dB of the receiver: 130.0 dB SPL less 1 dB in 2 ohm, fully up."""
    (found,) = all_of(worn("140 dB SPL", volume=volume), EARS)
    assert found.severity is severity


def test_where_the_limit_is_reached_is_told() -> None:
    (found,) = all_of(worn("140 dB SPL", volume="-30 dB"), EARS)
    assert "past 11 o'clock" in found.what or "past half past" in found.what
    level = number(found, "level that one slip brings to the ear")
    assert level == pytest.approx(number(found, "highest level at the ear") - 30, abs=1.5)


def test_a_limiter_that_is_on_holds() -> None:
    """150 mV (EN 50332-2) on 115 dB SPL at 126 mV."""
    (found,) = all_of(worn("140 dB SPL", limiter="on"), EARS)
    level = number(found, "highest level at the ear")
    assert level == pytest.approx(115.5, abs=0.5)  # 1 dB in 2 ohm
    assert found.severity is CARE


def test_a_volume_that_nobody_stated_is_care_if_fully_up_is_loud() -> None:
    """Desk and 250 ohm headphones, 114 dB SPL with everything up; stated low, it is fine."""
    links = [{"from": "desk.phones", "to": "cans.in"}]
    items = {"desk": {"type": "mixer-analogue-16"}, "cans": {"type": "headphones-250"}}
    (open_,) = all_of(tried(items=items, links=links, settings={}), EARS)
    assert open_.severity is CARE
    assert "does not say where the headphone level of desk stands" in open_.what
    stated = {"desk": {"phones-level": "-20 dB"}}
    (low,) = all_of(tried(items=items, links=links, settings=stated), EARS)
    assert low.severity is FINE


# ---------------------------------------------------------------- devices outdoors


def outside(where: str, supply: dict[str, str], beside: dict[str, str] | None = None) -> list[str]:
    """What is told of residual-current devices, of a loudspeaker on a supply."""
    trial = tried(
        items={"pow": {"type": "loudspeaker-powered-12", "supply": "one"}},
        supplies={
            "one": {"outlet": "tower", "circuit": "1", **supply},
            "two": {"outlet": "tower", "circuit": "1", **(beside or {})},
        },
        room={"where": where},
    )
    return [each.what for each in all_of(trial, NO_DEVICE)]


def test_a_circuit_outdoors_that_tells_of_no_device_is_asked_for_one() -> None:
    """IEC 60364-4-41, 411.3.3 (from memory): 30 mA for what is used outdoors."""
    (told,) = outside("outdoors", {})
    assert "tells of no residual-current device" in told
    (coarse,) = outside("outdoors", {"rcd": "300 mA"})
    assert "saves cables from fire and not people" in coarse
    assert outside("outdoors", {"rcd": "30 mA"}) == []
    assert outside("outdoors", {}, beside={"rcd": "30 mA"}) == []  # on the same circuit
    assert outside("indoors", {}) == []


# ---------------------------------------------------------------- told, not judged


def hall() -> Trial:
    return tried(
        items={
            "vox": {"type": "mic-vocal-condenser"},
            "desk": {"type": "mixer-compact", "label": "Desk"},
            "pow": {"type": "loudspeaker-powered-12", "label": "Left"},
        },
        sources={"anna": {"type": "voice-singer", "at": "vox"}},
        links=[
            {"from": "vox.out", "to": "desk.ch1.mic"},
            {"from": "desk.main-left.out", "to": "pow.in"},
        ],
        settings={"desk": {"phantom": "on", "ch1": {"gain": "30 dB"}}},
    )


def test_amplifiers_are_last_on_and_first_off() -> None:
    (found,) = all_of(hall(), SWITCHING)
    assert found.severity is FINE
    assert found.what.startswith("Switch on Desk, and Left last")
    assert "Mute the channel" in found.what


def test_the_level_at_1_m_and_its_dose() -> None:
    """NIOSH 98-126: half of 8 h for each 3 dB over 85 dB(A)."""
    (found,) = all_of(hall(), EXPOSURE)
    assert found.severity is FINE
    assert "no room" in found.assumed[0]
    level = number(found, "A-weighted level of the loud passage")
    spl = hall().solution.levels("pow.driver").nominal
    assert spl is not None
    assert spl - 6 < level < spl + 1.5  # A weighting of a voice


@pytest.mark.parametrize(
    ("height_m", "is_told"), [(1.2, False), (2.5, False), (2.6, True), (4.0, True)]
)
def test_loudspeakers_over_heads_come_with_a_word_for_riggers(
    height_m: float,
    is_told: bool,  # noqa: FBT001 - a column of the table
) -> None:
    trial = tried(
        items={
            "feed": {"type": "feed-line"},
            "pow": {"type": "loudspeaker-powered-12", "at": [0, 0, height_m]},
        },
        links=[{"from": "feed.out", "to": "pow.in"}],
    )
    found = all_of(trial, OVERHEAD)
    assert bool(found) is is_told
    assert all(each.severity is FINE and "rigger" in str(each.caution) for each in found)


def test_a_lost_earth_carries_no_residual_current() -> None:
    """Nothing leaks where nothing leads away; the finding is the lost earth."""
    supply = {"outlet": "stage", "rcd": "30 mA", "earth": "lost"}
    loud = {"type": "loudspeaker-powered-12", "supply": "s", "figures": {"leakage": "20 mA"}}
    trial = tried(items={"pow": loud}, supplies={"s": supply})
    assert not all_of(trial, RESIDUAL)
    assert [each.severity for each in all_of(trial, EARTH)] == [HARM]


def in_the_ear(volume: str, stay: str | None = "2.5 h") -> Finding:
    """Earphones of a musical, worn as long as the audience stays."""
    areas = {"hall": {"corners": [[0, 2], [4, 2], [4, 6]], **({"stay": stay} if stay else {})}}
    trial = tried(
        items={
            "feed": {"type": "feed-line", "figures": {"generator.level": "-20 dBu"}},
            "pack": {"type": "in-ear-set"},
            "ears": {"type": "earphones"},
        },
        links=[
            {"from": "feed.out", "to": "pack.in-left"},
            {"from": "pack.phones", "to": "ears.in"},
        ],
        settings={"pack": {"limiter": "off", "volume": volume}},
        areas=areas,
    )
    return all_of(trial, EXPOSURE)[0]


def test_a_stay_in_earphones_turns_at_the_limit_of_work() -> None:
    """Directive 2003/10/EC, 87 dB(A) over 8 h: 92.05 dB(A) for 2.5 h; told is where it turns."""
    loud = in_the_ear("0 dB")
    over_db = number(loud, "A-weighted level of the loud passage") - 92.05
    assert loud.severity is CARE
    assert "92 dB(A) are the most for so long" in loud.what
    assert loud.margin == pytest.approx(-over_db, abs=0.05)
    assert f"at {math.floor(-over_db)} dB" in loud.what
    assert in_the_ear(f"{-over_db + 0.2:.1f} dB").severity is CARE
    assert in_the_ear(f"{-over_db - 0.2:.1f} dB").severity is FINE


def test_without_a_stay_no_dose_at_the_ear_is_judged() -> None:
    assert in_the_ear("0 dB", stay=None).severity is FINE
