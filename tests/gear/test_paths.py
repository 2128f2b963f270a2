"""Ports and paths of a plan: what leads where, in which unit."""

from __future__ import annotations

import pytest

from levelhead.errors import GearError
from levelhead.gear.book import GearBook
from levelhead.gear.compile.stages import linear_full_scale
from levelhead.gear.figures import Figure
from tests.gear.small_book import TYPES, path_of, plan, stage_of, value


def test_a_missing_figure_is_asked_for() -> None:
    port = {"socket": "xlr-m", "role": "out", "circuit": "symmetrical-output"}
    book = GearBook({"mic": {**TYPES["mic"], "ports": {"out": port}}})
    with pytest.raises(
        GearError, match=r"figure 'impedance' is missing; expected 'impedance' of a"
    ):
        book.plan("mic", {}, {})
    assert book.plan("mic", {}, {"out.impedance": "150 ohm"}).block("").plan.ports["out"]


@pytest.mark.parametrize(("key", "port"), [("from", "inn"), ("to", "outt")])
def test_a_path_leads_between_ports_that_are_there(key: str, port: str) -> None:
    path = {**TYPES["speaker"]["path"], key: port}
    book = GearBook({"speaker": {**TYPES["speaker"], "path": path}})
    with pytest.raises(GearError, match=rf"unknown port '{port}'"):
        book.plan("speaker", {}, {})


def test_origins_keep_their_order_and_their_gain() -> None:
    mic, line = path_of(plan("mixer"), "ch1").origins
    assert mic.port is not None
    assert line.port is not None
    assert (mic.port.port, mic.gain_db, mic.wins_when_plugged) == ("mic", None, False)
    assert (line.port.port, value(line.gain_db), line.wins_when_plugged) == ("line", -20, True)
    assert plan("mixer").block("ch1").plan.ports["mic"].hole == "front"


def test_a_side_takes_its_socket_or_its_signal() -> None:
    keys, player = plan("keys"), plan("player")
    for side in ("left", "right"):
        own, shared = path_of(keys, side=side).to_port, path_of(player, side=side).to_port
        assert own is not None
        assert shared is not None
        assert (own.port, own.signal) == (f"out-{side}", None)
        assert (shared.port, shared.signal) == ("phones", side)
        assert path_of(player, side=side).stages[0].name == f"volume-{side}"


def test_units_change_at_converters_and_transducers() -> None:
    units = [stage.unit for stage in path_of(plan("speaker")).stages]
    assert units == ["FS", "V", "Pa"]
    assert path_of(plan("speaker")).to_air
    assert [stage.unit for stage in path_of(plan("mic")).stages] == ["V"]
    assert [stage.unit for stage in path_of(plan("player"), side="left").stages] == ["FS", "V"]


def test_ratios_multiply_where_units_change() -> None:
    """1 / 7.746 V of full scale, 10 V back, 1.002 Pa for 2 V; 2 mV/Pa."""
    first, back, driver = path_of(plan("speaker")).stages
    assert value(first.ratio) == pytest.approx(1 / 7.746, rel=1e-3)
    assert (value(back.ratio), back.ratio and back.ratio.unit) == (10, "V")
    assert value(driver.ratio) == pytest.approx(1.0024 / 2, rel=1e-3)
    assert value(stage_of(plan("mic"), "capsule").ratio) == pytest.approx(2e-3)
    assert first.ratio is not None
    assert first.ratio.low < first.ratio.value < first.ratio.high


def test_digital_levels_are_rms_of_full_scale() -> None:
    """AES17: a full-scale sine is 0 dBFS."""
    assert value(stage_of(plan("player"), "volume-left").ceiling) == pytest.approx(1.0)
    assert linear_full_scale(Figure(-20, -26, -14, "dBFS", "typical")).value == pytest.approx(0.1)


def test_a_voice_has_its_usual_places() -> None:
    air = plan("voice").air
    assert air is not None
    assert (air.level_pa.value, air.at_m, air.distance_m) == pytest.approx((0.2, 1.0, 0.3))


def test_ways_of_being_fed_are_read() -> None:
    (way,) = plan("mic").powered_by
    assert (way.kind, way.port) == ("phantom", "out")
    assert (value(way.current), value(way.minimum)) == (4e-3, 12)
    assert plan("mic").needs_power
    assert not plan("keys").needs_power


def test_figures_of_the_entry_have_the_source_of_the_entry() -> None:
    port = plan("mic").block("").plan.ports["out"]
    assert port.figures["impedance"].source == "handbook"
    assert port.figures["ground"].source == "from memory"  # customary, not the entry's
