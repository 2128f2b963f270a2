"""Measured directivity as it is typed: read, refused, and the same as what it was made of."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from levelhead.acoustics.sound.directivity import Coverage
from levelhead.acoustics.sound.directivity_table import HEAD, read_directivity
from levelhead.errors import GearError
from levelhead.quantity.bands import BANDS

PAGE = Path(__file__).parents[3] / "docs" / "acoustics.md"


def test_the_file_of_the_manual_is_read() -> None:
    """45 degrees across at 2 kHz: 6 dB down; straight behind at 8 kHz: 30 dB."""
    text = PAGE.read_text(encoding="utf-8").partition("```text\nlevelhead directivity")[2]
    table = read_directivity("levelhead directivity" + text.partition("```")[0])
    assert [table.across_db[45, 20], table.across_db[180, 26]] == pytest.approx([-6, -30], abs=0.05)
    assert np.all(np.diff(table.q[8:27]) > 0)


def test_a_table_of_a_smooth_lobe_is_that_lobe() -> None:
    """Typed each degree: gains and directivity factor come back."""
    lobe = Coverage(across_deg=np.full(BANDS, 90.0), up_deg=np.full(BANDS, 90.0))
    angle = np.radians(np.arange(181.0))
    ring = np.stack((np.cos(angle), np.sin(angle), np.zeros(181)), axis=-1)
    rows = [f"{i} {10 * np.log10(g):.4f}" for i, g in enumerate(lobe.gain(ring)[:, 17])]
    table = read_directivity("\n".join([HEAD, "across 1000", *rows]))
    assert float(table.q[17]) == pytest.approx(float(lobe.q[17]), rel=0.01)
    aside = np.array([[0.6, 0.48, 0.64], [-0.2, 0.8, -0.5656854]])
    ours = 10 * np.log10(table.gain(aside)[:, 17])
    assert ours == pytest.approx(10 * np.log10(lobe.gain(aside)[:, 17]), abs=0.05)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("across 1000\n0 0\n180 -9", "box:1: the head is missing"),
        (f"{HEAD}\n0 0\n", "box:2: '0 0' cannot be read as directivity; expected a plane"),
        (f"{HEAD}\nacross 1000\n0 0\n90 x\n180 -9", "box:4: '90 x' cannot be read"),
        (f"{HEAD}\nacross 500 1000\n0 0\n180 -9 -9", "box:3: 2 numbers .* an angle and 2 levels"),
        (f"{HEAD}\nacross 1000\n0 0\n90 -9", "plane 'across': the angles are wrong"),
        (f"{HEAD}\nacross 1000\n0 -3\n180 -9", "expected 0 dB on the axis"),
        (f"{HEAD}\nacross 1000 500\n0 0 0\n180 -9 -9", "the frequencies are wrong"),
        (f"{HEAD}\nup 1000\n0 0\n180 -9", "no plane 'across'"),
    ],
)
def test_what_is_wrong_is_told_with_its_line(text: str, message: str) -> None:
    with pytest.raises(GearError, match=message):
        read_directivity(text, name="box")
