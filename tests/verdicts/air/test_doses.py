"""Doses: the four rules beside each other, and what is care or harm."""

from __future__ import annotations

import pytest

from levelhead.acoustics.listening.exposure import NIOSH, WHO_VENUES_DB
from levelhead.quantity.exposure import allowed_h
from levelhead.verdicts.air.limits import EXPOSURE_HARM_DB, LIMIT_OF_STAFF_DB
from levelhead.verdicts.air.words import EXPOSURE
from levelhead.verdicts.told.finding import Finding, Severity
from tests.verdicts.air.halls import CARE, FINE, HARM, judged, show_text

SEAT = "{lawn: {label: Lawn, at: [0, 1.5, 1.8], stay: 2 h}}"
OUTDOORS = "{where: outdoors}"


def doses(level_db: float, vox: str = "note: nowhere", more: str = "") -> dict[str, Finding]:
    """Findings on doses by place, of a show outdoors."""
    text = show_text(
        room=OUTDOORS, areas=SEAT, level_db=level_db, talker="voice-singer", vox=vox, more=more
    )
    return {each.where: each for each in judged(text).findings if each.code == EXPOSURE}


def level(finding: Finding) -> float:
    return float(finding.why[0].value or 0)


@pytest.fixture(scope="module")
def now_db() -> float:
    """At the seat, the box 20 dB down."""
    return level(doses(-20.0)["areas.lawn.dose"])


@pytest.mark.reference("NIOSH 98-126, Table 1-1; 29 CFR 1910.95; Directive 2003/10/EC")
def test_doses_are_those_of_the_rules(now_db: float) -> None:
    """Two hours at the level of the seat, by each rule's own formula."""
    found = doses(-20.0)["areas.lawn.dose"]
    by_name = {each.name: float(each.value or 0) for each in found.why}
    assert by_name["dose by NIOSH"] == pytest.approx(100 * 2 / allowed_h(now_db), rel=0.01)
    osha_h = 8 / 2 ** ((now_db - 90) / 5)
    assert by_name["dose by OSHA"] == pytest.approx(100 * 2 / osha_h, rel=0.01)
    assert by_name["LEX,8h"] == pytest.approx(now_db - 6.02, abs=0.01)  # 2 h of 8
    assert "Which applies is local law" in found.what


@pytest.mark.parametrize(
    ("at_db", "severity"),
    [
        (WHO_VENUES_DB - 0.3, FINE),
        (WHO_VENUES_DB + 0.3, CARE),
    ],
)
def test_an_audience_is_held_against_the_guidance_for_venues(
    now_db: float, at_db: float, severity: Severity
) -> None:
    """100 dB(A) over 15 minutes, on both sides."""
    found = doses(-20.0 + at_db - now_db)["areas.lawn.dose"]
    assert level(found) == pytest.approx(at_db, abs=0.05)
    assert found.severity is severity
    assert (found.caution is None) == (severity is FINE)


def test_who_works_is_held_against_the_limit_of_the_directive() -> None:
    """At the desk LEX,8h decides, long before 100 dB(A)."""
    at_desk = "  small: {type: mixer-compact, label: Side desk, at: [0, 1.5, 1.4]}"
    now_db = level(doses(-20.0, more=at_desk)["small"])
    allowed_db = LIMIT_OF_STAFF_DB + 6.02  # two hours
    for side_db, severity in ((-0.3, FINE), (0.3, CARE)):
        found = doses(-20.0 + allowed_db - now_db + side_db, more=at_desk)
        assert found["small"].severity is severity
        assert found["areas.lawn.dose"].severity is FINE


@pytest.mark.parametrize(("side_db", "severity"), [(-0.3, CARE), (0.3, HARM)])
def test_a_days_dose_in_a_minute_and_a_half_is_harm(side_db: float, severity: Severity) -> None:
    """110 dB(A), on both sides, a metre before the box."""
    assert float(NIOSH.allowed_s(EXPOSURE_HARM_DB)) == pytest.approx(89, abs=1)

    def front(level_db: float) -> Finding:
        text = show_text(
            room=OUTDOORS,
            areas="{front: {at: [0, 0.5, 2.45], stay: 1 h}}",
            level_db=level_db,
            gain_db=52.0,
            talker="voice-singer",
            vox="note: nowhere",
        )
        return next(each for each in judged(text).findings if each.code == EXPOSURE)

    wanted_db = -20.0 + EXPOSURE_HARM_DB + side_db - level(front(-20.0))
    assert wanted_db <= 0
    assert front(wanted_db).severity is severity
