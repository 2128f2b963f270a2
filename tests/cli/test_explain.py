"""``check --explain CODE`` and ``check --only FAMILY``."""

from __future__ import annotations

import pytest

from levelhead.verdicts.explain import explained
from tests.cli.conftest import Levelhead


@pytest.mark.parametrize("code", list(explained()))
def test_every_code_is_explained_in_80_columns(levelhead: Levelhead, code: str) -> None:
    ran = levelhead("check", "--explain", code)
    assert (ran.status, ran.err) == (0, "")
    assert ran.out.startswith(f"{code}: ")
    assert max(len(line) for line in ran.out.splitlines()) <= 80


def test_an_explanation_as_json_has_the_thresholds(levelhead: Levelhead) -> None:
    found = levelhead("check", "--explain", "loading.tone", "--json").json
    assert found["family"] == "loading"
    assert {each["unit"] for each in found["thresholds"]} == {"dB"}


def test_a_code_that_is_not_there_names_the_nearest(levelhead: Levelhead) -> None:
    ran = levelhead("check", "--explain", "loading.ton")
    assert ran.status == 2
    assert "no finding has the code 'loading.ton'" in ran.err
    assert "Did you mean 'loading.tone'" in ran.err


def test_one_family_judges_alone(levelhead: Levelhead, village_hall: str) -> None:
    whole = levelhead("check", village_hall, "--json")
    ran = levelhead("check", village_hall, "--only", "phantom", "--json")
    assert whole.json["verdict"] == "harm"
    assert (ran.json["verdict"], ran.status) == ("fails", 1)
    assert {each["family"] for each in ran.json["findings"]} == {"phantom"}
    text = levelhead("check", village_hall, "--only", "phantom").out
    assert "judged by one family only: Phantom power and bias" in text


def test_a_family_that_is_not_there_is_refused(levelhead: Levelhead, village_hall: str) -> None:
    ran = levelhead("check", village_hall, "--only", "wirring")
    assert ran.status == 2
    assert "no rule belongs to the family 'wirring'" in ran.err
    assert "Did you mean 'wiring'?" in ran.err


def test_nothing_to_check_is_told(levelhead: Levelhead) -> None:
    ran = levelhead("check")
    assert ran.status == 2
    assert "SHOW is missing; only --explain CODE needs none" in ran.err
