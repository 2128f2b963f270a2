"""What is turned up where nothing comes: what alone does, and nothing that is shut on purpose."""

from __future__ import annotations

from levelhead.planning.moves.ways_opened import ways_opened
from levelhead.planning.trial import Trial
from levelhead.show.edits import Edit, Set
from levelhead.verdicts.enough.gain import SET_TOO_LOW
from levelhead.verdicts.routing.silent import NO_SIGNAL
from tests.verdicts.shows import tried_text

PIT = """
    items:
      {mics}
      keys: {{type: stage-piano}}
      desk: {{type: mixer-compact-8}}
      pa: {{type: loudspeaker-powered-12}}
      wedge: {{type: wedge-powered}}
    links:
      {leads}
      - {{from: keys.out-left, to: desk.ch8.line}}
      - {{from: desk.main-left.out, to: pa.in}}
      - {{from: desk.aux1.out, to: wedge.in}}
    sources: {{{sources}}}
    settings: {{desk: {{ch1: {{fader: off, gain: 40 dB}}, ch8: {{gain: {gain}}}}}}}
    """


def pit(mics: int, gain: str = "20 dB") -> Trial:
    """Microphones, the first with its fader shut, a piano, and a wedge with all sends at off."""
    each = range(1, mics + 1)
    return tried_text(
        PIT.format(
            mics="\n      ".join(f"m{n}: {{type: mic-vocal-dynamic}}" for n in each),
            leads="\n      ".join(f"- {{from: m{n}.out, to: desk.ch{n}.mic}}" for n in each),
            sources=", ".join(f"s{n}: {{type: voice-singer, at: m{n}}}" for n in each),
            gain=gain,
        )
    )


def offered(trial: Trial) -> list[tuple[Edit, ...]]:
    finding = next(each for each in trial.judgement.findings if each.code == NO_SIGNAL)
    return list(ways_opened(trial, finding))


def test_few_sends_are_turned_up_together_and_no_fader() -> None:
    """Two strips play; the third is shut, and its send would bring nothing."""
    assert {each.address for each in offered(pit(2))[0] if isinstance(each, Set)} == {
        "desk.ch2.send1",
        "desk.ch8.send1",
    }


def test_of_many_sends_each_of_the_loudest_is_offered_alone() -> None:
    """The piano is the loudest, and is brought down to what a wedge takes."""
    found = offered(pit(6, gain="40 dB"))
    assert [len(each) for each in found] == [1, 1, 1, 1]
    first = found[0][0]
    assert isinstance(first, Set)
    assert first.address == "desk.ch8.send1"
    assert first.value is not None
    assert -40 < float(first.value.removesuffix(" dB")) < 0


def test_a_loop_driver_at_off_is_turned_up_and_told_once() -> None:
    """Its level alone does; sends of others at off are left alone."""
    trial = tried_text(
        """
        items:
          a: {type: mic-vocal-dynamic}
          b: {type: mic-vocal-dynamic}
          desk: {type: mixer-digital-16}
          pa: {type: loudspeaker-powered-12}
          loop: {type: loop-driver}
        sources: {s: {type: voice-talker, at: a}, t: {type: voice-talker, at: b}}
        links:
          - {from: a.out, to: desk.ch1.mic}
          - {from: b.out, to: desk.ch2.mic}
          - {from: desk.main-left.out, to: pa.in}
          - {from: desk.aux1.out, to: loop.in}
        settings: {desk: {ch1: {gain: 40 dB, send1: 0 dB}, ch2: {gain: 40 dB}}, loop: {level: off}}
        """
    )
    assert offered(trial)[0] == (Set("loop.level", "0 dB"),)
    worse = [each for each in trial.judgement.worse_than_fine() if "loop" in each.where]
    assert SET_TOO_LOW not in {each.code for each in worse}
