"""Clipping as everything stands."""

from __future__ import annotations

import pytest

from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.gear.book import load_book
from levelhead.rig.build import build_rig
from levelhead.show.model import Cable, Item, Link, Show
from levelhead.verdicts.enough.clipping import room_down_db
from levelhead.verdicts.told.severity import Severity
from tests.chain.bench import Items
from tests.verdicts.cases import case, found, the

CODE = "enough.clips-as-set"
LINKS = [("t.out", "d.ch1.line")]
ITEMS: Items = {
    "t": ("tone", {"generator.level": "0 dBu", "output.ceiling": "+60 dBu"}),
    "d": "desk",
}
PEAK_DBU = 12 - 3.0103  # of 0 dBu with a crest of 12 dB


@pytest.mark.parametrize(
    ("headroom_db", "is_told"), [(9.0, False), (0.1, False), (-0.1, True), (-9.0, True)]
)
def test_peaks_against_the_ceiling_as_set(headroom_db: float, *, is_told: bool) -> None:
    gain = {"d.ch1.gain": f"{21 - PEAK_DBU - headroom_db:.4f} dB"}
    told = found(case(ITEMS, LINKS, settings=gain), CODE)
    assert bool(told) is is_told
    if is_told:
        assert (told[0].where, told[0].severity) == ("d.ch1.preamp", Severity.CARE)
        assert told[0].margin == pytest.approx(headroom_db, abs=1e-3)


def test_the_first_stage_on_the_way_is_named_once() -> None:
    """Fader and sum clip too: they only pass it on."""
    solution = case(ITEMS, LINKS, settings={"d.ch1.gain": "30 dB", "d.ch1.pan": "centre"})
    assert [each.where for each in found(solution, CODE)] == ["d.ch1.preamp"]


def test_what_cannot_be_turned_down_fails() -> None:
    gain = {"d.ch1.gain": "30 dB"}
    assert the(case(ITEMS, LINKS, settings=gain), CODE).severity is Severity.CARE
    locked = case(ITEMS, LINKS, settings=gain, locks=["d.ch1.gain"])
    assert the(locked, CODE).severity is Severity.FAILS


def test_an_output_that_clips_itself_fails_without_a_control() -> None:
    items: Items = {"t": ("tone", {"generator.level": "+20 dBu"}), "d": "desk"}
    finding = the(case(items, LINKS), CODE)
    assert (finding.where, finding.severity) == ("t.output", Severity.FAILS)
    assert finding.what.startswith("t, output clips: peaks of +29.0 dBu pass")


def test_an_input_is_named_for_a_clip_level_of_its_own() -> None:
    items: Items = {**ITEMS, "d": ("desk", {"ch.line.clip": "+5 dBu"})}
    assert the(case(items, LINKS), CODE).where == "d.ch1.line"


def test_an_input_is_not_blamed_for_its_source() -> None:
    """The output runs out of current: the stage behind it is what clips."""
    items: Items = {
        "t": ("tone", {"generator.level": "0 dBu", "out.current": "1 mA"}),
        "d": ("desk", {"ch.line.impedance": "600 ohm", "ch.line.common-mode": "1 Mohm"}),
    }
    assert [each.where for each in found(case(items, LINKS), CODE)] == ["t.output"]


def test_silence_clips_nothing() -> None:
    assert found(case(ITEMS, LINKS, settings={"d.ch1.fader": "off"}), CODE) == []


def test_room_to_turn_down_adds_over_the_free_controls() -> None:
    """Gain from 30 to -20 dB, fader from 0 down to -60 dB, pan not at all."""
    settings = {"d.ch1.gain": "30 dB"}
    free = case(ITEMS, LINKS, settings=settings)
    assert room_down_db(free, free.number("d.ch1.fader")) == pytest.approx(50 + 60)
    locked = case(ITEMS, LINKS, settings=settings, locks=["d.ch1.fader"])
    assert room_down_db(locked, locked.number("d.ch1.fader")) == pytest.approx(50)


# ---------------------------------------------------------------- through sockets


def linked(*more: tuple[str, str]) -> Solution:
    """An amplifier that would clip, fed by a tone; its input is handed on to a desk."""
    items: Items = {
        "t": ("tone", {"generator.level": "0 dBu", "output.ceiling": "+60 dBu"}),
        "a": "amp",
        "d": "desk",
    }
    return case(items, [("t.out", "a.in"), *more])


def test_an_amplifier_that_only_hands_its_input_on_does_not_clip() -> None:
    """Nothing is plugged into its own output: its link feeds the next one."""
    assert found(linked(("a.link", "d.ch1.line")), CODE) == []


@pytest.mark.parametrize(
    "more", [[], [("a.out", "d.ch1.line")], [("a.link", "d.ch1.line"), ("a.out", "d.ch2.line")]]
)
def test_else_it_is_judged(more: list[tuple[str, str]]) -> None:
    """Alone, or with its output in use."""
    assert "a.power" in [each.where for each in found(linked(*more), CODE)]


def di_show(level: str) -> Solution:
    """A bass of this level through the small DI box of the book."""
    items = {
        "b": Item("b", "bass-active", figures={"generator.level": level}),
        "di": Item("di", "di-passive-small"),
        "d": Item("d", "mixer-compact"),
    }
    links = (Link({"a": "b.out", "b": "di.in"}), Link({"a": "di.out", "b": "d.ch1.mic"}))
    return solve(build_rig(Show("di", items=items, links=links), load_book()))


@pytest.mark.parametrize(("level", "where"), [("-14 dBu", []), ("-2 dBu", ["di.out"])])
def test_a_core_that_is_full_is_named_where_it_shows(level: str, where: list[str]) -> None:
    """At the output of the box, once, not at the input behind it."""
    assert [each.where for each in found(di_show(level), CODE)] == where


def test_an_output_behind_a_transformer_is_not_unused() -> None:
    """A line amplifier that also hands its input on: its stage inside has a line on it."""
    items = {
        "k": Item("k", "feed-line", figures={"generator.level": "+6 dBu"}),
        "a": Item("a", "amplifier-line-100v"),
        "next": Item("next", "amplifier-line-100v"),
        "s": Item("s", "loudspeaker-line-100v"),
    }
    links = (
        Link({"a": "k.out", "b": "a.in"}),
        Link({"a": "a.link", "b": "next.in"}),
        Link({"a": "a.out-100v", "b": "s.in"}, (Cable("cable-loudspeaker-bare", 20.0),)),
    )
    show = Show("line", items=items, links=links, settings={"next.level": "off"})
    solution = solve(build_rig(show, load_book()))
    assert [each.where for each in found(solution, CODE)] == ["a.power"]
