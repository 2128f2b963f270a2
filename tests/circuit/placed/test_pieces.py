"""Pieces drawn by themselves, and placed by name, against the whole rig drawn as one."""

from __future__ import annotations

from collections.abc import Hashable
from pathlib import Path

import pytest

from benchmarks.shows import book_for, show_text
from levelhead.circuit.direct.phantom import solve_phantom
from levelhead.circuit.drawn.islands import Island, cut
from levelhead.circuit.ground.drawing import GroundDrawing, heard_at
from levelhead.circuit.ground.sketch import inputs_of
from levelhead.circuit.placed.assembly import assemble, draw_rig
from levelhead.circuit.placed.pieces import pieces_of
from levelhead.gear.book import load_book
from levelhead.rig.build import build_rig
from levelhead.rig.model import Rig
from levelhead.show.document import parse_show
from levelhead.show.edits import Unplug, apply

EXAMPLES = Path(__file__).parents[3] / "src" / "levelhead" / "examples"


def rig_of(text: str, channels: int | None = None) -> Rig:
    book = load_book() if channels is None else book_for(channels)
    return build_rig(parse_show(text, "bench").show, book)


RIGS = {
    "alike": rig_of(show_text(12, are_alike=True), 12),
    "different": rig_of(show_text(12), 12),
    **{path.stem: rig_of(path.read_text(encoding="utf-8")) for path in EXAMPLES.glob("*.yaml")},
}


def by_senses(islands: list[Island]) -> dict[tuple[str, ...], Island]:
    return {tuple(sorted(island.senses)): island for island in islands}


@pytest.mark.parametrize("name", RIGS)
def test_pieces_have_the_islands_of_the_whole_drawing(name: str) -> None:
    """Figures, tags, outputs and phantom power: nothing is lost by drawing apart."""
    whole = by_senses([island for island in cut(draw_rig(RIGS[name])) if island.senses])
    apart = by_senses(assemble(RIGS[name]))
    assert whole.keys() == apart.keys()
    for senses, expected in whole.items():
        island = apart[senses]
        assert island.network().key == expected.network().key
        assert [(each.tag, each.value, each.figure, each.direct) for each in island.elements] == [
            (each.tag, each.value, each.figure, each.direct) for each in expected.elements
        ]
        assert [each.tag for each in island.windings] == [each.tag for each in expected.windings]
        for mine, theirs in zip(island.drives, expected.drives, strict=True):
            assert (mine.port, mine.tag, mine.weight) == (theirs.port, theirs.tag, theirs.weight)
        assert [each.port for each in island.feeds] == [each.port for each in expected.feeds]
        assert solve_phantom(island) == solve_phantom(expected)


@pytest.mark.parametrize("name", RIGS)
def test_ground_pieces_placed_by_name_are_those_drawn(name: str) -> None:
    """Networks, places of cables, items and inputs: nothing is lost by drawing a shape once."""
    rig = RIGS[name]
    inputs = dict(inputs_of(rig))
    drawings: dict[Hashable, GroundDrawing] = {}
    for piece in pieces_of(rig):
        drawn = GroundDrawing.of(piece, inputs)
        like = drawings.setdefault((piece.shape, heard_at(piece, inputs)), drawn)
        placed = like.placed(piece)
        assert placed.items == drawn.items
        assert placed.places == drawn.places
        for (mine, _), (theirs, _) in zip(placed.islands, drawn.islands, strict=True):
            assert mine.network.key == theirs.network.key
            assert (mine.items, mine.senses) == (theirs.items, theirs.senses)
            assert (mine.nodes, mine.couples) == (theirs.nodes, theirs.couples)


def test_equal_strips_are_of_one_shape() -> None:
    """Names and lengths of cable do not count: three kinds of source, three loudspeakers."""
    shapes = {piece.shape for piece in pieces_of(RIGS["different"])}
    assert len(shapes) == len({piece.shape for piece in pieces_of(RIGS["alike"])})
    assert len(shapes) < 9
    assert len(list(pieces_of(RIGS["different"]))) == 15


def test_an_item_without_earth_holds_its_plugs_together() -> None:
    """Both sides of a passive box are one piece by its 0 V, though no wire joins them."""
    pieces = [{port.item.id for port in piece.ports} for piece in pieces_of(RIGS["alike"])]
    assert {"keys-3", "di-3", "desk"} in pieces


def test_a_plug_pulled_leaves_the_other_pieces_as_they_are() -> None:
    """Numbers of links move up; what is drawn does not."""
    rig = RIGS["different"]
    shorter = build_rig(apply(rig.show, [Unplug(rig.show.links[0])])[0], rig.book)
    before = {piece.shape for piece in pieces_of(rig)}
    assert {piece.shape for piece in pieces_of(shorter)} <= before
