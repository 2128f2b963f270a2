"""Symbols seen from above: told apart, with a front where it matters, chosen by what a thing is."""

from __future__ import annotations

from pathlib import Path

import pytest

import levelhead.examples
from levelhead.drawing.plan.symbols import SIZE, SYMBOLS, symbol_of
from levelhead.drawing.plan.things import front_deg, people_on, things_on
from levelhead.gear.book import load_book
from levelhead.rig.build import build_rig
from levelhead.rig.model import Rig
from levelhead.show.document import load_show

EXAMPLES = Path(levelhead.examples.__path__[0])


@pytest.fixture(scope="module")
def hall() -> Rig:
    return build_rig(load_show(EXAMPLES / "village-hall.yaml").show, load_book())


def test_no_two_symbols_are_alike() -> None:
    """They are told apart by outline alone."""
    assert len({str(each.drawn) for each in SYMBOLS.values()}) == len(SYMBOLS)
    assert len({each.word for each in SYMBOLS.values()}) == len(SYMBOLS)


@pytest.mark.parametrize("kind", SYMBOLS)
def test_what_turns_has_a_front_and_no_symbol_has_colours(kind: str) -> None:
    drawn = str(SYMBOLS[kind].drawn)
    assert SIZE == 24
    assert 'class="body"' in drawn
    assert "#" not in drawn
    assert "style" not in drawn
    if SYMBOLS[kind].turns and kind != "performer":
        assert 'class="front"' in drawn


def test_things_have_the_symbol_of_what_they_are(hall: Rig) -> None:
    """The same box is a loudspeaker for the hall, and a wedge where it is turned to a player."""
    found = {name: symbol_of(hall, name) for name in hall.items}
    assert found["pa-left"] == "loudspeaker"
    assert found["wedge-ruth"] == "wedge"
    assert hall.items["pa-left"].plan.type_id == hall.items["wedge-ruth"].plan.type_id
    assert found["vox-ruth"] == "microphone"
    assert found["keys"] == "instrument"
    assert found["desk"] == "desk"
    assert found["di-keys"] == "box"
    assert found["amp-hall"] == "rack"


def test_fronts_point_where_things_are_turned_to(hall: Rig) -> None:
    """0 degrees is into the hall, 90 to the right: 3 m to the right on 10 m are 16.7 degrees."""
    things = {each.id: each for each in things_on(hall)}
    assert front_deg(things["pa-left"]) == pytest.approx(16.699, abs=0.001)  # atan(3/10)
    assert front_deg(things["wedge-ruth"]) == pytest.approx(180.0)
    assert front_deg(things["vox-ruth"]) == 180.0
    assert front_deg(things["foyer"]) == 0.0
    assert things["pa-left"].coverage_deg is not None


def test_a_singer_stands_before_the_microphone_and_faces_it(hall: Rig) -> None:
    singers = {each.heard_by: each for each in people_on(hall)}
    ruth = singers["vox-ruth"]
    assert ruth.at == pytest.approx((-0.8, -1.9))
    assert ruth.faces_deg == 0.0
    assert "keys" not in singers
