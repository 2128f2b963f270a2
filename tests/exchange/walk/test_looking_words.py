"""Words of the first stop go by the kind of source; the way goes straight to its end."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from levelhead.exchange.paperwork.work import Paperwork
from levelhead.exchange.sheets.pack import check_for
from levelhead.exchange.walk import Walk, channel_meant, walk
from levelhead.gear.book import load_book
from levelhead.show.document import load_show

EXAMPLES = Path(__file__).parents[3] / "src" / "levelhead" / "examples"


@cache
def work(name: str) -> Paperwork:
    show = load_show(EXAMPLES / f"{name}.yaml").show
    return Paperwork(check_for((), show, load_book()))


def walked(name: str, channel: str) -> Walk:
    return walk(work(name), channel_meant(work(name), channel), "silent")


@pytest.mark.parametrize(
    ("name", "channel", "begins"),
    [
        ("church-with-band", "ch5", "Choir sings, as in the loudest passage"),
        ("church-with-band", "ch1", "Reader speaks"),
        ("church-with-band", "ch8", "Piano plays"),
        ("conference", "ch3", "Speaker with the headset speaks"),
        ("outdoor-stage", "ch4", "Snare plays"),
    ],
)
def test_a_choir_sings_and_a_reader_speaks(name: str, channel: str, begins: str) -> None:
    assert walked(name, channel).stops[0].do.startswith(begins)


def test_the_way_goes_straight_and_not_through_the_reverb() -> None:
    """The choir's send is so high that more of it comes back than goes straight."""
    titles = [stop.title for stop in walked("church-with-band", "ch5").stops]
    assert titles[-2:] == ["Desk: to main-right", "Right column"]
    assert not any("Reverb" in title for title in titles)
