"""What hangs on a socket from outside, its own item taken away."""

from __future__ import annotations

import numpy as np
import pytest

from levelhead.circuit.loads.beyond import beyond_ohm
from tests.verdicts.shows import tried_text

AMPLIFIER = "a: {type: amplifier-two-channel}"


def load_ohm(text: str, port: str, *, with_leads: bool = True) -> float:
    """Modulus at 1 kHz of what a socket sees."""
    solution = tried_text(text).solution
    island = next(each for each in solution.islands if port in each.pins)
    place = solution.rig.ports[port]
    found = beyond_ohm(island, place, np.array([1000.0]), with_leads=with_leads)
    return float(np.abs(found[0]))


def boxes(count: int) -> str:
    """So many loudspeakers of 8 ohm side by side, on 5 m of 2.5 mm2 each."""
    items = "\n".join(
        f"          b{n}: {{type: loudspeaker-passive-12, figures: {{in.impedance: 8 ohm}}}}"
        for n in range(count)
    )
    starts = ["a.ch1.out", *(f"b{n}.link" for n in range(count - 1))]
    links = "\n".join(
        f"          - {{from: {start}, to: b{n}.in, via: [cable-loudspeaker 5 m]}}"
        for n, start in enumerate(starts)
    )
    return f"        items:\n          {AMPLIFIER}\n{items}\n        links:\n{links}\n"


@pytest.mark.parametrize("count", [1, 2, 3])
def test_loudspeakers_side_by_side(count: int) -> None:
    """Ohm's law: 8 ohm over how many there are; the book's cabinet has 8 ohm at 1 kHz."""
    rated = load_ohm(boxes(count), "a.ch1.out", with_leads=False)
    assert rated == pytest.approx(8 / count, rel=0.03)


def test_leads_add_their_copper() -> None:
    """5 m there and back of 7.98 mohm are 0.08 ohm, in a row with 8 ohm that are mostly real."""
    text = boxes(1)
    bare = load_ohm(text, "a.ch1.out", with_leads=False)
    assert load_ohm(text, "a.ch1.out") - bare == pytest.approx(0.07, abs=0.015)


def test_an_output_transformer_is_no_part_of_what_it_sees() -> None:
    """A tap of 6 W takes 100 V squared over 6 W, whatever stands in the amplifier."""
    text = """
        items:
          a: {type: amplifier-line-100v}
          b: {type: loudspeaker-line-100v}
        links:
          - {from: a.out-100v, to: b.in, via: [cable-loudspeaker-bare 10 m]}
        settings: {b: {tap: 6-w}}
        """
    assert load_ohm(text, "a.out-100v") == pytest.approx(100**2 / 6, rel=0.05)
