"""Where something is plugged that cannot work at all, nothing is told of levels besides."""

from __future__ import annotations

import pytest

from levelhead.verdicts.loading.joined import JOINED
from tests.verdicts.shows import judged_text


def told(items: str, links: str) -> list[str]:
    text = f"items: {{{items}}}\nlinks: [{links}]\n"
    return [each.code for each in judged_text(text).worse_than_fine()]


FEED = "f: {type: feed-line}"


@pytest.mark.parametrize(
    ("items", "link", "codes"),
    [
        (
            f"{FEED}, aes: {{type: digital-in-aes3}}",
            "{from: f.out, to: aes.in, via: [cable-xlr 5 m]}",
            {"wiring.language", "harm.level"},
        ),
        (
            "mic: {type: mic-vocal-dynamic}, aes: {type: digital-in-aes3}",
            "{from: mic.out, to: aes.in, via: [cable-xlr 5 m]}",
            {"wiring.language"},
        ),
        (
            f"{FEED}, lights: {{type: lighting-data}}",
            "{from: f.out, to: lights.data, via: [cable-xlr 5 m]}",
            {"harm.no-audio", "wiring.outputs-only"},
        ),
        (
            "crew: {type: intercom-party-line}, pa: {type: loudspeaker-powered-12}",
            "{from: crew.line, to: pa.in, via: [cable-xlr 5 m]}",
            {"harm.direct-volts"},
        ),
    ],
    ids=["line into data", "microphone into data", "line on lights", "intercom into a loudspeaker"],
)
def test_a_line_of_another_language_is_told_once(items: str, link: str, codes: set[str]) -> None:
    """Less level, or a peak that clips, is the least of it there."""
    assert set(told(items, link)) == codes


def test_of_outputs_that_overrun_one_another_no_loss_is_told() -> None:
    items = "a: {type: mixer-compact}, b: {type: mixer-compact}, pa: {type: loudspeaker-powered-12}"
    link = (
        "{ends: {first: a.main-left.out, second: b.main-left.out, b: pa.in}, "
        "via: [lead-y-xlr-join 2 m]}"
    )
    assert set(told(items, link)) == {JOINED}
