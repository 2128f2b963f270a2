"""A lead that does not go in: another lead between the same sockets comes before other sockets."""

from __future__ import annotations

from levelhead.planning.remedy.remedies import remedies_for
from tests.verdicts.shows import tried_text

WEDGE = """
    items:
      vox: {type: mic-vocal-dynamic}
      desk: {type: mixer-compact-8}
      wedge: {type: wedge-powered}
    sources: {singer: {type: voice-singer, at: vox}}
    links:
      - {from: vox.out, to: desk.ch1.mic, via: [cable-xlr 10 m]}
      - {from: desk.aux1.out, to: wedge.in, via: [cable-xlr 10 m]}
    settings: {desk: {ch1: {gain: 38 dB, send1: -6 dB}}}
    """


def test_a_wedge_stays_on_its_send() -> None:
    """The headphones of the desk were offered first, by a lead that sums them."""
    trial = tried_text(WEDGE)
    finding = next(each for each in trial.judgement.findings if each.code == "fit.plug")
    first, second, *_ = (each.do for each in remedies_for(trial, finding))
    assert first == "Plug desk.aux1.out into wedge.in with cable-jack-balanced 10 m"
    assert second == "Plug desk.aux1.out into wedge.in with lead-jack-balanced-xlr 10 m"
