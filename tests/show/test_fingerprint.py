"""Fingerprints: equal work, equal prints."""

from __future__ import annotations

import re
from dataclasses import replace
from random import Random

import pytest
from hypothesis import given

from levelhead.show import edits as e
from levelhead.show.document import parse_show
from levelhead.show.fingerprint import fingerprint
from levelhead.show.model import Cable, Item, Show, Source, Supply
from tests.show.hall import HALL
from tests.show.random_shows import random_show, randoms
from tests.show.scribe import Scribe

SHOW = parse_show(HALL, "f").show


@given(random=randoms)
def test_spelling_and_order_do_not_count(random: Random) -> None:
    """The same show, written in any way and in any order, has one print."""
    show = random_show(random)
    links = list(show.links)
    random.shuffle(links)
    other = replace(
        show,
        items=dict(reversed(show.items.items())),
        settings=dict(reversed(show.settings.items())),
        links=tuple(links),
    )
    print_ = fingerprint(show)
    assert re.fullmatch("[0-9a-f]{8}", print_)
    assert fingerprint(other) == print_
    assert fingerprint(parse_show(Scribe(random).text(show), "f").show) == print_


@pytest.mark.parametrize(
    "edit",
    [
        e.Annotate("box", "other"),
        e.ChangeSupply(replace(SHOW.supplies["desk"], note="behind the door")),
        e.Retitle("Club", None, 9),
        e.Set("desk.ch1.gain", "35 dB"),
    ],
)
def test_what_changes_no_work_does_not_count(edit: e.Edit) -> None:
    assert fingerprint(e.apply(SHOW, [edit])[0]) == fingerprint(SHOW)


@pytest.mark.parametrize(
    "edit",
    [
        e.Unplug(SHOW.links[0]),
        e.Recable("vox-1.out", (Cable("cable-xlr", 20.0),)),
        e.SetPins("vox-1.out", {"2": "open"}),
        e.Set("desk.ch1.gain", "34 dB"),
        e.Lock("desk.ch2.gain"),
        e.Unlock("desk.ch1.gain"),
        e.AddItem(Item("di", "di-active")),
        e.Remove("comp"),
        e.Rename("comp", "gate"),
        e.Retype("comp", "gate"),
        e.Relabel("vox-1", "Berta"),
        e.Prioritise("vox-1", None),
        e.Move("desk", (0.0, 18.0, 1.1)),
        e.Aim("desk", (0.0, 0.0, 1.0)),
        e.Power("comp", "desk"),
        e.SetFigure("comp", "x", "1 dB"),
        e.AddSource(Source("bo", "voice", "vox-1")),
        e.ChangeSource(Source("anna", "voice-singer", "vox-1", 0.06)),
        e.ChangeSupply(Supply("desk", "B4", "B")),
        e.SetStock("di-active", 2),
    ],
)
def test_what_changes_the_work_counts(edit: e.Edit) -> None:
    assert fingerprint(e.apply(SHOW, [edit])[0]) != fingerprint(SHOW)


def test_two_shows_differ() -> None:
    assert fingerprint(Show("Hall")) != fingerprint(SHOW)
