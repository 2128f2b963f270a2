"""A turntable where it belongs and where it does not."""

from __future__ import annotations

import re

import pytest

from levelhead.gear.book import load_book
from levelhead.planning.asked.answer import Answer, Question, answer
from levelhead.verdicts.told.severity import Severity


def asked(source: str, target: str) -> Answer:
    return answer(Question(source, target), load_book())


def test_a_turntable_starves_a_line_input() -> None:
    """3 mV are -48 dBu; 20 dB of gain leave 32 dB to +4 dBu.

    The cartridge loses some dB of its top beside, on an input that is not 47 kohm.
    """
    told = asked("turntable", "line mixer line input")
    assert told.verdict is Severity.FAILS
    weak = re.search(r"It comes ([\d.]+) dB too weak", told.why)
    assert weak is not None
    assert float(weak[1]) == pytest.approx(32, abs=5)


@pytest.mark.parametrize(
    ("source", "target"),
    [
        ("turntable", "phono preamp"),
        ("phono preamp", "mixer line input"),
        ("turntable with preamp", "mixer line input"),
        ("television", "mixer line input"),
        ("desk main output", "hearing loop"),
    ],
)
def test_gear_of_guests_and_halls_is_fine_where_it_belongs(source: str, target: str) -> None:
    assert asked(source, target).verdict is Severity.FINE
