"""Alike findings: what was tried for one is offered to all, as if each had been tried alone."""

from __future__ import annotations

from dataclasses import replace
from random import Random
from typing import Final

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from levelhead.gear.book import load_book
from levelhead.planning.remedy.alike import Part, Parts, renamed
from levelhead.planning.remedy.offers import with_remedies
from levelhead.planning.remedy.remedies import remedies_for
from levelhead.planning.trial import Trial, try_show
from levelhead.rig.usual import fitting_cables
from levelhead.show.document import parse_show
from levelhead.show.edits import (
    AddItem,
    AddSource,
    Edit,
    Lock,
    Move,
    Plug,
    Recable,
    Set,
    SetPins,
    apply,
)
from levelhead.show.model import Cable, Item, Link, Show, Source
from levelhead.verdicts.told.finding import Finding

HEAD = """
levelhead: 1
show: {name: Choir}
items:
  desk: {type: mixer-digital-32}
  left: {type: loudspeaker-powered-12}
"""


def choir(voices: int, *edits: Edit, fader_db: float = -15) -> Trial:
    """So many condensers on a desk that feeds no phantom power, and edits of that."""
    numbers = range(1, voices + 1)
    lines = [
        HEAD,
        *(f"  mic-{n}: {{type: mic-vocal-condenser}}" for n in numbers),
        *(["sources:"] if voices else []),
        *(f"  voice-{n}: {{type: voice-singer, at: mic-{n}}}" for n in numbers),
        "links:",
        "  - {from: desk.main-left.out, to: left.in, via: [cable-xlr 20 m]}",
        *(f"  - {{from: mic-{n}.out, to: desk.ch{n}.mic, via: [cable-xlr 10 m]}}" for n in numbers),
        "settings:",
        "  left: {level: -20 dB}",
        "  desk:",
        "    main: 0 dB",
        *(f"    ch{n}: {{gain: 30 dB, fader: {fader_db:g} dB}}" for n in numbers),
    ]
    show, _ = apply(parse_show("\n".join(lines), "choir").show, edits)
    return try_show(show, load_book())


def dead(trial: Trial) -> list[Finding]:
    """Findings about missing phantom power, in the order of the microphones."""
    found = (each for each in trial.judgement.findings if each.code == "phantom.missing")
    return sorted(found, key=lambda each: each.where)


def parts(trial: Trial) -> list[Part]:
    """What hangs together at each of them."""
    known = Parts(trial.solution.rig)
    found = [known.at(each) for each in dead(trial)]
    return [each for each in found if each is not None]


def alone(trial: Trial) -> list[tuple[object, ...]]:
    """Remedies of each finding, searched alone."""
    return [remedies_for(trial, each) for each in trial.judgement.worse_than_fine()]


def together(trial: Trial) -> list[tuple[object, ...]]:
    """Remedies of all findings."""
    return [each.remedies for each in with_remedies(trial, trial.judgement.worse_than_fine())]


def test_two_microphones_of_one_kind_may_be_swapped() -> None:
    """Strips, microphones and leads answer to one another."""
    one, other = parts(choir(2))
    assert one.likeness == other.likeness
    assert one.names_of(other) == {"mic-1": "mic-2", "desk.ch1": "desk.ch2"}
    assert renamed((Set("desk.ch1.phantom", "on"),), one.names_of(other)) == (
        Set("desk.ch2.phantom", "on"),
    )


@pytest.mark.parametrize(
    "edit",
    [
        Set("desk.ch2.fader", "-5 dB"),
        Set("desk.ch2.low-cut", "on"),
        Lock("desk.ch2.phantom"),
        Recable("desk.ch2.mic", (Cable("cable-xlr", 15.0),)),
        SetPins("desk.ch2.mic", {"3": "open"}),
        Move("mic-2", (1.0, 0.0, 1.5)),
    ],
    ids=lambda each: type(each).__name__ + getattr(each, "address", ""),
)
def test_what_differs_may_not_be_swapped(edit: Edit) -> None:
    """A knob, a switch, a lock, a lead, a broken wire and a place each tell two strips apart."""
    first, second, third = parts(choir(3, edit))
    assert first.likeness == third.likeness
    assert second.likeness != first.likeness


def test_a_desk_as_a_whole_is_no_small_part() -> None:
    """Nobody looks for another desk that is wired alike."""
    trial = choir(2)
    (finding, *_) = dead(trial)
    whole = replace(finding, where="desk.main", ports=())
    assert Parts(trial.solution.rig).at(whole) is None


def test_many_alike_are_tried_in_few_copies() -> None:
    """One microphone is searched; the other fifteen take four copies more."""
    trial = choir(16)
    tried = with_remedies(trial, dead(trial))
    assert [each.remedies[0].edits for each in tried] == [
        (Set(f"desk.ch{each.where[len('mic-') : -len('.out')]}.phantom", "on"),)
        for each in dead(trial)
    ]
    assert len(trial._kept) <= 6


def test_alike_findings_get_what_each_gets_alone() -> None:
    """With another lead and another fader among them."""
    edits = (
        Recable("desk.ch2.mic", (Cable("cable-xlr", 60.0),)),
        Set("desk.ch4.fader", "-5 dB"),
    )
    trial = choir(5, *edits)
    assert together(trial) == alone(trial)


def test_what_is_too_much_in_a_lot_is_tried_in_smaller_ones() -> None:
    """At full faders one voice fits into the sum, all of them do not."""
    trial = choir(6, fader_db=10)
    assert together(trial) == alone(trial)


SENDERS: Final = {  # what stands in a strip, with a source before it or none
    "mic-vocal-condenser": "voice-singer",
    "mic-vocal-dynamic": "voice-singer",
    "mic-ribbon-active": "voice-talker",
    "keyboard-stereo": None,
}


def alike_strips(mix: Random) -> Show:
    """Three lots of two to four strips, each lot set alike as a hurried hand may leave it."""
    show = choir(0).show
    edits: list[Edit] = []
    channel = 0
    for kind in mix.choices(list(SENDERS), k=3):
        gain_db, fader_db = mix.choice([14, 30, 60]), mix.choice([-30, -10, 10])
        phantom = mix.choice(["on", "off"])
        for _ in range(mix.randint(2, 4)):
            channel += 1
            edits += strip(f"{kind}-{channel}", kind, channel)
            edits += [
                Set(f"desk.ch{channel}.gain", f"{gain_db} dB"),
                Set(f"desk.ch{channel}.fader", f"{fader_db} dB"),
                Set(f"desk.ch{channel}.phantom", phantom),
            ]
    return apply(show, edits)[0]


def strip(name: str, kind: str, channel: int) -> list[Edit]:
    """An item in a strip, with what plays into it."""
    source = SENDERS[kind]
    rig = try_show(apply(choir(0).show, [AddItem(Item(name, kind))])[0], load_book()).solution.rig
    out = next(
        each for each, port in rig.ports.items() if port.item.id == name and port.plan.role == "out"
    )
    into = rig.ports[f"desk.ch{channel}.mic"]
    cable = fitting_cables(load_book(), rig.ports[out].plan, into.plan)[0].type_id
    link = Link({"a": out, "b": into.address}, (Cable(cable, 6.0),))
    voice = [] if source is None else [AddSource(Source(f"voice-{channel}", source, name))]
    return [AddItem(Item(name, kind)), *voice, Plug(link)]


@pytest.mark.long
@given(mix=st.randoms(use_true_random=False))
@settings(max_examples=15, deadline=None)
def test_remedies_of_alike_strips_are_those_that_each_finding_gets_alone(mix: Random) -> None:
    """Nothing that is offered hangs on what else was looked at."""
    trial = try_show(alike_strips(mix), load_book())
    assert together(trial) == alone(trial)
