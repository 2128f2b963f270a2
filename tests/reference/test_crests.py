"""Published crest factors of programme, through the book's sources and a mixer's bus."""

from __future__ import annotations

import pytest

from levelhead.gear.book import load_book
from tests.chain.bench import Items, bench


@pytest.mark.reference(
    "test convention of amplifiers and of AES2: noise of crest 12 dB, factor 4 (CV-65)"
)
def test_many_sources_have_the_crest_of_noise() -> None:
    """Six sources of 20 dB come near to it, from above: many are noise, of 12 to 15 dB."""
    tones: Items = {
        f"t{number}": ("tone", {"generator.peak-to-rms": "20 dB"}) for number in range(1, 7)
    }
    links = [(f"t{number}.out", f"d.ch{number}.line") for number in range(1, 7)]
    levels = bench({**tones, "d": "desk"}, links).levels("d.main-left.sum")
    assert levels.peak is not None
    assert levels.nominal is not None
    assert levels.peak - levels.nominal + 3.01 == pytest.approx(13.5, abs=1.5)


@pytest.mark.reference("glossary of crest factors, music 12 to 20 dB (CV-65)")
@pytest.mark.parametrize(
    "type_id", ["player-media", "feed-line", "sound-guitar-amp", "sound-piano", "sound-trumpet"]
)
def test_music_of_the_book_has_the_crest_of_music(type_id: str) -> None:
    """Loud mastering (laptop, 11.5 dB) lies below: its figure is for the loud passage."""
    book = load_book()
    plan = book.plan(type_id, {}, {})
    if plan.air is not None:
        crest_db = plan.air.peak_to_rms_db.value
    else:
        (generator,) = {
            origin.generator
            for block in plan.blocks
            for path in block.plan.paths
            for origin in path.origins
        }
        assert generator is not None
        crest_db = generator.peak_to_rms_db.value
    assert 12 <= crest_db <= 20
