"""A supply that stands behind a multicore: found for the remedy, and named on the sheets."""

from __future__ import annotations

from typing import Final

from levelhead.exchange.paperwork.phantom import phantom_needed
from levelhead.exchange.paperwork.work import Paperwork
from levelhead.gear.book import load_book
from levelhead.planning.check import check_show
from levelhead.show.document import parse_show

SHOW: Final = """\
levelhead: 1
show: {name: Guitar behind a multicore}
items:
  stand: {type: mic-large-condenser}
  multi: {type: multicore-16-4}
  desk: {type: mixer-analogue-16}
  pa: {type: loudspeaker-powered-12}
sources:
  guitar: {type: sound-guitar-acoustic, at: stand}
links:
  - {from: stand.out, to: multi.line2.in, via: [cable-xlr 10 m]}
  - {from: multi.line2.out, to: desk.ch2.mic}
  - {from: desk.main-left.out, to: pa.in, via: [cable-xlr 10 m]}
"""


def test_phantom_is_switched_on_at_the_desk_behind_a_multicore() -> None:
    """Copper carries it (IEC 61938); the multicore has no switch, and needs none."""
    found = check_show(parse_show(SHOW, "guitar").show, load_book())
    missing = [each for each in found.findings if each.code == "phantom.missing"]
    assert [way.do for each in missing for way in each.remedies][:1] == ["Set desk.phantom to on"]
    assert phantom_needed(Paperwork(found)) == {"desk": ["ch2"]}
