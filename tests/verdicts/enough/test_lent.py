"""What stands behind a weak input lends it: masters and loudspeakers, as far as noise allows.

The stereo line input of the small mixer has no gain: -22 dBu want 26 dB. Its fader has 10 dB, the
masters 10 dB, the loudspeaker what its level is below full.
"""

from __future__ import annotations

import pytest

from levelhead.verdicts.told.finding import Finding
from levelhead.verdicts.told.severity import Severity
from tests.verdicts.shows import worst_of


def into_the_stereo_input(level_dbu: float, pa: str = "-8 dB", **figures: str) -> Finding:
    more = "".join(f", {name.replace('_', '.')}: {text}" for name, text in figures.items())
    finding = worst_of(
        f"""
        items:
          feed:
            type: feed-line
            figures: {{out.impedance: 1 ohm, generator.level: {level_dbu} dBu}}
          desk: {{type: mixer-compact, figures: {{st.input.gain: 0 dB{more}}}}}
          pa: {{type: loudspeaker-powered-12}}
        links:
          - {{from: feed.out, to: desk.st1.in-left, via: [lead-xlr-jack-balanced 2 m]}}
          - {{from: desk.main-left.out, to: pa.in, via: [cable-xlr 5 m]}}
        settings: {{pa: {{level: {pa}}}}}
        """,
        "enough.too-low",
    )
    assert finding is not None
    return finding


@pytest.mark.parametrize(
    ("pa", "severity"),
    [("-8 dB", Severity.CARE), ("-6.2 dB", Severity.CARE), ("-5.8 dB", Severity.FAILS)],
)
def test_the_loudspeaker_behind_makes_up_what_is_missing(pa: str, severity: Severity) -> None:
    """26 dB less 10 dB of fader and 10 dB of masters: 6 dB are left for the loudspeaker."""
    assert into_the_stereo_input(-22.0, pa).severity is severity


def test_the_sentence_names_what_goes_up() -> None:
    told = into_the_stereo_input(-22.0).what
    assert "which the fader, the level of pa and the main fader of desk make up" in told
    assert "what else plays there goes down by as much" in told


def test_where_the_mix_is_noisy_nothing_is_lent() -> None:
    """-22 dBu with the fader up are -12 dBu in a mix of -70 dBu: 58 dB, and 60 dB are clean."""
    finding = into_the_stereo_input(-22.0, main_sum_noise="-70 dBu")
    assert finding.severity is Severity.FAILS
    assert finding.margin == pytest.approx(10 + 6 - 26, abs=0.05)


def test_noise_that_comes_with_the_source_forbids_nothing() -> None:
    """At a meter that shows 50 dB over noise already, hardly more comes from behind."""
    finding = into_the_stereo_input(-22.0, st_input_noise="-72 dBu")
    assert finding.severity is Severity.CARE
