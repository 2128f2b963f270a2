"""Which loudspeaker of a line is told does not hang on the order in which a show lists them."""

from __future__ import annotations

from levelhead.verdicts.amplifiers.lines import CABLE, LINE
from tests.verdicts.shows import tried_text

LOUDSPEAKERS = ["hall-1", "hall-2", "hall-3"]


def told(order: list[str]) -> set[tuple[str, str]]:
    items = "".join(f"      {each}: {{type: loudspeaker-ceiling-100v}}\n" for each in order)
    text = f"""
    items:
      feed: {{type: feed-line}}
      amp: {{type: amplifier-line-100v}}
{items}
    links:
      - {{from: feed.out, to: amp.in, via: [lead-xlr-jack-balanced 3 m]}}
      - {{from: amp.out-100v, to: hall-1.in, via: [cable-loudspeaker-bare 80 m]}}
      - {{from: hall-1.link, to: hall-2.in, via: [cable-loudspeaker-bare 40 m]}}
      - {{from: hall-2.link, to: hall-3.in, via: [cable-loudspeaker-bare 40 m]}}
    """
    found = tried_text(text).judgement.findings
    return {(each.code, each.where) for each in found if each.code in (CABLE, LINE)}


def test_the_nearest_tells_the_volts_and_the_farthest_the_copper() -> None:
    assert told(LOUDSPEAKERS) == {(LINE, "hall-1.in"), (CABLE, "hall-3.in")}
    assert told(LOUDSPEAKERS[::-1]) == told(LOUDSPEAKERS)
