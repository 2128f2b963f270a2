"""Connection cases as a second hand judged them, before there was a rule.

A case without a ``show`` waits for its rule; ``families.yaml`` says what for, so that none is
forgotten. Add a ``show:`` to a case and it runs here.
"""

from __future__ import annotations

from typing import Final

import pytest

from levelhead.planning.remedy.offers import with_remedies
from levelhead.show.edits import Set
from levelhead.verdicts.told.severity import Severity
from tests.arithmetic import reckoned
from tests.cases.running import (
    CASES,
    FAMILIES,
    RUN,
    differs,
    family_of,
    figure_of,
    findings_of,
    ran,
    severity_of,
)

RIGHT_SHARE: Final = 0.95  # of the severities, at least
HARM: Final = [name for name in RUN if CASES[name]["expect"]["severity"] == "harm"]
FRIGHTENING: Final = [name for name in RUN if CASES[name].get("frightening")]


def _expected(name: str) -> str:
    return str(CASES[name]["expect"]["severity"])


@pytest.mark.parametrize("name", RUN)
def test_the_family_says_what_the_second_hand_said(name: str) -> None:
    told = [f"{each.severity}: {each.what}" for each in findings_of(name)]
    if differs(name) is not None:
        assert severity_of(name) != _expected(name), "right now: take it off families.yaml"
        return
    assert severity_of(name) == _expected(name), "\n".join(told)


@pytest.mark.parametrize("name", [each for each in RUN if "figure" in CASES[each]["expect"]])
def test_the_figure_is_the_second_hands(name: str) -> None:
    """Worked out by hand in the case, within its own tolerance; or why nothing reads it."""
    figure, show = CASES[name]["expect"]["figure"], CASES[name]["show"]
    assert ("reads" in show) != ("no-figure" in show), "say what reads the figure, or why nothing"
    if "reads" in show:
        assert figure_of(name) == pytest.approx(figure["value"], abs=figure["tolerance"])


@pytest.mark.parametrize("name", FRIGHTENING)
def test_what_only_looks_alarming_brings_no_alarm_at_all(name: str) -> None:
    """Nothing of any family that would make somebody act."""
    assert [each.what for each in ran(name).judgement.worse_than_fine()] == []


@pytest.mark.parametrize("name", HARM)
def test_harm_is_not_talked_down(name: str) -> None:
    """No remedy turns a level or trim; a switch only where the harmed port stands more with it.

    The pad of a DI box is one; a lift that parts a terminal from earth is another.
    """
    trial = ran(name)
    for finding in with_remedies(trial, trial.judgement.worse_than_fine()):
        for remedy in finding.remedies:
            if finding.severity is Severity.HARM:
                turned = [each.address for each in remedy.edits if isinstance(each, Set)]
                kinds = {trial.solution.rig.controls[each].kind for each in turned}
                assert len(turned) < len(remedy.edits) or kinds == {"switch"}, remedy.do
            assert remedy.verdict_after is not Severity.HARM
    trial.let_go_all()


def test_nearly_every_severity_is_right() -> None:
    """Those that are known to differ count as wrong; a missed harm is never among them."""
    wrong = [name for name in RUN if severity_of(name) != _expected(name)]
    assert not set(wrong) & set(HARM)
    assert not set(wrong) & set(FRIGHTENING)
    assert len(RUN) - len(wrong) >= RIGHT_SHARE * len(RUN), wrong


def test_what_families_yaml_says_is_about_cases_as_they_are() -> None:
    """Each family is there; only cases that wait have a reason to wait."""
    assert {family_of(name) for name in CASES} == set(FAMILIES)
    for family, row in FAMILIES.items():
        assert row["codes"]
        assert row["waits"]
        for kind, is_run in (("cases", False), ("differs", True)):
            for name, reason in (row.get(kind) or {}).items():
                assert family_of(name) == family
                assert (name in RUN) is is_run, f"{name}: {reason}"


@pytest.mark.parametrize(
    "name", [each for each in CASES if "arithmetic" in CASES[each]["expect"].get("figure", {})]
)
def test_the_arithmetic_of_a_case_gives_its_figure(name: str) -> None:
    """The second hand's own reckoning, done again: within half a step of the print."""
    figure = CASES[name]["expect"]["figure"]
    value = reckoned(figure["arithmetic"])
    assert value == pytest.approx(figure["value"], rel=0.02, abs=0.06)
