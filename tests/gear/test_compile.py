"""From entries to plans: blocks, switches, figures of a unit, paths, cables."""

from __future__ import annotations

import math
from contextlib import suppress
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from levelhead.errors import GearError
from levelhead.gear.book import GearBook
from levelhead.gear.compile import compile_item, controls_of
from levelhead.gear.compile.addresses import figure_addresses
from levelhead.gear.compile.stages import linear_full_scale
from levelhead.gear.figures import Figure, RawFigure
from levelhead.gear.plan import ItemPlan, PathPlan, StagePlan
from tests.bench import types_of

TYPES = types_of("""
mixer:
  label: Mixer
  kind: mixer
  source: typical
  earth: mains
  controls:
    phantom: {options: {"off": {}, "on": {ch.mic.phantom: 48 V}}, default: "off"}
    mode: {options: [wide, mono], default: wide}
  ports:
    talkback: {socket: xlr-f, role: in, circuit: balanced-input, impedance: 2 kohm}
    bridge: {socket: xlr-m, role: out, when: {mode: mono}}
  blocks:
    ch:
      repeat: 3
      ports:
        mic: {socket: xlr-f, role: in, hole: front, circuit: balanced-input, impedance: 2 kohm}
        line: {socket: jack-trs, role: in, hole: front, circuit: balanced-input, impedance: 20 kohm}
      controls:
        gain: {range: [0 dB, 60 dB], default: 20 dB, scale: rotary-gain}
        pad: {options: {"off": {}, "on": {preamp.gain: -20 dB, mic.damage: 40 V}}, default: "off"}
        filter: {options: [flat, cut], default: flat}
        send: {repeat: 2, range: [off, 10 dB], default: off}
        assign: {repeat: 2, options: ["off", "on"], default: "off"}
        pan: {range: [left, right], default: centre, law: -3 dB}
      path:
        from: [{port: mic}, {port: line, gain: -20 dB, wins: plugged}]
        stages:
          - {stage: preamp, control: gain, gain: 0 dB, ein: -128 dBu, noise: -95 dBu,
             ceiling: +21 dBu, meter: {kind: peak, zero: +4 dBu}}
          - {stage: filter, gain: -1 dB, when: {filter: cut}}
          - {stage: fader}
    main:
      repeat: [left, right]
      ports: {out: {socket: xlr-m, role: out, circuit: symmetrical-output, impedance: 150 ohm}}
      path: {from: mix, stages: [{stage: sum}], to: out}
    talk:
      path: {from: talkback, stages: [{stage: amp}], when: {mode: mono}}
  mix:
    - {from: ch.fader, to: main, control: pan, law: pan, gain: -2 dB}
    - {from: ch.preamp, to: main-left, when: {assign2: "on"}}
player:
  label: Player
  kind: player
  source: typical
  ports:
    phones: {socket: mini-trs, role: out, signals: [left, right], circuit: single-ended-output,
             impedance: 10 ohm}
  path:
    sides: [left, right]
    from: [{generator: {level: -9 dBFS, peak-to-rms: 12 dB, shared: "0.5"}}]
    stages:
      - {stage: volume, ceiling: 0 dBFS}
      - {stage: converter, full-scale: 2 V, ceiling: 2 V, noise: -90 dBV}
    to: phones
keys:
  label: Keyboard with a socket for each side
  kind: instrument
  source: typical
  ports:
    out-left: {socket: jack-ts, role: out, circuit: single-ended-output, impedance: 1 kohm}
    out-right: {socket: jack-ts, role: out, circuit: single-ended-output, impedance: 1 kohm}
  path:
    sides: [left, right]
    from: [{generator: {level: -6 dBu, peak-to-rms: 12 dB}}]
    stages: [{stage: output, noise: -90 dBu}]
    to: out
mic:
  label: Microphone
  kind: microphone
  source: handbook
  powered-by: [{phantom: out, current: 4 mA, minimum: 12 V}]
  ports: {out: {socket: xlr-m, role: out, circuit: symmetrical-output, impedance: 150 ohm}}
  path:
    from: air
    stages: [{stage: capsule, sensitivity: 2 mV/Pa, self-noise: 20 dB SPL}]
    to: out
speaker:
  label: Loudspeaker
  kind: loudspeaker
  source: typical
  ports: {in: {socket: xlr-f, role: in, circuit: balanced-input, impedance: 20 kohm}}
  path:
    from: in
    stages:
      - {stage: converter, full-scale: +20 dBu, ceiling: 0 dBFS}
      - {stage: back, full-scale: 10 V}
      - {stage: driver, sensitivity: {level: 94 dB SPL, at: 2 V}, ceiling: 120 dB SPL}
    to: air
voice:
  label: Voice
  kind: voice
  source: typical
  air: {level: 80 dB SPL, peak-to-rms: 12 dB}
transformer:
  label: Transformer box
  kind: box
  source: handbook
  ports: {in: {socket: jack-ts, role: in}, out: {socket: xlr-m, role: out}}
  parts:
    - {name: core, transformer: [in.tip, in.sleeve, out.2, out.3], ratio: "12", magnetising: 80 H}
    - {resistor: [in.tip, in.sleeve], value: 1 Mohm}
""")
BOOK = GearBook(TYPES)


def plan(type_id: str, chosen: dict[str, str] | None = None, **figures: RawFigure) -> ItemPlan:
    """A plan; a figure's dots are written as double underscores."""
    own = {name.replace("__", ".").replace("_", "-"): raw for name, raw in figures.items()}
    return BOOK.plan(type_id, chosen or {}, own)


def path_of(item: ItemPlan, block: str = "", side: str | None = None) -> PathPlan:
    """The path of a strip, or of one of its sides."""
    return next(each for each in item.block(block).plan.paths if each.side == side)


def stage_of(item: ItemPlan, stage: str, block: str = "") -> StagePlan:
    """A stage by its name."""
    paths = item.block(block).plan.paths
    return next(each for path in paths for each in path.stages if each.name == stage)


def value(figure: Figure | None) -> float:
    """Value of a figure that must be there."""
    assert figure is not None
    return figure.value


# ---------------------------------------------------------------- blocks and controls


def test_blocks_stand_under_the_names_on_the_panel() -> None:
    names = [block.name for block in plan("mixer").blocks]
    assert names == ["", "ch1", "ch2", "ch3", "main-left", "main-right", "talk"]


def test_a_block_that_is_not_there_is_named() -> None:
    with pytest.raises(GearError, match=r"mixer: no block 'ch4'.*Did you mean 'ch3'"):
        plan("mixer").block("ch4")


@given(count=st.integers(1, 64))
@settings(max_examples=10)
def test_strips_that_stand_alike_are_planned_once(count: int) -> None:
    raw: dict[str, Any] = {**TYPES["mixer"], "blocks": dict(TYPES["mixer"]["blocks"])}
    raw["blocks"]["ch"] = {**raw["blocks"]["ch"], "repeat": count}
    strips = [b for b in GearBook({"m": raw}).plan("m", {}, {}).blocks if b.block == "ch"]
    assert [strip.name for strip in strips] == [f"ch{number}" for number in range(1, count + 1)]
    assert len({id(strip.plan) for strip in strips}) == 1


def test_a_strip_that_stands_otherwise_has_a_plan_of_its_own() -> None:
    item = plan("mixer", {"ch2.pad": "on"})
    first, second, third = (item.block(f"ch{number}").plan for number in (1, 2, 3))
    assert first is third
    assert second is not first


def test_controls_have_addresses_below_the_item() -> None:
    controls = controls_of(BOOK.entry("mixer"))
    assert {"phantom", "ch1.gain", "ch3.send2", "ch2.assign1"} <= controls.keys()
    gain, pan, send = (controls[f"ch1.{name}"] for name in ("gain", "pan", "send1"))
    assert (gain.kind, gain.low, gain.high, gain.default) == ("range", 0, 60, 20)
    assert (pan.kind, pan.low, pan.high, pan.default, pan.law_db) == ("pan", -1, 1, 0, -3)
    assert send.low == -math.inf
    assert controls["phantom"].options == ("off", "on")


@pytest.mark.parametrize(
    ("control", "said"),
    [
        (
            {"range": ["0 db", "60 kohm"], "default": "0 dB"},
            r"control 'gain': '60 kohm' is no position",
        ),
        ({"range": ["left", "right"], "default": "middle"}, r"'middle' is no position"),
    ],
)
def test_a_control_that_cannot_be_read_names_its_place(control: dict[str, Any], said: str) -> None:
    own = {"label": "Own", "kind": "box", "source": "typical", "controls": {"gain": control}}
    book = GearBook({"own": own})
    with pytest.raises(GearError, match=said):
        controls_of(book.entry("own"))


# ---------------------------------------------------------------- switches


def test_an_option_of_a_strip_sets_its_figures() -> None:
    item = plan("mixer", {"ch2.pad": "on"})
    assert value(stage_of(item, "preamp", "ch2").gain_db) == -20
    assert item.block("ch2").plan.ports["mic"].figure("damage") == 40
    assert value(stage_of(item, "preamp", "ch1").gain_db) == 0


def test_an_option_of_the_item_sets_figures_of_all_strips() -> None:
    item = plan("mixer", {"phantom": "on"})
    assert [item.block(f"ch{n}").plan.ports["mic"].figure("phantom") for n in (1, 3)] == [48, 48]
    assert plan("mixer").block("ch1").plan.ports["mic"].figure("phantom") is None


def test_what_stands_when_is_there_only_then() -> None:
    wide, mono = plan("mixer"), plan("mixer", {"mode": "mono", "ch1.filter": "cut"})
    assert [stage.name for stage in path_of(wide, "ch1").stages] == ["preamp", "fader"]
    assert [stage.name for stage in path_of(mono, "ch1").stages] == ["preamp", "filter", "fader"]
    assert "bridge" not in wide.block("").plan.ports
    assert "bridge" in mono.block("").plan.ports
    assert wide.block("talk").plan.paths == ()
    assert path_of(mono, "talk").origins[0].port is not None


def test_crossings_belong_to_the_strip_that_they_begin_in() -> None:
    item = plan("mixer", {"ch3.assign2": "on"})
    (pan,) = item.block("ch1").mixes
    assert (pan.from_stage, pan.to_block, pan.control, pan.law, pan.gain_db) == (
        "fader", "main", "pan", "pan", -2,
    )  # fmt: skip
    assert [mix.to_block for mix in item.block("ch3").mixes] == ["main", "main-left"]


# ---------------------------------------------------------------- figures of one unit


def test_a_unit_may_have_figures_of_its_own() -> None:
    item = plan("mixer", ch__mic__impedance="1.5 kohm", ch2__mic__impedance="3 kohm")
    found = [
        item.block(f"ch{number}").plan.ports["mic"].figure("impedance") for number in (1, 2, 3)
    ]
    assert found == [1500, 3000, 1500]


def test_they_win_over_a_switch() -> None:
    item = plan("mixer", {"ch1.pad": "on"}, ch__preamp__gain="-18 dB")
    assert value(stage_of(item, "preamp", "ch1").gain_db) == -18


@pytest.mark.parametrize(
    ("type_id", "figure", "raw"),
    [
        ("mixer", "ch.preamp.meter.zero", "0 dBu"),
        ("mixer", "ch1.line.gain", "-15 dB"),
        ("mixer", "talkback.cmrr", "70 dB"),
        ("player", "generator.level", "-12 dBFS"),
        ("player", "converter.full-scale", "1 V"),
        ("player", "converter-left.noise", "-80 dBV"),
        ("mic", "capsule.sensitivity", "1.5 mV/Pa"),
        ("mic", "powered-by.current", "7 mA"),
        ("speaker", "driver.sensitivity.level", "97 dB SPL"),
        ("voice", "air.level", "90 dB SPL"),
        ("transformer", "core.ratio", "10"),
        ("transformer", "resistor.value", "2 Mohm"),
    ],
)
def test_every_kind_of_figure_can_be_overridden(type_id: str, figure: str, raw: str) -> None:
    assert BOOK.plan(type_id, {}, {figure: raw}) != BOOK.plan(type_id, {}, {})


def test_one_side_may_differ() -> None:
    item = BOOK.plan("keys", {}, {"output-left.noise": "-60 dBu"})
    left, right = (path_of(item, side=side).stages[0] for side in ("left", "right"))
    assert value(left.noise) / value(right.noise) == pytest.approx(10**1.5)


@pytest.mark.parametrize(
    ("type_id", "figure", "said"),
    [
        (
            "mixer",
            "ch.preamp.gian",
            r"no figure 'ch\.preamp\.gian'.*Did you mean 'ch\.preamp\.gain'",
        ),
        ("mixer", "ch4.preamp.gain", r"no figure 'ch4\.preamp\.gain'"),
        ("mixer", "main.out.impedence", r"Did you mean 'main\.out\.impedance'"),
        ("mic", "capsule.sensitivity.level", r"Did you mean 'capsule\.sensitivity'"),
        ("speaker", "driver.sensitivity", r"no figure 'driver\.sensitivity'"),
        ("keys", "power", r"no figure 'power'"),
        ("voice", "powered-by.current", r"no figure"),
    ],
)
def test_a_figure_that_the_type_does_not_have_is_refused(
    type_id: str, figure: str, said: str
) -> None:
    with pytest.raises(GearError, match=said):
        BOOK.plan(type_id, {}, {figure: "1 dB"})


def test_all_such_figures_are_told_at_once() -> None:
    with pytest.raises(GearError, match="ch1") as caught:
        BOOK.plan("mixer", {}, {"ch1.x": "1 dB", "y": "1 dB"})
    assert len(caught.value.errors) == 2


def test_a_figure_in_the_wrong_unit_names_its_place() -> None:
    with pytest.raises(GearError, match=r"mixer, ch, mic\.impedance: '3 V' cannot be read"):
        BOOK.plan("mixer", {}, {"ch.mic.impedance": "3 V"})
    with pytest.raises(GearError, match=r"generator\.level.*dBFS"):
        BOOK.plan("player", {}, {"generator.level": "3 kohm"})


SAMPLES = (
    "1 V", "1 ohm", "1 dB", "1 nF", "1 H", "1 mA", "2 m", "88 dB SPL", "-3 dBFS", "1 mV/Pa",
    "1 nA/rtHz", "1 Hz", "1 ms", "1", "1 W",
)  # fmt: skip
CUT = {f"ch{number}.filter": "cut" for number in (1, 2, 3)}
EVERYTHING_THERE = {"mixer": {"mode": "mono", **CUT}}


@pytest.mark.parametrize("type_id", TYPES)
def test_each_figure_that_is_offered_is_taken(type_id: str) -> None:
    """An address in the list is one that the compiler asks for; only texts of its unit fit."""
    chosen = EVERYTHING_THERE.get(type_id, {})
    for address in figure_addresses(BOOK.entry(type_id)):
        plans = []
        for sample in SAMPLES:
            with suppress(GearError):
                plans.append(BOOK.plan(type_id, chosen, {address: sample}))
        assert any(each != BOOK.plan(type_id, chosen, {}) for each in plans), address


# ---------------------------------------------------------------- ports and paths


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


# ---------------------------------------------------------------- the book


def test_equal_items_are_planned_once() -> None:
    assert plan("mixer", {"phantom": "on"}) is plan("mixer", {"phantom": "on"})
    assert plan("mixer", {"phantom": "on"}) is not plan("mixer")


def test_compiling_again_gives_the_same() -> None:
    again = compile_item("mixer", BOOK.entry("mixer"), {"phantom": "on"}, {})
    assert again == plan("mixer", {"phantom": "on"})


def test_unknown_types_name_their_nearest() -> None:
    with pytest.raises(GearError, match=r"unknown gear type 'mixr'.*Did you mean 'mixer'"):
        BOOK.entry("mixr")
    with pytest.raises(GearError, match=r"'mixer' is no cable"):
        BOOK.cable("mixer")


def test_a_users_entries_replace_and_extend() -> None:
    book = BOOK.extended({"mic": TYPES["keys"], "extra": TYPES["mic"]})
    assert book.entry("mic").label == "Keyboard with a socket for each side"
    assert "extra" in book
    assert "extra" not in BOOK
    assert book.ids[: len(BOOK.ids)] == BOOK.ids


# ---------------------------------------------------------------- cables


def test_a_cable_is_planned_with_its_conductors() -> None:
    book = GearBook(
        types_of("""
lead:
  label: Lead
  kind: cable
  source: typical
  ends: {a: xlr-f, b: jack-ts socket}
  wire: {core: 85 mohm/m, core-screen: 110 pF/m, source: handbook}
  map: {a.1: b.sleeve, a.2: b.tip, a.3: [b.sleeve]}
  usual-length: 7 m
""")
    )
    cable = book.cable("lead")
    assert cable.ends == {"a": "xlr-f", "b": "jack-ts"}
    assert cable.sockets == {"b"}
    assert (("a", "3"), ("b", "sleeve")) in cable.joins
    assert cable.core_ohm_per_m is not None
    assert (cable.core_ohm_per_m.value, cable.core_ohm_per_m.source) == (0.085, "handbook")
    assert cable.screen_ohm_per_m is None
    assert (cable.usual_length_m, cable.contact_ohm.value) == (7, 5e-3)
    assert cable is book.cable("lead")
