"""A source that goes to another strip of a mixer keeps what was set for it, and all its ends."""

from __future__ import annotations

import pytest

from levelhead.planning.moves.along import strips_moved, with_settings
from levelhead.planning.moves.candidate import COST_OF_SOCKET, Candidate, instead
from levelhead.planning.remedy.outcome import helps
from levelhead.planning.remedy.remedies import remedies_for
from levelhead.planning.trial import Trial
from levelhead.show.edits import Edit, Lock, Plug, Set, Unplug, apply
from levelhead.show.model import Cable, Link
from levelhead.verdicts.told.finding import Remedy
from tests.verdicts.shows import tried_text

BACK_FED = "phantom.back-fed"


def council(first: str, second: str = "") -> Trial:
    """A computer on an input with phantom power; a recorder takes the second bus, locked gains."""
    return tried_text(f"""
        items:
          call: {{type: laptop-headset}}
          desk: {{type: mixer-digital-16}}
          rec: {{type: recorder-line}}
          col: {{type: loudspeaker-powered-12}}
        links:
          - {{from: call.headset, to: desk.ch1.mic, via: [lead-mini-sum-xlr 2 m]}}
          - {{from: desk.aux2.out, to: rec.in-left, via: [lead-xlr-phono 2 m]}}
          - {{from: desk.main-left.out, to: col.in, via: [cable-xlr 15 m]}}
        settings:
          desk:
            ch1: {{gain: 12 dB, phantom: on, send2: 0 dB{first}}}
            ch2: {{{second}}}
        """)


def plugged_elsewhere(trial: Trial) -> list[Remedy]:
    """Remedies of the current from phantom power that put the plug into another strip."""
    found = next(each for each in trial.judgement.findings if each.code == BACK_FED)
    return [each for each in remedies_for(trial, found) if strips_moved(each.edits)]


def ends_of(trial: Trial) -> set[tuple[str, str]]:
    return {(way[0].partition(".")[0], way[-1]) for way in trial.solution.paths}


def test_a_source_in_another_strip_is_recorded_as_before() -> None:
    """Its way to the bus is a send that stands at off by itself: moved alone, nobody records it."""
    trial = council(", lock: [phantom]")
    (remedy,) = plugged_elsewhere(trial)
    assert "set send2 of desk.ch2 as at desk.ch1" in remedy.do
    after = trial.after(remedy.edits)
    assert after is not None
    kept = {("call", "rec.converter-left"), ("call", "col.driver")}
    assert kept <= ends_of(trial) & ends_of(after)
    assert apply(trial.show, remedy.edits)[0].settings["desk.ch2.send2"] == "0 dB"


def test_a_remedy_after_which_an_end_is_not_reached_is_none() -> None:
    """The same plug without the send mends the current, and leaves the recorder without a voice."""
    trial = council(", lock: [phantom]")
    found = next(each for each in trial.judgement.findings if each.code == BACK_FED)
    (remedy,) = plugged_elsewhere(trial)
    for without in (False, True):
        edits = tuple(
            each for each in remedy.edits if not (without and each == Set("desk.ch2.send2", "0 dB"))
        )
        after = trial.after(edits)
        assert after is not None
        assert not after.still(found)
        assert helps(trial, after, found, Candidate(edits, COST_OF_SOCKET)) is not without


def moved(trial: Trial, to: str = "desk.ch2.mic") -> tuple[Edit, ...]:
    """What goes with the computer's plug in another input."""
    old = trial.show.links[0]
    new = Link({"a": old.ends["a"], "b": to}, old.via)
    candidate = with_settings(trial, instead(old, new, COST_OF_SOCKET))
    return () if candidate is None else candidate.edits[2:]


def test_what_belongs_to_the_source_goes_along_and_the_socket_keeps_its_own() -> None:
    """Gain, phantom power and the chosen input stay; what stood on the free strip is cleared."""
    trial = council(
        ", fader: -3 dB, pan: left, mute: on, main: off, tap: post, low-cut: on, source: network",
        "gain: 30 dB, send5: -6 dB, equaliser: on",
    )
    assert set(moved(trial)) == {
        Set("desk.ch2.send2", "0 dB"),
        Set("desk.ch2.fader", "-3 dB"),
        Set("desk.ch2.pan", "left"),
        Set("desk.ch2.mute", "on"),
        Set("desk.ch2.main", "off"),
        Set("desk.ch2.tap", "post"),
        Set("desk.ch2.low-cut", "on"),
        Set("desk.ch2.send5", None),
        Set("desk.ch2.equaliser", None),
    }


def test_a_pad_stays_with_its_socket() -> None:
    trial = tried_text("""
        items: {f: {type: feed-line}, d: {type: mixer-digital-32}}
        links: [{from: f.out, to: d.ch1.mic, via: [cable-xlr 2 m]}]
        settings: {d: {ch1: {pad: 20-db, phantom: on, gain: 14 dB, send3: 0 dB}}}
        """)
    assert moved(trial, "d.ch9.mic") == (Set("d.ch9.send3", "0 dB"),)


def test_a_locked_value_goes_along_locked() -> None:
    assert moved(council(", lock: [send2, phantom]")) == (
        Set("desk.ch2.send2", "0 dB"),
        Lock("desk.ch2.send2"),
    )


@pytest.mark.parametrize("value", ["-20 dB", "0 dB"])
def test_a_strip_on_which_somebody_has_locked_what_would_go_along_is_not_taken(value: str) -> None:
    """Nobody's lock is turned or taken off, also where the value would do."""
    assert not moved(council(", lock: [phantom]", f"send2: {value}, lock: [send2]"))
    assert moved(council(", lock: [phantom]", f"gain: {value[-4:]}, lock: [gain]"))


def test_both_sides_take_what_is_set_for_their_pair() -> None:
    """A stereo line input moved to two strips that have gain; pans are those of the move."""
    trial = tried_text("""
        items: {p: {type: phone}, d: {type: mixer-compact-8}}
        links:
          - ends: {a: p.headset, left: d.st1.in-left, right: d.st1.in-right}
            via: [lead-mini-two-jacks 2 m]
        settings: {d: {st1: {send1: 0 dB, fader: -5 dB}}}
        """)
    (old,) = trial.show.links
    ends = {"a": "p.headset", "left": "d.ch1.line", "right": "d.ch2.line"}
    move = Candidate(
        (
            Unplug(old),
            Plug(Link(ends, (Cable("lead-mini-two-jacks", 2.0),))),
            Set("d.ch1.pan", "left"),
        ),
        COST_OF_SOCKET,
    )
    along = with_settings(trial, move)
    assert along is not None
    assert set(along.edits[2:]) == {
        *(Set(f"d.ch{number}.send1", "0 dB") for number in (1, 2)),
        *(Set(f"d.ch{number}.fader", "-5 dB") for number in (1, 2)),
        Set("d.ch1.pan", "left"),
    }


def test_another_output_takes_no_settings_along() -> None:
    """What is sent to a bus is no matter of the socket behind it."""
    trial = council(", lock: [phantom]")
    old = trial.show.links[1]
    move = instead(old, Link({**old.ends, "a": "desk.aux3.out"}, old.via), COST_OF_SOCKET)
    assert with_settings(trial, move) == move
