"""Digital volumes below full."""

from __future__ import annotations

import pytest

from levelhead.verdicts.enough.volume import QUIET_ENOUGH_DB, desk_end, digital_volumes
from levelhead.verdicts.told.severity import Severity
from tests.chain.bench import Items
from tests.verdicts.cases import case, found, the
from tests.verdicts.shows import tried_text

CODE = "enough.volume-down"
LINKS = [("p.out", "d.ch1.line")]
FULL_DB = 70.0  # signal over A-weighted noise with the volume full
# -18 dBFS of 1 V; white noise is 2.05 dB less when A-weighted (IEC 61672-1)
NOISE = f"{-18 - FULL_DB + 2.05} dBV"
ITEMS: Items = {"p": ("player", {"converter.noise": NOISE}), "d": "desk"}


@pytest.mark.parametrize(
    ("volume_db", "severity"),
    [(-5.0, Severity.FINE), (-9.9, Severity.FINE), (-10.2, Severity.CARE), (-30.0, Severity.CARE)],
)
def test_signal_over_noise_decides(volume_db: float, severity: Severity) -> None:
    finding = the(case(ITEMS, LINKS, settings={"p.volume": f"{volume_db} dB"}), CODE)
    assert finding.severity is severity
    assert finding.margin == pytest.approx(FULL_DB + volume_db - QUIET_ENOUGH_DB, abs=0.02)


def test_full_is_nothing_to_tell() -> None:
    assert found(case(ITEMS, LINKS), CODE) == []


def test_the_sentence_tells_what_it_costs() -> None:
    told = the(case(ITEMS, LINKS, settings={"p.volume": "-12 dB"}), CODE).what
    assert "The volume of p stands at -12 dB: 58.0 dB of signal over noise" in told
    assert "where 70.0 dB is to be had" in told


def test_a_locked_volume_is_left_alone() -> None:
    solution = case(ITEMS, LINKS, settings={"p.volume": "-30 dB"}, locks=["p.volume"])
    assert found(solution, CODE) == []


def test_an_analogue_fader_is_no_digital_volume() -> None:
    solution = case(ITEMS, LINKS, settings={"d.ch1.fader": "-30 dB"})
    assert found(solution, CODE) == []
    assert list(digital_volumes(solution)) == ["p.volume"]


def test_it_is_told_where_the_volts_end() -> None:
    items: Items = {**ITEMS, "w": "monitor"}
    solution = case(items, [*LINKS, ("d.main-left.out", "w.in")])
    end = desk_end(solution, digital_volumes(solution)["p.volume"])
    assert end is not None
    assert end.at == "w.in"


def test_a_way_that_never_becomes_volts_has_no_end() -> None:
    solution = case({"p": "player"}, [])
    assert desk_end(solution, ("p.volume",)) is None


@pytest.mark.parametrize("fader", ["0 dB", "-38 dB"])
def test_the_main_fader_of_a_digital_desk_is_no_volume_of_a_player(fader: str) -> None:
    """A player before the desk: only what the player itself turns down is told."""
    trial = tried_text(f"""
        items:
          p: {{type: laptop}}
          d: {{type: mixer-digital-16}}
          b: {{type: loudspeaker-powered-12}}
        links:
          - ends: {{a: p.phones, left: d.ch1.mic, right: d.ch2.mic}}
            via: [lead-mini-two-jacks 2 m]
          - {{from: d.main-left.out, to: b.in, via: [cable-xlr 20 m]}}
        settings: {{p: {{volume: -30 dB}}, d: {{main: {fader}}}}}
        """)
    told = [each.where for each in trial.judgement.findings if each.code == CODE]
    assert told == ["p.volume"]
    assert list(digital_volumes(trial.solution)) == ["p.volume"]
