"""Findings, and the JSON that is frozen."""

from __future__ import annotations

from levelhead.gear.figures import Figure
from levelhead.show.edits import Set
from levelhead.verdicts.told.finding import Compared, Finding, Remedy, rounded
from levelhead.verdicts.told.limit_state import Doubt, LimitState
from levelhead.verdicts.told.severity import Severity

LEVEL = Figure(4.0, 2.0, 6.0, "dBu", "typical")


def finding(severity: Severity = Severity.CARE, margin: float = 1.0) -> Finding:
    doubts = (Doubt("level of keys", "chance", LEVEL, 1.0, of="keys"),)
    return Finding(
        code="enough.too-low",
        severity=severity,
        where="desk.ch1.line",
        what="Too little.",
        why=(Compared("gain needed", 21.583, 20.0, "dB"), Compared("nothing", None, None, "V")),
        source="a rule",
        basis="common practice",
        state=LimitState(margin, "dB", lambda: doubts),
        remedies=(Remedy("Turn it up", (Set("desk.ch1.gain", "30 dB"),), Severity.FINE),),
        ports=("desk.ch1.line",),
    )


def test_json_has_every_field_of_the_frozen_form() -> None:
    assert finding().to_json() == {
        "code": "enough.too-low",
        "family": "enough",
        "severity": "care",
        "where": "desk.ch1.line",
        "what": "Too little.",
        "why": [
            {"name": "gain needed", "value": 21.58, "limit": 20.0, "unit": "dB"},
            {"name": "nothing", "value": None, "limit": None, "unit": "V"},
        ],
        "margin": 1.0,
        "margin_unit": "dB",
        "p_holds": 0.841,  # one spread of 1 dB
        "flips": [
            {"input": "level of keys", "kind": "chance", "from": "+4.0 dBu", "to": "+3.0 dBu"}
        ],
        "settle_by": "Let keys give the loudest passage and read the first meter.",
        "remedies": [
            {
                "do": "Turn it up",
                "edits": [{"edit": "set", "address": "desk.ch1.gain", "value": "30 dB"}],
                "verdict_after": "fine",
            }
        ],
        "assumed": [],
        "caution": None,
        "source": "a rule",
        "basis": "common practice",
    }


def test_what_is_fine_need_not_be_settled() -> None:
    assert finding(Severity.FINE).settle_by is None


def test_without_a_margin_there_is_nothing_to_weigh() -> None:
    plain = Finding(
        code="fit.plug",
        severity=Severity.FAILS,
        where="a.in",
        what="It does not go in.",
        why=(),
        source="a rule",
        basis="common practice",
    )
    told = plain.to_json()
    assert (told["margin"], told["margin_unit"], told["flips"]) == (None, "", [])
    assert told["settle_by"] is None


def test_the_same_fact_in_two_solutions_has_the_same_key() -> None:
    assert finding(margin=1.0).key == finding(Severity.FAILS, margin=-3.0).key


def test_rounding_never_makes_minus_nothing() -> None:
    assert str(rounded(-0.001)) == "0.0"
    assert rounded(None) is None
