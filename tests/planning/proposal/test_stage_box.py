"""A stage box before a digital desk: its free channels are inputs once the desk hears them."""

from __future__ import annotations

from levelhead.planning.proposal.propose import propose_in_show
from levelhead.planning.remedy.remedies import remedies_for
from levelhead.show.edits import Set
from levelhead.verdicts.routing.heard import UNHEARD
from tests.verdicts.shows import tried_text

STAGE = """
    items:
      vox: {type: mic-vocal-dynamic}
      box: {type: stagebox-digital-16}
      desk: {type: mixer-digital-32}
      pa: {type: loudspeaker-powered-12}
    sources: {ann: {type: voice-singer, at: vox}}
    links:
      - {from: vox.out, to: box.ch1.mic, via: [cable-xlr 10 m]}
      - {from: box.net, to: desk.net, via: [cable-network 60 m]}
      - {from: desk.main-left.out, to: pa.in}
    settings:
      box: {ch1: {gain: 38 dB}}
      desk: {clock: internal, main: -10 dB, ch3: {fader: -20 dB}, ch1: {source: network}}
      pa: {level: -12 dB}
    """


def test_one_more_goes_into_the_stage_box_and_its_channel_is_switched_to_the_network() -> None:
    """Nothing was free, with fifteen channels there; it said to leave the singer out."""
    found = propose_in_show(tried_text(STAGE), "trumpet", None)
    first = found.proposals[0]
    assert [port.address for port in first.inputs] == ["box.ch2.mic"]
    assert Set("desk.ch2.source", "network") in first.attempt.edits


def test_a_channel_that_hears_the_network_is_not_told_as_a_free_input() -> None:
    found = propose_in_show(tried_text(STAGE), "trumpet", None)
    into = {port.address for each in found.proposals for port in each.inputs}
    assert "desk.ch1.mic" not in into
    assert "desk.ch2.mic" in into


def test_a_singer_at_the_stage_box_whom_the_desk_does_not_listen_to_is_switched_over() -> None:
    text = (
        STAGE.replace("ch1: {source: network}", "ch1: {fader: -20 dB}")
        .replace("links:", "links:\n      - {from: feed.out, to: desk.ch3.line}")
        .replace("items:", "items:\n      feed: {type: feed-line}")
    )
    trial = tried_text(text)
    finding = next(each for each in trial.judgement.findings if each.code == UNHEARD)
    assert finding.where == "desk.net.1"
    assert [each.do for each in remedies_for(trial, finding)] == ["Set desk.ch1.source to network"]


def test_a_channel_with_a_plug_of_its_own_is_left_to_it() -> None:
    """Who plays there would fall silent."""
    text = (
        STAGE.replace("ch1: {source: network}", "ch1: {fader: -20 dB}")
        .replace("links:", "links:\n      - {from: feed.out, to: desk.ch1.line}")
        .replace("items:", "items:\n      feed: {type: feed-line}")
    )
    trial = tried_text(text)
    finding = next(each for each in trial.judgement.findings if each.code == UNHEARD)
    assert remedies_for(trial, finding) == ()
