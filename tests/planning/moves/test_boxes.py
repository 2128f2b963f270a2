"""What mends a connection: another lead, another box, a box in between; each of them solved."""

from __future__ import annotations

from levelhead.planning.moves.boxes import boxes_and_leads
from levelhead.planning.remedy.remedies import remedies_for
from levelhead.planning.settle import settled
from levelhead.planning.trial import Trial
from levelhead.show.edits import AddItem, Plug, Retype, Set
from levelhead.verdicts.loading.levels import LEVEL, TONE
from levelhead.verdicts.told.finding import Finding, Remedy
from levelhead.verdicts.told.severity import Severity
from levelhead.verdicts.wiring.cancelling import CANCELS, OPPOSITE
from tests.verdicts.shows import tried_text

BASS = """
    items: {b: {type: bass-passive}, d: {type: mixer-compact}}
    links: [{from: b.out, to: d.ch1.mic, via: [lead-jack-xlr 6 m]}]
    """


def offered(text: str, code: str) -> tuple[Trial, Finding, tuple[Remedy, ...]]:
    """Remedies for the worst finding of a code, free gains at their place."""
    trial = settled(tried_text(text), frozenset())
    finding = next(each for each in trial.judgement.findings if each.code == code)
    return trial, finding, remedies_for(trial, finding)


def boxes_of(remedies: tuple[Remedy, ...]) -> list[str]:
    return [edit.item.type for each in remedies for edit in each.edits if isinstance(edit, AddItem)]


def test_a_coil_on_a_mic_input_gets_a_di_box() -> None:
    """Each was done on a copy: the tone is back and nobody fell silent."""
    trial, finding, remedies = offered(BASS, TONE)
    assert "di-passive" in boxes_of(remedies)
    for remedy in remedies:
        after = trial.after(remedy.edits)
        assert after is not None
        assert finding.key not in {each.key for each in after.judgement.worse_than_fine()}


def test_what_is_in_stock_comes_first() -> None:
    _, _, remedies = offered(BASS + "stock: {di-active: 1}\n    ", TONE)
    assert boxes_of(remedies)[0] == "di-active"


def test_a_box_that_loads_too_much_is_exchanged() -> None:
    """The active one in the place of the passive one, with its phantom power and a lower gain."""
    _, _, remedies = offered(
        """
        items: {g: {type: guitar-electric-passive}, x: {type: di-passive}, d: {type: mixer-compact}}
        links:
          - {from: g.out, to: x.in, via: [cable-jack 5 m]}
          - {from: x.out, to: d.ch1.mic, via: [cable-xlr 20 m]}
        """,
        TONE,
    )
    first = remedies[0].edits
    assert isinstance(first[0], Retype)
    assert first[0].type == "di-active"
    assert {edit.address for edit in first if isinstance(edit, Set)} >= {"d.phantom"}
    assert remedies[0].verdict_after is Severity.FINE


def test_stereo_in_a_balanced_input_gets_the_lead_that_sums_it() -> None:
    _, _, remedies = offered(
        """
        items: {l: {type: laptop}, b: {type: loudspeaker-powered-12}}
        links: [{from: l.phones, to: b.in, via: [lead-mini-jack-balanced 3 m]}]
        """,
        CANCELS,
    )
    leads = [edit.link.via[0].type for edit in remedies[0].edits if isinstance(edit, Plug)]
    assert leads == ["lead-mini-sum-jack"]


def test_stereo_is_offered_a_pair_of_sockets() -> None:
    trial, finding, _ = offered(
        """
        items: {l: {type: laptop}, d: {type: mixer-analogue-16}}
        links: [{from: l.phones, to: d.ch1.mic, via: [lead-mini-xlr 3 m]}]
        """,
        CANCELS,
    )
    fans = [
        each
        for each in boxes_and_leads(trial, finding)
        if any(isinstance(edit, Plug) and "left" in edit.link.ends for edit in each.edits)
    ]
    assert fans
    after = trial.after(fans[0].edits)
    assert after is not None
    assert finding.key not in {each.key for each in after.judgement.worse_than_fine()}


def test_no_summing_lead_hides_a_load() -> None:
    """Resistors in the plug would take the load off the output, and lose the same level."""
    _, _, remedies = offered(
        """
        items: {k: {type: keyboard-stereo}, d: {type: mixer-analogue-16}}
        links: [{from: k.out-left, to: d.ch1.mic, via: [lead-jack-xlr 5 m]}]
        """,
        LEVEL,
    )
    plugs = [edit for each in remedies for edit in each.edits if isinstance(edit, Plug)]
    leads = [edit.link.via[0].type for edit in plugs]
    assert leads
    assert not [lead for lead in leads if "sum" in lead]


def test_polarity_is_mended_by_the_lead_and_by_no_knob() -> None:
    _, _, remedies = offered(
        """
        items:
          m: {type: mic-vocal-dynamic}
          d: {type: mixer-compact}
          l: {type: loudspeaker-powered-12}
          r: {type: loudspeaker-powered-12}
        sources: {v: {type: voice-singer, at: m}}
        links:
          - {from: m.out, to: d.ch1.mic, via: [cable-xlr 5 m]}
          - {from: d.main-left.out, to: l.in, via: [cable-xlr 20 m]}
          - {from: d.main-right.out, to: r.in, via: [cable-xlr-reversed 20 m]}
        """,
        OPPOSITE,
    )
    assert remedies
    for remedy in remedies:
        assert any(isinstance(edit, Plug) for edit in remedy.edits), remedy.do
