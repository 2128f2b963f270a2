"""A switch whose cure needs the knob beside it is one remedy, before any plug is moved."""

from __future__ import annotations

from levelhead.planning.remedy.remedies import remedies_for
from levelhead.planning.trial import Trial
from levelhead.show.edits import Plug, Set, apply
from levelhead.verdicts.told.finding import Remedy
from levelhead.verdicts.told.severity import Severity
from tests.verdicts.shows import tried_text


def computer(gain: str, *, locked: str = "") -> Trial:
    """A computer's headset output on an input with phantom power, at some gain."""
    return tried_text(f"""
        items: {{call: {{type: laptop-headset}}, desk: {{type: mixer-digital-16}}}}
        links:
          - {{from: call.headset, to: desk.ch1.mic, via: [lead-mini-sum-xlr 2 m]}}
        settings: {{desk: {{ch1: {{phantom: on, gain: {gain}, lock: [{locked}]}}}}}}
        """)


def offered(trial: Trial) -> tuple[Remedy, ...]:
    found = next(each for each in trial.judgement.findings if each.code == "phantom.back-fed")
    assert found.severity is Severity.HARM
    return remedies_for(trial, found)


def test_phantom_power_off_and_the_gain_down_come_before_another_socket() -> None:
    """Off alone leaves an input that clips; the plug in another strip is more trouble."""
    trial = computer("20 dB")
    first, *others = offered(trial)
    off, gain = first.edits
    assert off == Set("desk.ch1.phantom", "off")
    assert isinstance(gain, Set)
    assert gain.address == "desk.ch1.gain"
    assert first.verdict_after is Severity.FINE
    assert not any(isinstance(edit, Plug) for edit in first.edits)
    after = trial.after(first.edits)
    assert after is not None
    assert after.solution.levels("desk.ch1.converter").headroom is not None
    assert (after.solution.levels("desk.ch1.converter").headroom or 0.0) > 0
    half = trial.after((off,))
    assert half is not None
    assert (half.solution.levels("desk.ch1.preamp").headroom or 0.0) < 0
    assert all(each.edits != (off,) for each in others)


def test_where_the_switch_alone_makes_it_fine_no_knob_is_turned() -> None:
    first, *_ = offered(computer("6 dB"))
    assert first.edits == (Set("desk.ch1.phantom", "off"),)
    assert first.verdict_after is Severity.FINE


def test_a_locked_gain_stays_and_the_remedy_says_what_is_left() -> None:
    """Only the switch is left to move; what clips then is care."""
    trial = computer("20 dB", locked="gain")
    for each in offered(trial):
        assert "desk.ch1.gain" not in {getattr(edit, "address", "") for edit in each.edits}
        assert "desk.ch1.gain" in apply(trial.show, each.edits)[0].locks
    assert Severity.CARE in {
        each.verdict_after
        for each in offered(trial)
        if each.edits[0] == Set("desk.ch1.phantom", "off")
    }
