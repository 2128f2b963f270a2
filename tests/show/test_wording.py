"""Edits in the crew's words."""

from __future__ import annotations

from random import Random

import pytest
from hypothesis import given

from levelhead.show import edits as e
from levelhead.show.document import parse_show
from levelhead.show.model import Cable, Item, Link, Show, Source, Supply
from levelhead.show.wording import sentence
from levelhead.show.wording.base import edit_words
from tests.show.hall import HALL
from tests.show.random_edits import random_edit
from tests.show.random_shows import random_show, randoms

SHOW = parse_show(HALL.replace('label: "Anna"', 'label: "Anna\'s microphone"'), "f").show
TO_DESK = {"a": "vox-1.out", "b": "desk.ch1.mic"}
FAULTS = {"2": "open", "3": "2"}
INSERT = {"a": "comp.x", "send": "comp.in", "return": "comp.out"}


@pytest.mark.parametrize(
    ("edit", "words"),
    [
        (
            e.Plug(Link(TO_DESK, (Cable("cable-xlr", 10.0),))),
            "Plug Anna's microphone (vox-1.out) into desk.ch1.mic with cable-xlr 10 m",
        ),
        (
            e.Plug(Link({"a": "comp.x", "b": "box.y"}, (Cable("x", 1.0), Cable("y")), FAULTS)),
            "Plug comp.x into box.y with x 1 m, then y; pin 2 open, pin 3 on 2",
        ),
        (
            e.Plug(Link(INSERT, (Cable("y", 2.0),))),
            "Plug y 2 m: end a into comp.x, end send into comp.in, end return into comp.out",
        ),
        (
            e.Unplug(Link(INSERT)),
            "Unplug the lead: end a from comp.x, end send from comp.in, end return from comp.out",
        ),
        (e.Unplug(Link(TO_DESK)), "Unplug Anna's microphone (vox-1.out) from desk.ch1.mic"),
        (
            e.Recable("vox-1.out", (Cable("x", 0.5),)),
            "Use x 50 cm at Anna's microphone (vox-1.out)",
        ),
        (e.Recable("comp.in", ()), "Use no known cable at comp.in"),
        (e.SetPins("comp.in", {"2": "open"}), "In the link at comp.in: pin 2 open"),
        (e.SetPins("comp.in", {}), "In the link at comp.in: every pin as the cable has it"),
        (e.Set("desk.ch1.gain", "30 dB"), "Set desk.ch1.gain to 30 dB (it was 35 dB)"),
        (e.Set("desk.ch1.gain", "35 dB"), "Set desk.ch1.gain to 35 dB"),
        (e.Set("desk.ch2.gain", "30 dB"), "Set desk.ch2.gain to 30 dB"),
        (e.Set("desk.ch1.gain", None), "Put desk.ch1.gain back to its default"),
        (e.Lock("desk.ch1.gain"), "Lock desk.ch1.gain"),
        (e.Unlock("desk.ch1.gain"), "Unlock desk.ch1.gain"),
        (e.AddItem(Item("di", "di-active", "Bass DI")), "Add Bass DI (di): di-active"),
        (e.Remove("vox-1"), "Remove Anna's microphone (vox-1) with 1 link, 1 source"),
        (e.Remove("desk"), "Remove desk with 7 links, 4 settings"),
        (e.Remove("nobody"), "Remove nobody"),
        (e.Rename("vox-1", "vox-2"), "Rename Anna's microphone (vox-1) to vox-2"),
        (e.Retype("comp", "gate"), "Change the type of comp to gate"),
        (e.Relabel("comp", "Left"), "Label comp 'Left'"),
        (e.Relabel("vox-1", ""), "Take the label off Anna's microphone (vox-1)"),
        (e.Annotate("comp", "mind it"), "Note at comp: mind it"),
        (e.Annotate("comp", ""), "Clear the note at comp"),
        (e.Prioritise("comp", "must"), "Call comp something the show must have"),
        (e.Move("comp", (-1.0, 2.5, 0.0)), "Move comp to -1, 2.5, 0 m"),
        (e.Move("comp", None), "Leave the place of comp open"),
        (e.Aim("comp", (0.0, 12.0, 1.2)), "Aim comp at 0, 12, 1.2 m"),
        (e.Aim("comp", None), "Leave the aim of comp open"),
        (e.Power("comp", "desk"), "Power comp from desk, outlet B3"),
        (e.Power("comp", "roof"), "Power comp from roof"),
        (e.Power("comp", None), "Leave the supply of comp open"),
        (e.SetFigure("comp", "x.gain", "3 dB"), "Note x.gain of comp as 3 dB"),
        (e.SetFigure("comp", "x.gain", None), "Take x.gain of comp from its type again"),
        (
            e.AddSource(Source("bo", "voice", "vox-1", 0.05, "Bo")),
            "Add source Bo (bo): voice at Anna's microphone (vox-1), 5 cm away",
        ),
        (e.RemoveSource("anna"), "Remove source anna"),
        (e.ChangeSource(Source("anna", "choir", "comp")), "Change source anna: choir at comp"),
        (e.RenameSource("anna", "berta"), "Rename source anna to berta"),
        (
            e.AddSupply(Supply("roof", "C1", "C", "Roof")),
            "Add supply Roof (roof): outlet C1, circuit C",
        ),
        (e.RemoveSupply("desk"), "Remove supply desk"),
        (e.ChangeSupply(Supply("desk", "C1")), "Change supply desk: outlet C1"),
        (e.RenameSupply("desk", "foh"), "Rename supply desk to foh"),
        (e.SetStock("pad", 2), "Count 2 of pad in stock"),
        (e.SetStock("pad", None), "Strike pad off the stock"),
        (
            e.Retitle("Club", "2026-12-06", 4),
            "Call the show 'Club', 2026-12-06, version 4 (it was 'Village hall', version 3)",
        ),
    ],
)
def test_each_edit_has_its_words(edit: e.Edit, words: str) -> None:
    assert sentence(edit, SHOW) == words


def test_every_kind_is_worded() -> None:
    assert set(e.EDITS) <= set(edit_words.registry)


@given(random=randoms)
def test_any_edit_has_words_in_any_show(random: Random) -> None:
    """Also where the show knows nothing of what the edit names."""
    show = random_show(random)
    for _ in range(10):
        edit = random_edit(random, show)
        assert sentence(edit, show)
        assert sentence(edit, Show("Hall"))
