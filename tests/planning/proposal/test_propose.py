"""One more source: each proposal is done by hand on a fresh copy, and holds."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Final

import pytest

import levelhead
from levelhead.errors import AskError
from levelhead.gear.book import load_book
from levelhead.planning.proposal.free_inputs import occupied
from levelhead.planning.proposal.joined import join
from levelhead.planning.proposal.proposals import Proposal
from levelhead.planning.proposal.propose import propose, propose_in_show
from levelhead.planning.trial import Trial, try_show
from levelhead.show.document import load_show
from levelhead.show.edits import AddItem, Plug, Set, Unplug, apply
from levelhead.verdicts.told.severity import Severity
from tests.verdicts.shows import tried_text

EXAMPLES: Final = Path(levelhead.__file__).parent / "examples"
RIGS: Final = Path(__file__).parents[2] / "rigs"
BAD: Final = {Severity.FAILS, Severity.HARM}


@cache
def duo() -> Trial:
    return try_show(load_show(str(EXAMPLES / "duo-in-a-pub.yaml")).show, load_book())


@cache
def church() -> Trial:
    return try_show(load_show(str(RIGS / "church-band.yaml")).show, load_book())


def leads(each: Proposal) -> list[str]:
    plugs = [edit for edit in each.attempt.edits if isinstance(edit, Plug)]
    return [cable.type for plug in plugs for cable in plug.link.via]


def assert_holds(before: Trial, each: Proposal) -> None:
    """Nothing else is worse, the same verdict, only free sockets, no control of another strip."""
    show, _ = apply(before.show, each.attempt.edits)
    after = try_show(show, before.book)
    known = {(found.key, found.severity) for found in before.judgement.findings}
    new = {(found.key, found.severity) for found in after.judgement.worse_than_fine()} - known
    assert max((severity.rank for _, severity in new), default=0) <= each.verdict.rank, each.do
    assert not [edit for edit in each.attempt.edits if isinstance(edit, Unplug)]
    for port in each.inputs:
        assert before.solution.rig.ports[port.address].link is None
    strips = tuple(port.sibling("") for port in each.inputs if port.block.name)
    for edit in each.attempt.edits:
        if isinstance(edit, Set) and edit.address in before.solution.rig.controls:
            is_own = edit.address.startswith(strips)
            assert is_own or any(edit.value in need for need in each.attempt.needs), edit


@pytest.mark.parametrize("text", ["singer", "keyboard", "voice-talker"])
def test_proposals_for_a_duo_hold(text: str) -> None:
    found = propose(duo(), text)
    assert found.proposals
    for each in found.proposals:
        assert each.is_usable
        assert not each.attempt.elsewhere
        assert_holds(duo(), each)


def test_a_singer_gets_a_microphone_on_the_next_channel() -> None:
    """Common practice: a vocal dynamic by XLR, gain 36 to 40 dB like those that sing already."""
    best = propose(duo(), "singer").proposals[0]
    assert [port.address for port in best.inputs] == ["desk.ch3.mic"]
    assert leads(best) == ["cable-xlr"]
    assert best.attempt.gain is not None
    assert 33 < best.attempt.gain.set < 43
    assert best.lacks == ("mic-vocal-dynamic",)


def test_a_condenser_needs_phantom_on_and_says_so() -> None:
    found = propose(duo(), "singer").proposals
    condenser = next(each for each in found if each.what == "Vocal microphone, condenser")
    assert any("phantom" in need and need.endswith(" on") for need in condenser.attempt.needs)
    assert Set("desk.phantom", "on") in condenser.attempt.edits


def test_what_is_in_stock_comes_first() -> None:
    show = duo().show
    stock = {**show.stock, "mic-vocal-condenser": 1}
    found = propose(try_show(replace(show, stock=stock), load_book()), "singer").proposals
    assert found[0].what == "Vocal microphone, condenser"
    assert not found[0].lacks
    assert found[0].stock == "in stock"


def test_a_trumpet_joins_a_church_band() -> None:
    found = propose(church(), "trumpet")
    assert found.verdict is Severity.FINE
    best = found.proposals[0]
    assert best.inputs[0].address == "desk.ch12.mic"  # the first that is free
    assert "cable-xlr" in leads(best)
    assert_holds(church(), best)


def test_a_player_brings_itself_and_a_lead_for_both_sides() -> None:
    found = propose(church(), "laptop").proposals
    assert all("laptop" not in each.lacks for each in found)
    pair = next(each for each in found if len(each.inputs) == 2)
    assert leads(pair) == ["lead-mini-two-jacks"]
    for panned in (Set("desk.ch12.pan", "left"), Set("desk.ch13.pan", "right")):
        assert panned in pair.attempt.edits


FULL: Final = """
    items:
      a: {type: mic-vocal-dynamic, need: must}
      b: {type: mic-vocal-dynamic, label: Raffle, need: nice}
      c: {type: mic-vocal-dynamic}
      e: {type: mic-vocal-dynamic, need: must}
      k: {type: keyboard-stereo, need: must}
      p: {type: keyboard-stereo, need: must}
      d: {type: mixer-compact}
      l: {type: loudspeaker-powered-12}
    sources:
      va: {type: voice-singer, at: a}
      vb: {type: voice-talker, at: b}
      vc: {type: voice-singer, at: c}
      ve: {type: voice-singer, at: e}
    links:
      - {from: a.out, to: d.ch1.mic}
      - {from: b.out, to: d.ch2.mic}
      - {from: c.out, to: d.ch3.mic}
      - {from: e.out, to: d.ch4.mic}
      - {from: k.out-left, to: d.st1.in-left}
      - {from: p.out-left, to: d.st2.in-left}
      - {from: p.out-right, to: d.st2.in-right}
      - {from: d.main-left.out, to: l.in}
    """


def test_a_full_desk_says_why_and_what_would_make_room() -> None:
    """What is only nice to have goes first; a must is never left out."""
    found = propose(tried_text(FULL), "singer")
    assert not found.proposals
    assert found.verdict is Severity.FAILS
    assert found.why_not is not None
    assert found.why_not.startswith("Does not fit, because")
    assert found.frees[0].do == "Leave out Raffle, which is only nice to have"
    assert [each.then.inputs[0].address for each in found.frees] == ["d.ch2.mic", "d.ch3.mic"]
    for each in found.frees:
        assert each.then.is_usable


def test_a_lead_that_does_not_fit_leaves_others_where_they_are() -> None:
    """A full desk, with a headphone extension as the lead of the first microphone."""
    bad = "d.ch1.mic, via: [cable-headphone-extension 3 m]}"
    rig = tried_text(FULL.replace("d.ch1.mic}", bad)).solution.rig
    assert [[link.ends["a"] for link in each.links] for each in occupied(rig)] == [
        ["b.out"],
        ["c.out"],
    ]


def test_own_gear_into_a_free_socket_is_judged_with_what_it_unplugs() -> None:
    found = join(duo(), "keys.out-left", "desk line input")
    assert found is not None
    (one,) = found.proposals
    assert one.inputs[0].address == "desk.ch3.line"
    assert any(isinstance(edit, Unplug) for edit in one.attempt.edits)
    assert not any(isinstance(edit, AddItem) for edit in one.attempt.edits)


def test_a_connection_that_is_there_is_judged_as_it_stands() -> None:
    found = join(duo(), "vox-mia.out", "desk.ch1.mic")
    assert found is not None
    assert found.verdict is Severity.FINE
    assert not any(isinstance(edit, Plug | Unplug) for edit in found.proposals[0].attempt.edits)


@pytest.mark.parametrize(
    ("start", "end", "into"),
    [
        ("keys", "desk", "desk.st1.in-left"),
        ("desk", "left loudspeaker", "top-left.in"),
        ("desk output", "monitor", "monitor.in"),
    ],
)
def test_two_items_mean_the_sockets_that_a_lead_joins_already(
    start: str, end: str, into: str
) -> None:
    """Nothing is plugged elsewhere to answer what is there."""
    found = join(duo(), start, end)
    assert found is not None
    (one,) = found.proposals
    assert one.inputs[0].address == into
    assert not any(isinstance(edit, Plug | Unplug) for edit in one.attempt.edits)


def test_what_takes_may_be_named_first() -> None:
    """A wedge into a desk's aux was refused; without a show it was turned round."""
    told = propose_in_show(duo(), "monitor", "desk aux send")
    assert [port.address for port in told.proposals[0].inputs] == ["monitor.in"]
    assert "other way round" in str(told.conditions[0])
    assert not told.not_used


@pytest.mark.parametrize(
    ("start", "end", "joined"),
    [
        ("guitar", "desk", {"guitar.out", "desk.ch1.line"}),  # was the S/PDIF input
        ("desk", "wedge", {"desk.aux1.out", "wedge.in"}),  # was the network, then headphones
        ("desk send", "wedge", {"desk.aux1.out", "wedge.in"}),
        ("tone", "desk", {"tone.out", "desk.ch1.mic"}),
    ],
)
def test_sockets_of_one_signal_that_go_together_are_meant(
    start: str, end: str, joined: set[str]
) -> None:
    """Common practice: a jack into the line input, an XLR into the microphone input."""
    show = """
        items:
          guitar: {type: guitar-acoustic-preamp}
          tone: {type: mic-vocal-dynamic}
          desk: {type: mixer-digital-32}
          wedge: {type: wedge-powered}
        """
    found = propose_in_show(tried_text(show), start, end)
    (plug,) = (each for each in found.proposals[0].attempt.edits if isinstance(each, Plug))
    assert set(plug.link.ends.values()) == joined


ONE_SINGS: Final = """
    items:
      vox: {type: mic-vocal-dynamic}
      desk: {type: mixer-compact}
      a: {type: loudspeaker-powered-12}
      b: {type: loudspeaker-powered-12}
    sources: {ana: {type: voice-singer, at: vox}}
    links:
      - {from: vox.out, to: desk.ch1.mic}
      - {from: desk.main-left.out, to: a.in}
      - {from: desk.main-right.out, to: b.in}
    """


@pytest.mark.parametrize(
    ("text", "first"),
    [
        ("laptop", ["desk.st1.in-left", "desk.st1.in-right"]),  # was two microphone inputs
        ("phone", ["desk.ch2.line", "desk.ch3.line"]),  # 13 dB softer: the gain makes it up
        ("cd player", ["desk.ch2.line"]),
        ("wireless mic", ["desk.ch2.mic"]),
    ],
)
def test_line_level_goes_into_line_inputs(text: str, first: list[str]) -> None:
    """Common practice: microphone inputs are left to microphones, both sides take one strip."""
    best = propose_in_show(tried_text(ONE_SINGS), text, "desk").proposals[0]
    assert [port.address for port in best.inputs] == first


def test_words_for_a_socket_choose_it_before_others() -> None:
    """A free stereo line input was asked for; a channel was offered."""
    best = propose_in_show(tried_text(ONE_SINGS), "laptop", "desk stereo line").proposals[0]
    assert best.inputs[0].address == "desk.st1.in-left"


def test_what_wants_an_outlet_of_its_own_comes_last() -> None:
    """A valve microphone was the third choice for a singer; the word more meant nothing."""
    told = propose_in_show(tried_text(ONE_SINGS), "one more singer", None)
    assert not told.not_used
    assert [each.attempt.outlets for each in told.proposals] == [0, 0, 0, 0, 1]


def test_a_loudspeaker_output_into_a_line_input_of_the_show_harms() -> None:
    hall = try_show(load_show(str(EXAMPLES / "village-hall.yaml")).show, load_book())
    found = propose_in_show(hall, "amp-hall.ch1.out", "foyer.in")
    assert found.verdict is Severity.HARM


def test_words_for_nothing_are_refused() -> None:
    with pytest.raises(AskError, match="makes a sound"):
        propose(duo(), "zzz")
    with pytest.raises(AskError, match="no input of the show"):
        propose_in_show(duo(), "singer", "zzz")


def test_words_that_change_nothing_in_a_show_are_told() -> None:
    told = propose_in_show(duo(), "lovely singer, 4 ohm", "desk mic shiny")
    assert [each.words for each in told.not_used] == ["lovely", "shiny", "4 ohm"]
    assert told.proposals[0].inputs[0].address == "desk.ch3.mic"


def test_both_sides_go_through_boxes_that_want_phantom_power_on_both(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """One switch leaves half of it dead: the second is tried all the same."""
    monkeypatch.setattr("levelhead.planning.proposal.propose._MOST", 20)
    trial = try_show(load_show(str(EXAMPLES / "church-with-band.yaml")).show, load_book())
    found = propose(trial, "keyboard").proposals
    pair = [each for each in found if len(each.inputs) == 2 and len(each.attempt.needs) == 2]
    assert pair
    assert [need.rpartition(" ")[2] for need in pair[0].attempt.needs] == ["on", "on"]
    assert_holds(trial, pair[0])


def test_only_what_may_help_is_solved(monkeypatch: pytest.MonkeyPatch) -> None:
    """No digital input for a microphone, no switch that changes nothing: 53 solutions before."""
    import levelhead.planning.trial as trials

    trial = try_show(load_show(str(EXAMPLES / "church-with-band.yaml")).show, load_book())
    solved = []
    real = trials.solve
    monkeypatch.setattr(trials, "solve", lambda *given: solved.append(1) or real(*given))
    assert len(propose(trial, "singer").proposals) == 5
    assert len(solved) < 20


def test_what_is_said_of_switches_and_leads_holds_in_the_show() -> None:
    told = propose_in_show(duo(), "singer, phantom on", "desk mic over 12 m with gain at half")
    assert [each.words for each in told.conditions] == ["phantom on", "gain at half", "12 m"]
    assert not told.not_used
    edits = told.proposals[0].attempt.edits
    assert Set("desk.phantom", "on") in edits
    gains = [each for each in edits if isinstance(each, Set) and each.address == "desk.ch3.gain"]
    assert len(gains) == 1  # as it was said, whatever the plan would have
    (plug,) = (each for each in edits if isinstance(each, Plug))
    assert plug.link.via[-1].length_m == 12.0


def test_a_level_and_a_box_that_were_said_are_taken() -> None:
    told = propose_in_show(duo(), "keyboard at +4 dBu through passive di", None)
    assert [each.kind for each in told.conditions] == ["level", "through"]
    best = told.proposals[0]
    added = [edit.item for edit in best.attempt.edits if isinstance(edit, AddItem)]
    assert [each.type for each in added] == ["keyboard-stereo", "di-passive"]
    assert added[0].figures == {"generator.level": "+4.00 dBu"}
    assert not best.lacks  # a keyboard comes along with who plays it


def test_phantom_said_off_stays_off_for_a_condenser() -> None:
    told = propose_in_show(duo(), "small condenser microphone without phantom", "desk mic")
    assert not told.proposals
    assert "48 V" in (told.why_not or "") or "phantom" in (told.why_not or "")


def test_a_length_said_of_a_lead_that_is_plugged_takes_its_place() -> None:
    told = propose_in_show(duo(), "vox-mia.out", "desk.ch1.mic over 80 m")
    (plug,) = (each for each in told.proposals[0].attempt.edits if isinstance(each, Plug))
    assert plug.link.via[-1].length_m == 80.0


def test_an_input_with_a_gain_goes_before_one_without() -> None:
    """A microphone may go into a tape input that is free; it belongs into a microphone input."""
    trial = tried_text("items: {desk: {type: mixer-compact-8}}\n")
    found = propose(trial, "flute").proposals
    assert found[0].inputs[0].address.endswith(".mic")
