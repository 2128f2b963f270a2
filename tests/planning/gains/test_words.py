"""What a plan says to people: cautions where they belong."""

from __future__ import annotations

import pytest

from levelhead.gear.book import load_book
from levelhead.planning.gains.make import make_plan
from levelhead.planning.gains.planned.words import caution_words
from levelhead.show.document import parse_show
from tests.verdicts.air.halls import CHAIRS, show_text


@pytest.mark.reference("NIOSH 98-126: 85 dB(A) for 8 h; peaks of programme stand above its mean")
def test_soft_is_no_caution_and_loud_is_one() -> None:
    """Both are planned some 20 dB up: speech of 55 dB(A) hurts nobody, 100 dB(A) do."""

    def told(level_db: float) -> str | None:
        areas = f"{{chairs: {{{CHAIRS}, level: {level_db} dB(A)}}}}"
        text = show_text(areas=areas, level_db=level_db - 115.0)
        return caution_words(make_plan(parse_show(text, "talk.yaml").show, load_book()).plan)

    assert told(55.0) is None
    loud = told(95.0)
    assert loud is not None
    assert "enough to hurt hearing" in loud
