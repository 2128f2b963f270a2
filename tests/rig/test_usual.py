"""Which cable an engineer takes between two sockets when nobody says which."""

from __future__ import annotations

from typing import Final

import pytest

from levelhead.gear.book import load_book
from levelhead.gear.plan import PortPlan
from levelhead.rig.usual import fitting_cables, usual_cable


def port(words: str) -> PortPlan:
    """A port in a few words: its socket, ``stereo``, ``amp`` or ``box``, what it carries."""
    socket, *rest = words.split()
    return PortPlan(
        name="port",
        label="port",
        words=(),
        socket=socket,
        role="loudspeaker" if "amp" in rest else "out",
        circuit="loudspeaker-load" if "box" in rest else None,
        figures={},
        signals=("left", "right") if "stereo" in rest else (),
        joined=None,
        hole="port",
        carries=next((each for each in rest if each in {"aes3", "spdif", "network"}), "audio"),
    )


# From, to, what is taken: common practice. What decides where two leads would fit stands beside.
USUAL: Final = [
    # balanced outputs
    ("xlr-m", "xlr-f", "cable-xlr"),
    ("xlr-m", "combo", "cable-xlr"),
    ("xlr-m", "jack-trs", "lead-xlr-jack-balanced"),
    (
        "xlr-m",
        "jack-ts",
        "lead-xlr-jack",
    ),  # pin 3 tied: right for floating outputs, harmless for most
    ("xlr-m", "phono", "lead-xlr-phono"),
    ("xlr-m", "mini-trs stereo", "lead-xlr-mini"),  # both sides get it
    ("jack-trs", "xlr-f", "lead-jack-balanced-xlr"),
    ("jack-trs", "combo", "cable-jack-balanced"),
    ("jack-trs", "jack-trs", "cable-jack-balanced"),
    ("jack-trs", "jack-ts", "cable-jack"),
    ("jack-trs", "phono", "lead-phono-jack"),
    ("jack-trs", "mini-trs stereo", "lead-jack-mini"),  # straight, right would be left upside down
    # unbalanced outputs
    ("jack-ts", "jack-ts", "cable-jack"),
    ("jack-ts", "jack-trs", "cable-jack"),
    ("jack-ts", "combo", "cable-jack"),
    ("jack-ts", "xlr-f", "lead-jack-xlr"),
    ("jack-ts", "phono", "lead-phono-jack"),
    ("jack-ts", "mini-trs stereo", "lead-jack-mini"),
    ("jack-ts", "mini-ts", "lead-mini-jack"),
    ("phono", "phono", "cable-phono"),
    ("phono", "jack-ts", "lead-phono-jack"),
    ("phono", "jack-trs", "lead-phono-jack"),
    ("phono", "combo", "lead-phono-jack"),
    ("phono", "xlr-f", "lead-phono-xlr"),
    ("phono", "mini-trs stereo", "lead-phono-mini"),
    # stereo outputs into mono inputs: both sides, through resistors
    ("mini-trs stereo", "jack-trs", "lead-mini-sum-jack"),
    ("mini-trs stereo", "jack-ts", "lead-mini-sum-jack"),
    ("mini-trs stereo", "combo", "lead-mini-sum-jack"),
    ("mini-trs stereo", "xlr-f", "lead-mini-sum-xlr"),
    ("mini-trrs stereo", "xlr-f", "lead-mini-sum-xlr"),
    ("mini-trrs stereo", "jack-trs", "lead-mini-sum-jack"),
    ("jack-trs stereo", "jack-trs", "lead-stereo-jack-sum"),
    ("jack-trs stereo", "xlr-f", "lead-stereo-jack-sum-xlr"),
    # stereo into stereo: straight
    ("mini-trs stereo", "mini-trs stereo", "cable-mini"),
    ("mini-trrs stereo", "mini-trs stereo", "cable-mini"),
    ("mini-trs stereo", "jack-trs stereo", "lead-mini-jack-balanced"),
    ("jack-trs stereo", "mini-trs stereo", "lead-mini-jack-balanced"),
    ("jack-trs stereo", "jack-trs stereo", "cable-jack-balanced"),
    # loudspeaker outputs: never a screened lead
    ("speaker-4 amp", "speaker-4 box", "cable-loudspeaker"),
    ("speaker-4 amp", "speaker-2 box", "cable-loudspeaker-2-pole"),
    ("speaker-2 amp", "speaker-4 box", "cable-loudspeaker-2-pole"),
    ("speaker-4 amp", "terminals box", "lead-loudspeaker-bare"),
    ("speaker-4 amp", "jack-ts box", "lead-loudspeaker-jack"),
    ("terminals amp", "terminals box", "cable-loudspeaker-bare"),
    ("terminals amp", "speaker-4 box", "lead-loudspeaker-bare"),
    ("terminals amp", "jack-ts box", "lead-jack-bare"),
    ("jack-ts amp", "jack-ts box", "cable-loudspeaker-jack"),
    ("jack-ts amp", "speaker-4 box", "lead-loudspeaker-jack"),
    ("jack-ts amp", "terminals box", "lead-jack-bare"),
    # digital lines, by what the port carries
    ("xlr-m aes3", "xlr-f aes3", "cable-digital-110"),
    ("phono spdif", "phono spdif", "cable-coax-75"),
    ("phono spdif", "phono", "cable-coax-75"),
    ("bnc", "bnc", "cable-coax-75-bnc"),
    ("network network", "network network", "cable-network"),
    ("usb", "usb", "cable-usb"),
    ("hdmi", "hdmi", "cable-hdmi"),
    # what should not be plugged, and is: the lead that people make for it
    ("speaker-4 amp", "combo", "lead-loudspeaker-xlr"),
    ("speaker-4 amp", "jack-ts", "lead-loudspeaker-jack"),
    ("speaker-4 amp", "xlr-f", "lead-loudspeaker-xlr"),
    ("jack-ts amp", "jack-ts", "cable-loudspeaker-jack"),  # to a DI box
    ("xlr-m", "speaker-4 box", "lead-xlr-loudspeaker"),
    ("jack-ts", "speaker-4 box", "lead-loudspeaker-jack"),
    ("phono", "terminals", "lead-phono-bare"),
    ("xlr-m", "terminals", "lead-xlr-bare"),
]


@pytest.mark.parametrize(("start", "end", "expected"), USUAL)
def test_the_usual_cable_is_what_an_engineer_takes(start: str, end: str, expected: str) -> None:
    """From one socket to the other, without being told."""
    found = usual_cable(load_book(), port(start), port(end))
    assert found is not None
    assert found.type_id == expected


MONO: Final = sorted({words for row in USUAL for words in row[:2] if " " not in words})


@pytest.mark.parametrize("start", MONO)
@pytest.mark.parametrize("end", MONO)
def test_a_lead_has_no_direction(start: str, end: str) -> None:
    """What goes from one plain socket to the other goes back as well."""
    book = load_book()
    there = {each.type_id for each in fitting_cables(book, port(start), port(end))}
    back = {each.type_id for each in fitting_cables(book, port(end), port(start))}
    assert there == back


def test_adaptors_and_special_leads_are_never_proposed() -> None:
    """They are taken by name only."""
    book = load_book()
    proposed = {
        each.type_id
        for start, end, _ in USUAL
        for each in fitting_cables(book, port(start), port(end))
    }
    assert all(
        book.entry(each).kind == "cable" and not book.entry(each).special for each in proposed
    )
    assert "cable-xlr-reversed" in book.ids


def test_nothing_fits_where_no_lead_is_made() -> None:
    """An XLR output into another XLR output takes an adaptor, which is not proposed."""
    assert usual_cable(load_book(), port("xlr-m"), port("xlr-m")) is None
