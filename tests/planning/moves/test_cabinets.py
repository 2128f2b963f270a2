"""Loudspeakers off an output that sees too many: each move is solved before it is offered."""

from __future__ import annotations

from levelhead.planning.remedy.remedies import remedies_for
from levelhead.verdicts.amplifiers.lines import CABLE
from levelhead.verdicts.amplifiers.loads import LOAD
from levelhead.verdicts.amplifiers.ratings import EXCURSION
from levelhead.verdicts.amplifiers.system import PAIR
from tests.verdicts.shows import tried_text

WEDGES = """
    items:
      feed: {type: feed-line}
      amp: {type: amplifier-two-channel}
      a: {type: wedge-passive}
      b: {type: wedge-passive}
      c: {type: wedge-passive}
    links:
      - {from: feed.out, to: amp.ch1.in, via: [cable-xlr 3 m]}
      - {from: amp.ch1.out, to: a.in, via: [cable-loudspeaker 10 m]}
      - {from: a.link, to: b.in, via: [cable-loudspeaker 5 m]}
      - {from: b.link, to: c.in, via: [cable-loudspeaker 5 m]}
    settings: {amp: {ch1: {level: -12 dB}, ch2: {level: -12 dB}}}
    """


def remedies(text: str, code: str) -> list[str]:
    trial = tried_text(text)
    finding = next(each for each in trial.judgement.findings if each.code == code)
    return [f"{each.do}: {each.verdict_after}" for each in remedies_for(trial, finding)]


def test_the_third_wedge_goes_to_the_other_channel_which_is_fed_on_the_way() -> None:
    """Silent it would not be a remedy: the link of input 1 feeds input 2."""
    first, *_ = remedies(WEDGES, LOAD)
    assert first.startswith("Plug amp.ch2.out into c.in")
    assert "amp.ch1.link into amp.ch2.in" in first
    assert first.endswith("fine")


def test_a_loudspeaker_that_falls_silent_is_no_remedy() -> None:
    """Channel 2 is fed by nothing; the high-passed output of the subwoofer is the way."""
    text = """
        items:
          feed: {type: feed-line}
          sub: {type: subwoofer-powered}
          amp: {type: amplifier-two-channel, figures: {ch.power.ceiling: 40 V}}
          top: {type: loudspeaker-passive-8}
        links:
          - {from: feed.out, to: sub.in-left, via: [cable-xlr 20 m]}
          - {from: sub.link-left, to: amp.ch1.in, via: [cable-xlr 3 m]}
          - {from: amp.ch1.out, to: top.in, via: [cable-loudspeaker 5 m]}
        settings: {amp: {ch1: {level: -12 dB}}}
        """
    found = remedies(text, EXCURSION)
    assert found
    assert all(each.startswith("Plug sub.out-left into amp.ch1.in") for each in found)


def test_thicker_copper_of_the_book_is_offered() -> None:
    text = """
        items:
          amp: {type: amplifier-two-channel}
          box: {type: loudspeaker-passive-12, figures: {in.impedance: 4 ohm}}
        links: [{from: amp.ch1.out, to: box.in, via: [cable-loudspeaker-1-5 50 m]}]
        """
    assert any("cable-loudspeaker-6 50 m" in each for each in remedies(text, CABLE))


def test_the_louder_one_of_a_pair_is_turned_down_to_the_other() -> None:
    text = """
        items:
          feed: {type: feed-line}
          desk: {type: mixer-compact}
          l: {type: loudspeaker-powered-12}
          r: {type: loudspeaker-powered-12}
        links:
          - {from: feed.out, to: desk.ch1.line}
          - {from: desk.main-left.out, to: l.in}
          - {from: desk.main-right.out, to: r.in}
        settings: {r: {level: -10 dB}, desk: {ch1: {fader: -20 dB}}}
        """
    first, *_ = remedies(text, PAIR)
    assert first.startswith("Set l.level to -10 dB")
