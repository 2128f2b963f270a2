"""Notes: figures worth knowing that are no verdict."""

from __future__ import annotations

import pytest

from tests.planning.asking import asked, asked_with


def test_a_volume_note_starts_from_where_the_volume_stands() -> None:
    """A quarter of -12 dB is -24 dB, and costs 12 dB again."""
    down = {"laptop.volume": "-12 dB"}
    told = asked_with("laptop headphones", "stereo line input of compact mixer", down)
    (note,) = (each for each in told.notes if "quarter" in each)
    assert note.startswith("laptop.volume at -12 dB: ")
    assert "(-24 dB)" in note
    assert "12.0 dB worse" in note


def test_a_step_is_told_where_there_is_one() -> None:
    assert any("takes the level" in note for note in asked("passive di", "line mixer").notes)
    assert not any("takes the level" in note for note in asked("media player", "line mixer").notes)


def test_a_level_is_told_against_line_level_where_it_goes_into_a_strip() -> None:
    """Not where an amplifier takes it, and not of what passes on another's signal."""
    assert any(" below a source of +4 dBu" in n for n in asked("media player", "line mixer").notes)
    assert not any("a source of" in note for note in asked("passive di", "line mixer").notes)


@pytest.mark.parametrize("input_", ["line", "mic"])
def test_beside_harm_there_are_none(input_: str) -> None:
    assert asked("amp speaker out", f"powered loudspeaker {input_} input").notes == ()
