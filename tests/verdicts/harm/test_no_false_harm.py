"""Professional line outputs into line inputs of the gear book never alarm, whatever the doubts."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

import pytest

from levelhead.gear.book import load_book
from levelhead.gear.figures import Figure
from levelhead.quantity.decibels import DBU_REFERENCE_V
from levelhead.verdicts.harm.level import AMPLE_DB
from levelhead.verdicts.told.limit_state import Doubt, LimitState
from levelhead.verdicts.told.severity import Severity

HOT: Final = [DBU_REFERENCE_V * 10 ** (each / 20) for each in (26.0, 22.0, 28.0)]
"""The hottest line outputs that are met: +26 dBu, between +22 and +28 (common practice)."""
PROFESSIONAL: Final = frozenset({"xlr-f", "combo"})
KINDS: Final = frozenset({"mixer", "processor", "amplifier", "loudspeaker", "player"})


def line_inputs() -> Iterator[tuple[str, Figure]]:
    """Balanced line inputs on XLR, with what they survive."""
    book = load_book()
    for type_id in book.ids:
        if book.entry(type_id).ends is None and book.entry(type_id).kind in KINDS:
            for block in book.plan(type_id, {}, {}).blocks:
                for port in block.plan.ports.values():
                    damage = port.figures.get("damage")
                    is_line = (
                        "line" in (port.label + " ".join(port.words)) and "mic" not in port.label
                    )
                    if port.socket in PROFESSIONAL and port.role == "in" and is_line and damage:
                        yield f"{type_id}.{block.address(port.name)}", damage


@pytest.mark.parametrize(("name", "damage"), dict(line_inputs()).items())
def test_the_hottest_line_output_is_fine_into_it(name: str, damage: Figure) -> None:
    hot = Figure(HOT[0], HOT[1], HOT[2], "V", "common practice")
    doubts = (Doubt("damage", "fact", damage, 1.0), Doubt("ceiling", "fact", hot, -1.0))
    margin_db = 20 * math.log10(damage.value / hot.value)
    state = LimitState(margin_db, "dB", lambda: doubts)
    assert state.severity(ample=AMPLE_DB) is Severity.FINE, name
