"""Loudspeakers off an output that sees too many: each move is solved before it is offered."""

from __future__ import annotations

from levelhead.planning.remedy.remedies import remedies_for
from levelhead.verdicts.amplifiers.lines import CABLE
from levelhead.verdicts.amplifiers.loads import LOAD
from levelhead.verdicts.amplifiers.ratings import EXCURSION
from levelhead.verdicts.amplifiers.system import PAIR
from levelhead.verdicts.harm.needed_loads import NO_LOAD
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


def test_all_cables_of_a_chain_are_changed_for_the_thinnest_that_does() -> None:
    """60 m and 10 m of 0.75 mm2 into two boxes: 6 mm2 is the first with less than 1 dB."""
    text = """
        items:
          amp: {type: amplifier-two-channel}
          one: {type: loudspeaker-passive-12}
          two: {type: loudspeaker-passive-12}
        links:
          - {from: amp.ch1.out, to: one.in, via: [cable-loudspeaker-0-75 60 m]}
          - {from: one.link, to: two.in, via: [cable-loudspeaker-0-75 10 m]}
        """
    first, *_ = remedies(text, CABLE)
    assert "with cable-loudspeaker-6 60 m; " in first
    assert "with cable-loudspeaker-6 10 m" in first
    assert first.endswith("fine")


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


FULL = """
    items:
      feed: {type: feed-line}
      amp: {type: amplifier-two-channel}
      a: {type: wedge-passive}
      b: {type: wedge-passive}
      c: {type: wedge-passive, label: Third wedge}
      d: {type: wedge-passive}
    links:
      - {from: feed.out, to: amp.ch1.in, via: [cable-xlr 3 m]}
      - {from: amp.ch1.link, to: amp.ch2.in, via: [cable-xlr 1 m]}
      - {from: amp.ch1.out, to: a.in, via: [cable-loudspeaker 10 m]}
      - {from: a.link, to: b.in, via: [cable-loudspeaker 5 m]}
      - {from: b.link, to: c.in, via: [cable-loudspeaker 5 m]}
      - {from: amp.ch2.out, to: d.in, via: [cable-loudspeaker 10 m]}
    settings: {amp: {ch1: {level: -12 dB}, ch2: {level: -12 dB}}}
    """


def test_where_no_output_is_free_the_last_of_the_chain_is_taken_off_and_told_as_silent() -> None:
    """Three of 8 ohm are 2.7 ohm, two are 4 ohm, which the amplifier bears (Ohm's law)."""
    assert remedies(FULL, LOAD) == [
        "Unplug b.link from Third wedge (c.in) (Third wedge stays silent): fine"
    ]


def test_of_five_as_many_fall_silent_as_it_takes_and_no_more() -> None:
    """Five of 8 ohm are 1.6 ohm, four 2 ohm, three 2.7 ohm: three have to go."""
    two_more = "      e: {type: wedge-passive}\n      f: {type: wedge-passive}\n    links:\n"
    their_leads = "      - {from: c.link, to: e.in}\n      - {from: e.link, to: f.in}\n"
    five = FULL.replace("    links:\n", two_more + their_leads)
    (first,) = remedies(five, LOAD)
    assert first.startswith("Unplug b.link from Third wedge (c.in)")


def test_a_stranger_on_a_100_v_line_is_taken_off() -> None:
    """8 ohm across a line that is made for 83 ohm (100 V squared over 120 W)."""
    text = """
        items:
          feed: {type: feed-line}
          amp: {type: amplifier-line-100v}
          hall: {type: loudspeaker-ceiling-100v}
          porch: {type: loudspeaker-passive-8}
        links:
          - {from: feed.out, to: amp.in, via: [lead-xlr-jack-balanced 3 m]}
          - {from: amp.out-100v, to: hall.in, via: [cable-loudspeaker-bare 30 m]}
          - {from: hall.link, to: porch.in, via: [lead-loudspeaker-bare 15 m]}
        settings: {amp: {level: -6 dB}}
        """
    *_, last = remedies(text, LOAD)
    assert last.startswith("Unplug hall.link from porch.in (porch stays silent)")


def test_a_valve_head_without_its_loudspeaker_is_given_one_at_the_tap_for_it() -> None:
    text = """
        items:
          guitar: {type: guitar-electric-passive}
          head: {type: guitar-head-valve}
        links: [{from: guitar.out, to: head.in, via: [cable-jack 5 m]}]
        stock: {guitar-cabinet: 1, cable-loudspeaker-jack 3 m: 1}
        """
    first, *_ = remedies(text, NO_LOAD)
    assert first.startswith(
        "Take Guitar cabinet, 12 inch, 8 ohm, jack as guitar-cabinet-1; "
        "Plug head.out into guitar-cabinet-1.in with cable-loudspeaker-jack 3 m (in stock)"
    )


def test_of_two_faults_at_one_output_each_is_mended_and_the_other_told_to_stay() -> None:
    text = """
        items:
          guitar: {type: guitar-electric-passive}
          head: {type: guitar-head-valve}
          box: {type: di-active}
        links:
          - {from: guitar.out, to: head.in, via: [cable-jack 5 m]}
          - {from: head.out-16ohm, to: box.in, via: [cable-jack 2 m]}
        """
    assert all(each.find("what else was found there stays") > 0 for each in remedies(text, NO_LOAD))
    assert remedies(text, "harm.level")[0].startswith("Set box.pad to 20-db (what else")


def test_taps_of_all_loudspeakers_on_a_line_go_down_together() -> None:
    """Three horns of 30 W and a box of 60 W on one stage of 120 W: all horns to 15 W."""
    text = """
        items:
          amp: {type: amplifier-line-100v}
          one: {type: loudspeaker-horn-100v}
          two: {type: loudspeaker-horn-100v}
          three: {type: loudspeaker-horn-100v}
          box: {type: loudspeaker-passive-8}
        links:
          - {from: amp.out-100v, to: one.in, via: [cable-loudspeaker-bare 5 m]}
          - {from: one.link, to: two.in, via: [cable-loudspeaker-bare 5 m]}
          - {from: two.link, to: three.in, via: [cable-loudspeaker-bare 5 m]}
          - {from: amp.out-4ohm, to: box.in, via: [lead-loudspeaker-bare 2 m]}
        settings: {one: {tap: 30-w}, two: {tap: 30-w}, three: {tap: 30-w}}
        """
    first, *_ = remedies(text, LOAD)
    assert first.startswith("Set one.tap to 15-w (it was 30-w); Set two.tap to 15-w")
    assert first.endswith("fine")
