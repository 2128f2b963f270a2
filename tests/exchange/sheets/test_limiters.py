"""The limiter sheet: what stands on it is what the rig makes of it."""

from __future__ import annotations

import pytest

from levelhead.exchange.paperwork.work import Paperwork
from levelhead.exchange.sheet.plan import filled
from levelhead.exchange.sheets.limiters import LIMITERS
from levelhead.exchange.sheets.pack import USUAL
from levelhead.planning.limiters.thresholds import limiter_settings
from tests.paper.shows import checked

SHOWS = ("outdoor-stage.yaml", "marquee-wedding.yaml", "church-band.yaml", "panel-line.yaml")


def figure(text: str) -> float:
    return float(text.replace("−", "-"))


@pytest.mark.parametrize("name", SHOWS)
def test_every_setting_has_its_row(name: str) -> None:
    check = checked(name)
    work = Paperwork(check)
    sheet = filled(LIMITERS, work)
    found = limiter_settings(work.planned.check.trial.judgement.reading)
    assert len(sheet.rows) == len(found)
    for row, each in zip(sheet.rows, found, strict=True):
        if each.peak.dbu is not None:
            assert figure(row["peak"]) == pytest.approx(each.peak.dbu, abs=0.051)
        assert figure(row["peak_v"]) == pytest.approx(each.peak.volts, abs=0.051)
        assert (row["rms"] == "–") == (each.rms is None or each.rms.dbu is None)
        assert float(row["attack"]) == pytest.approx(each.rms_times.attack_s * 1e3)


def test_it_warns_of_volts_and_of_ears() -> None:
    sheet = filled(LIMITERS, Paperwork(checked("outdoor-stage.yaml")))
    assert any("shock" in each for each in sheet.cautions)
    assert any("Hearing" in each for each in sheet.cautions)
    assert any("set it anew" in each for each in sheet.cautions)


def test_a_rig_without_loudspeakers_has_nothing_to_list() -> None:
    sheet = filled(LIMITERS, Paperwork(checked("quiet-disco.yaml")))
    assert not sheet.rows
    assert not sheet.cautions


def test_it_is_printed_when_it_is_named() -> None:
    assert LIMITERS.is_on_request
    assert LIMITERS.name not in USUAL
