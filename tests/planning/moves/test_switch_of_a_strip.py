"""A switch of the strip at the other end of the lead is tried as well."""

from __future__ import annotations

from levelhead.gear.book import load_book
from levelhead.planning.check import check_show
from levelhead.show.document import parse_show
from levelhead.show.edits import Set

SHOW = """
levelhead: 1
show: {name: "Lectern"}
items:
  lectern: {type: mic-gooseneck-condenser}
  desk: {type: mixer-digital-16}
sources: {reader: {type: voice-talker, at: lectern}}
links: [{from: lectern.out, to: desk.ch3.mic, via: [cable-xlr 10 m]}]
"""


def test_phantom_power_of_one_channel_is_offered() -> None:
    """The finding stands at the microphone; the switch is that of channel 3 of the desk."""
    findings = check_show(parse_show(SHOW, "lectern.yaml").show, load_book(), None).shown(
        include_fine=False
    )
    missing = next(each for each in findings if each.code == "phantom.missing")
    assert missing.remedies[0].edits == (Set("desk.ch3.phantom", "on"),)
