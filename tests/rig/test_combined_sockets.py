"""Combined sockets: what stands on the contacts of the XLR, and on those of the jack.

Common practice: phantom power is on the XLR contacts alone; the jack is a way for lines and
instruments. IEC 61938 knows phantom power on the three-pole XLR.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from levelhead.errors import GearError
from levelhead.gear.book import load_book
from levelhead.planning.check import check_show
from levelhead.rig.build import build_rig
from levelhead.rig.refigured import refigured
from levelhead.show.document import parse_show
from levelhead.show.edits import Plug, Recable, Set, apply
from levelhead.show.model import Cable, Item, Link, Show
from levelhead.verdicts.told.finding import Severity
from tests.bench import book_with, on_bench

DESK = """
desk:
  label: Combined input
  kind: box
  source: measured
  earth: mains
  controls: {{phantom: {{options: {{"off": {{}}, "on": {{in.phantom: 48 V}}}}, default: "on"}}}}
  ports: {{in: {{socket: combo, role: in, circuit: balanced-input, impedance: 2 kohm{jack}}}}}
"""
KEYS = """
keys:
  label: Keyboard
  kind: instrument
  source: measured
  ports: {out: {socket: jack-ts, role: out, circuit: single-ended-output, impedance: 1 kohm}}
"""
JACK, XLR = "keys.out > desk.in: cable-jack 3 m", "keys.out > desk.in: lead-jack-xlr 3 m"


@pytest.mark.parametrize(
    ("jack", "lead", "feeds"),
    [("", JACK, 0), ("", XLR, 2), (", jack-fed: true", JACK, 2), (", jack-fed: true", XLR, 2)],
)
def test_phantom_power_stands_on_the_contacts_that_the_entry_says(
    jack: str, lead: str, feeds: int
) -> None:
    bench = on_bench(DESK.format(jack=jack) + KEYS, {"keys": "keys", "desk": "desk"}, [lead])
    assert sum(len(island.feeds) for island in bench.islands) == feeds


def test_only_a_socket_with_both_can_feed_its_jack() -> None:
    """An XLR or a jack alone has nothing to tell apart."""
    with pytest.raises(GearError, match="has no jack beside its XLR"):
        book_with(DESK.format(jack=", jack-fed: true").replace("combo", "xlr-f")).plan(
            "desk", {}, {}
        )


SHOW = Show(
    "combined",
    items={"keys": Item("keys", "keyboard-stereo"), "desk": Item("desk", "mixer-digital-16")},
    links=(Link({"a": "keys.out-left", "b": "desk.ch1.mic"}, (Cable("cable-jack", 3.0),)),),
    settings={"desk.ch1.phantom": "on"},
)


def test_another_lead_brings_phantom_and_the_first_one_takes_it_away() -> None:
    """Also where the rig of before is at hand."""
    book = load_book()
    rig = build_rig(SHOW, book)
    other, back = apply(SHOW, [Recable("desk.ch1.mic", (Cable("lead-jack-xlr", 3.0),))])
    by_xlr = build_rig(other, book, previous=rig)
    again = build_rig(apply(other, back)[0], book, previous=by_xlr)
    fed = [each.ports["desk.ch1.mic"].plan.figure("phantom") for each in (rig, by_xlr, again)]
    assert fed == [None, 48.0, None]
    assert all(each.ports["desk.ch1.mic"].switched.figure("phantom") for each in (rig, again))


def test_it_stays_so_with_other_figures_and_switches() -> None:
    """Redraws of figures, and a switch that is turned: the jack has none still."""
    rig = build_rig(SHOW, load_book())
    drawn = refigured(rig, lambda _, figure: figure.at(1.1 * figure.value))
    off, back = apply(SHOW, [Set("desk.ch1.phantom", "off")])
    on = build_rig(apply(off, back)[0], rig.book, previous=build_rig(off, rig.book, previous=rig))
    for each in (drawn, on):
        assert each.ports["desk.ch1.mic"].plan.figure("phantom") is None


def test_a_keyboard_by_its_jack_is_not_harmed() -> None:
    """By a lead with an XLR it is: no output of its kind is made for 48 V."""
    links = (replace(SHOW.links[0], via=(Cable("lead-jack-xlr", 3.0),)),)
    by_jack, by_xlr = (check_show(each, load_book()) for each in (SHOW, replace(SHOW, links=links)))
    assert by_jack.verdict is not Severity.HARM
    assert by_xlr.verdict is Severity.HARM


def test_a_condenser_by_a_jack_gets_none_and_an_xlr_cable_is_offered() -> None:
    """The switch is on: the plug is what is wrong."""
    show = parse_show(CONDENSER_BY_A_JACK, "condenser").show
    (found,) = (each for each in check_show(show, load_book()).findings if each.family == "phantom")
    assert found.what.endswith("feeds it on the XLR contacts alone, not on those of the jack.")
    (lead,) = (edit for edit in found.remedies[0].edits if isinstance(edit, Recable | Plug))
    assert (lead.via if isinstance(lead, Recable) else lead.link.via)[0].type == "cable-xlr"


CONDENSER_BY_A_JACK = """
levelhead: 1
show: {name: condenser}
items:
  mic: {type: mic-vocal-condenser}
  desk: {type: mixer-digital-16}
  box: {type: loudspeaker-powered-12}
sources: {ana: {type: voice-singer, at: mic}}
links:
  - {from: mic.out, to: desk.ch1.mic, via: [lead-xlr-jack-balanced 5 m]}
  - {from: desk.main-left.out, to: box.in}
settings: {desk: {ch1: {phantom: "on"}}}
"""
