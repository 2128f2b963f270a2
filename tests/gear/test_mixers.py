"""Mixers of the gear book: what goes where, at unity, and where it clips.

Signals are fed at +4 dBu and compared in tenths of a decibel: a crossing that is doubled, lost or
swapped stands out by 3 dB and more.
"""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.errors import GearError
from levelhead.gear.book import load_book
from levelhead.rig.build import build_rig
from levelhead.show.model import Cable, Item, Link, Show, Source

FEED_DBU = 4.0
PAN_DB = 3.0  # in the middle, common practice
SILENT = None


def fed(type_id: str, port: str, by: str, settings: Mapping[str, str]) -> Solution:
    """A mixer with a line feed at one input, as it is set."""
    link = Link({"a": "feed.out", "b": f"desk.{port}"}, (Cable(by, 1.0),))
    show = Show(
        "desk",
        items={"feed": Item("feed", "feed-line"), "desk": Item("desk", type_id)},
        links=(link,),
        settings={f"desk.{address}": value for address, value in settings.items()},
    )
    return solve(build_rig(show, load_book()))


def line(type_id: str, settings: Mapping[str, str]) -> Solution:
    """A feed at the line input of channel 1."""
    return fed(type_id, "ch1.line", "lead-xlr-jack-balanced", settings)


def nominal(solution: Solution, stage: str) -> float | None:
    return solution.levels(f"desk.{stage}").nominal


ANALOGUE = ("mixer-analogue-16", {"ch1.gain": "20 dB"})
DIGITAL = ("mixer-digital-32", {"ch1.gain": "14 dB"})


# ---------------------------------------------------------------- pan, mute, main


@pytest.mark.parametrize(("type_id", "unity"), [ANALOGUE, DIGITAL])
@pytest.mark.parametrize(("pan", "left", "right"), [("left", 0.0, None), ("right", None, 0.0)])
def test_a_pan_at_its_end_leaves_one_side_silent(
    type_id: str, unity: dict[str, str], pan: str, left: float | None, right: float | None
) -> None:
    solution = line(type_id, unity | {"ch1.pan": pan})
    stage = "level" if type_id == ANALOGUE[0] else "converter"
    for side, below in (("left", left), ("right", right)):
        found = nominal(solution, f"main-{side}.{stage}")
        if below is None:
            assert found is SILENT
        else:
            assert found == pytest.approx(FEED_DBU + below, abs=0.15)


@pytest.mark.parametrize(("type_id", "unity"), [ANALOGUE, DIGITAL])
@pytest.mark.parametrize("how", [{"ch1.mute": "on"}, {"ch1.fader": "off"}])
def test_a_muted_channel_reaches_no_main(
    type_id: str, unity: dict[str, str], how: dict[str, str]
) -> None:
    solution = line(type_id, unity | how)
    assert nominal(solution, "main-left.level") is SILENT


def test_a_channel_taken_off_the_main_still_feeds_its_auxes() -> None:
    type_id, unity = DIGITAL
    solution = line(type_id, unity | {"ch1.main": "off", "ch1.send7": "0 dB"})
    assert nominal(solution, "main-left.level") is SILENT
    assert nominal(solution, "aux7.converter") == pytest.approx(FEED_DBU, abs=0.15)


# ---------------------------------------------------------------- auxes and groups


@pytest.mark.parametrize("aux", [1, 2, 3, 4])
def test_a_send_feeds_its_own_aux_only(aux: int) -> None:
    type_id, unity = ANALOGUE
    solution = line(type_id, unity | {f"ch1.send{aux}": "0 dB"})
    for number in (1, 2, 3, 4):
        found = nominal(solution, f"aux{number}.level")
        if number == aux:
            assert found == pytest.approx(FEED_DBU, abs=0.15)
        else:
            assert found is SILENT


@pytest.mark.parametrize(("type_id", "unity"), [ANALOGUE, DIGITAL])
@pytest.mark.parametrize(("tap", "expected"), [("pre", FEED_DBU), ("post", FEED_DBU - 20)])
def test_the_fader_moves_a_send_behind_it_only(
    type_id: str, unity: dict[str, str], tap: str, expected: float
) -> None:
    settings = {"ch1.send1": "0 dB", "ch1.fader": "-20 dB", "ch1.tap": tap}
    solution = line(type_id, unity | settings)
    stage = "level" if type_id == ANALOGUE[0] else "converter"
    assert nominal(solution, f"aux1.{stage}") == pytest.approx(expected, abs=0.15)


def test_auxes_3_and_4_stand_behind_the_fader_whatever_the_switch_says() -> None:
    type_id, unity = ANALOGUE
    solution = line(type_id, unity | {"ch1.send4": "0 dB", "ch1.fader": "-20 dB"})
    assert nominal(solution, "aux4.level") == pytest.approx(FEED_DBU - 20, abs=0.15)


def test_a_group_takes_its_channels_to_the_main() -> None:
    """Through the group, panned to the middle twice: 3 dB less at the end."""
    type_id, unity = ANALOGUE
    settings = {"ch1.to-main": "off", "ch1.group3": "on", "group3.fader": "-5 dB"}
    solution = line(type_id, unity | settings)
    assert nominal(solution, "group3.fader") == pytest.approx(FEED_DBU - 5, abs=0.15)
    assert nominal(solution, "main-right.level") == pytest.approx(FEED_DBU - 5 - PAN_DB, abs=0.15)
    for other in (1, 2, 4):
        assert nominal(solution, f"group{other}.fader") is SILENT


# ---------------------------------------------------------------- crossings from one of two strips


def test_left_and_right_of_the_main_go_to_their_own_record_and_phones() -> None:
    """The record output stands 11.8 dB below: +4 dBu becomes -10 dBV."""
    type_id, unity = ANALOGUE
    solution = line(type_id, unity | {"ch1.pan": "left"})
    assert nominal(solution, "record-left.output") == pytest.approx(FEED_DBU - 11.8, abs=0.15)
    assert nominal(solution, "record-right.output") is SILENT
    assert nominal(solution, "phones-left.amplifier-left") == pytest.approx(-6.0, abs=0.15)
    assert nominal(solution, "phones-right.amplifier-right") is SILENT


def test_a_mono_sum_has_both_sides() -> None:
    """A channel in the middle is 3 dB down on each side, the same on both: 6 dB up, 6 dB pad."""
    solution = line("mixer-line-trims-wide", {})
    assert nominal(solution, "mono-sum.sum") == pytest.approx(FEED_DBU - PAN_DB, abs=0.15)
    one = line("mixer-line-trims-wide", {"ch1.pan": "left"})
    assert nominal(one, "mono-sum.sum") == pytest.approx(FEED_DBU - 6, abs=0.15)


def test_a_crossing_from_a_strip_that_is_not_there_is_refused() -> None:
    raw = {
        "odd": {
            "like": "mixer-line-trims",
            "label": "Odd",
            "mix": [{"from": "main-centre.level", "to": "main"}],
        }
    }
    with pytest.raises(GearError, match="no block 'main-centre'"):
        load_book().extended(raw).entry("odd")


# ---------------------------------------------------------------- digital


@pytest.mark.parametrize(
    ("type_id", "port", "by", "gain", "full_scale_dbu"),
    [
        ("mixer-digital-32", "ch1.line", "lead-xlr-jack-balanced", "14 dB", 24.0),  # SMPTE RP 155
        ("mixer-digital-16", "ch1.mic", "cable-xlr", "0 dB", 18.0),  # EBU R 68
        ("stagebox-digital-16", "ch1.mic", "cable-xlr", "14 dB", 10.0),
    ],
)
def test_a_converter_reads_what_its_alignment_says(
    type_id: str, port: str, by: str, gain: str, full_scale_dbu: float
) -> None:
    solution = fed(type_id, port, by, {"ch1.gain": gain})
    levels = solution.levels("desk.ch1.converter")
    assert levels.unit == "dBFS"
    assert levels.nominal == pytest.approx(FEED_DBU - full_scale_dbu, abs=0.3)
    assert levels.ceiling is not None
    assert levels.ceiling <= 0.05


def test_a_digital_sum_has_no_ceiling_and_its_output_has() -> None:
    """Floating point: 20 dB too much in a bus and 20 dB off at its fader is no harm."""
    type_id, unity = DIGITAL
    settings = {"ch1.send1": "10 dB", "ch1.tap": "post", "ch1.fader": "10 dB"}
    hot = line(type_id, unity | settings | {"aux1.level": "-20 dB"})
    in_bus = hot.levels("desk.aux1.sum")
    assert in_bus.unit == "dBFS"
    assert in_bus.nominal == pytest.approx(FEED_DBU - 24 + 20, abs=0.15)
    out = hot.levels("desk.aux1.converter")
    assert out.nominal == pytest.approx(FEED_DBU, abs=0.15)
    own = line(type_id, unity | {"ch1.send1": "0 dB", "ch1.tap": "post"}).levels(
        "desk.aux1.converter"
    )
    assert out.headroom == pytest.approx(own.headroom, abs=0.15)
    louder = line(type_id, unity | settings).levels("desk.aux1.converter")
    assert louder.ceiling == pytest.approx(24.0, abs=0.1)
    assert louder.headroom is not None
    assert louder.headroom < 0


def test_talkback_goes_where_it_is_sent() -> None:
    solution = fed(
        "mixer-digital-32",
        "talkback.mic",
        "cable-xlr",
        {"talkback.gain": "14 dB", "talkback.send8": "-14 dB", "talkback.main": "off"},
    )
    assert nominal(solution, "aux8.converter") == pytest.approx(FEED_DBU, abs=0.3)
    assert nominal(solution, "aux1.converter") is SILENT
    assert nominal(solution, "main-left.level") is SILENT


def test_phantom_and_pad_of_a_digital_channel_are_its_own() -> None:
    plan = load_book().plan("mixer-digital-32", {"ch3.phantom": "on", "ch3.pad": "20-db"}, {})
    assert plan.block("ch3").plan.ports["mic"].figure("phantom") == 48.0
    assert plan.block("ch4").plan.ports["mic"].figure("phantom") is None
    pads = [plan.block(each).plan.paths[0].stages[0].gain_db for each in ("ch3", "ch4")]
    assert [pad and pad.value for pad in pads] == [-20.0, 0.0]


# ---------------------------------------------------------------- all of them


@pytest.mark.parametrize(
    "type_id", [each for each in load_book().ids if load_book().entry(each).kind == "mixer"]
)
def test_every_sum_of_a_mixer_is_fed_and_every_strip_leads_on(type_id: str) -> None:
    """A sum that nothing reaches, or a strip that leads nowhere, is a slip of the pen."""
    entry = load_book().entry(type_id)
    begin = {mix.from_.rpartition(".")[0] for mix in entry.mix}
    end = {mix.to for mix in entry.mix}
    for block in load_book().plan(type_id, {}, {}).blocks:
        for path in block.plan.paths:
            is_sum = path.origins[0].kind == "mix"
            if is_sum:
                assert {block.block, block.name} & end, block.name
            is_meter = is_sum and path.stages[-1].meter is not None
            leaves = path.to_port is not None or bool({block.block, block.name} & begin)
            assert leaves or is_meter, block.name


def test_a_microphone_reaches_the_loudspeaker_sockets_of_a_powered_mixer() -> None:
    show = Show(
        "powered",
        items={"vox": Item("vox", "mic-vocal-dynamic"), "desk": Item("desk", "mixer-powered")},
        sources={"anna": Source("anna", "voice-singer", "vox")},
        links=(Link({"a": "vox.out", "b": "desk.ch1.mic"}, (Cable("cable-xlr", 10.0),)),),
        settings={"desk.ch1.gain": "36 dB", "desk.ch1.monitor": "0 dB"},
    )
    solution = solve(build_rig(show, load_book()))
    power = solution.levels("desk.power-left.amplifier")
    main = solution.levels("desk.main-left.level")
    assert power.nominal is not None
    assert main.nominal is not None
    assert power.nominal - main.nominal == pytest.approx(22.0, abs=0.1)
    assert nominal(solution, "monitor.level") is not None
