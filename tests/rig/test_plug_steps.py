"""How many plugs lie between sockets."""

from __future__ import annotations

from levelhead.gear.book import load_book
from levelhead.rig.build import build_rig
from levelhead.rig.plug_steps import plug_steps
from levelhead.show.document import parse_show

SHOW = """levelhead: 1
show: {name: Steps}
items:
  mic: {type: mic-vocal-dynamic}
  desk: {type: mixer-compact}
  amp: {type: amplifier-two-channel}
  spare: {type: mic-vocal-dynamic}
links:
  - {from: mic.out, to: desk.ch1.mic, via: [cable-xlr 10 m]}
  - {from: desk.main-left.out, to: amp.ch1.in, via: [cable-xlr 10 m]}
"""


def test_each_link_and_each_box_is_a_step() -> None:
    """Counted by hand: out to the desk 1, through it 2, to the amplifier 3, through it 4."""
    rig = build_rig(parse_show(SHOW, "steps.yaml").show, load_book())
    steps = plug_steps(rig, "mic")
    ways = ("mic.out", "desk.ch1.mic", "desk.main-left.out", "amp.ch1.in", "amp.ch1.out")
    assert [steps[each] for each in ways] == [0, 1, 2, 3, 4]
    assert "spare.out" not in steps
    assert plug_steps(rig, "nobody") == {}
