"""A show resolved against the gear book: what it becomes, and all that is wrong at once."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from levelhead.errors import LevelheadError, ShowError
from levelhead.gear.book import load_book
from levelhead.rig.build import build_rig
from levelhead.rig.model import Rig
from levelhead.show.document import parse_show
from levelhead.show.model import Cable, Item, Link, Show, Source
from tests.bench import book_with

BOOK = book_with("""
own-desk:
  label: Desk
  kind: mixer
  source: measured
  earth: mains
  controls:
    main: {range: [off, 10 dB], default: 0 dB}
    phantom: {options: {"off": {}, "on": {ch.mic.phantom: 48 V}}, default: "off"}
  blocks:
    ch:
      repeat: 4
      ports:
        mic: {socket: xlr-f, role: in, hole: front, circuit: balanced-input, impedance: 2 kohm}
        line: {socket: jack-trs, role: in, hole: front, circuit: balanced-input, impedance: 20 kohm}
      controls:
        gain: {range: [0 dB, 60 dB], default: 20 dB}
        pan: {range: [left, right], default: centre, law: -3 dB}
      path:
        from: mic
        stages: [{stage: preamp, control: gain}, {stage: out, control: main}]
own-mic:
  label: Microphone
  kind: microphone
  source: measured
  ports: {out: {socket: xlr-m, role: out, circuit: floating-output, impedance: 200 ohm}}
  path: {from: air, stages: [{stage: capsule, sensitivity: 2 mV/Pa}], to: out}
own-voice:
  label: Voice
  kind: voice
  source: measured
  air: {level: 80 dB SPL, peak-to-rms: 12 dB, distance: 20 cm}
""")
MIC, DESK = Item("mic", "own-mic", label="Anna"), Item("desk", "own-desk")
LINK = Link({"a": "mic.out", "b": "desk.ch1.mic"})


def rig(*links: Link, **rest: Any) -> Rig:
    """A microphone and a desk."""
    return build_rig(Show("test", items={"mic": MIC, "desk": DESK}, links=links, **rest), BOOK)


def errors(show: Show) -> list[str]:
    """All that a show is refused for."""
    with pytest.raises(LevelheadError, match=r"\S") as caught:
        build_rig(show, BOOK)
    assert isinstance(caught.value, ShowError)
    return [str(each) for each in caught.value.errors]


# ---------------------------------------------------------------- what it becomes


def test_ports_have_addresses_and_know_their_link() -> None:
    found = rig(LINK)
    assert set(found.ports) == {
        "mic.out", *(f"desk.ch{n}.{name}" for n in range(1, 5) for name in ("mic", "line")),
    }  # fmt: skip
    assert found.ports["mic.out"].link == found.ports["desk.ch1.mic"].link == 0
    assert found.plugged("desk.ch1.mic")
    assert not found.plugged("desk.ch1.line")


def test_labels_are_the_crews_words() -> None:
    found = rig(LINK)
    assert found.ports["mic.out"].label == "Anna, out"
    assert found.ports["desk.ch1.mic"].label == "desk, ch1, mic"
    assert found.ports["desk.ch1.mic"].sibling("line") == "desk.ch1.line"


def test_settings_are_read_and_the_rest_has_its_default() -> None:
    settings = {"desk.ch1.gain": "35 dB", "desk.main": "off", "desk.ch2.pan": "left"}
    found = rig(settings=settings)
    assert found.setting("desk.ch1.gain") == 35
    assert found.setting_db("desk.main") == -math.inf
    assert found.setting("desk.ch2.pan") == -1
    assert found.setting("desk.ch2.gain") == 20
    assert found.settings.keys() == settings.keys()


def test_a_stage_finds_its_control_in_the_strip_then_in_the_item() -> None:
    found = rig()
    item, block = found.items["desk"], found.items["desk"].plan.block("ch2")
    assert found.control_of(item, block, "gain") == "desk.ch2.gain"
    assert found.control_of(item, block, "main") == "desk.main"


def test_a_switch_sets_figures_of_the_item() -> None:
    for option, volts in (("on", 48), ("off", None)):
        found = rig(settings={"desk.phantom": option})
        assert found.ports["desk.ch3.mic"].plan.figure("phantom") == volts


def test_what_nobody_knows_stands_at_its_default_and_is_remembered() -> None:
    found = rig(settings={"desk.phantom": "unknown", "desk.ch1.gain": "unknown"})
    assert found.unknowns == {"desk.phantom", "desk.ch1.gain"}
    assert found.setting("desk.phantom") == "off"
    assert found.settings == {}


def test_a_unit_has_figures_of_its_own_sure_to_2_percent() -> None:
    mic = Item("mic", "own-mic", figures={"out.impedance": "290 ohm"})
    found = build_rig(Show("test", items={"mic": mic}), BOOK)
    figure = found.ports["mic.out"].plan.figures["impedance"]
    assert (figure.value, figure.source) == (290, "measured")
    assert figure.high / figure.value == pytest.approx(1.02)


def test_a_figure_that_nobody_knows_is_that_of_the_type() -> None:
    mic = Item("mic", "own-mic", figures={"out.impedance": "unknown"})
    found = build_rig(Show("test", items={"mic": mic}), BOOK)
    assert found.ports["mic.out"].plan.figure("impedance") == 200


def test_sources_stand_before_what_hears_them() -> None:
    sources = {
        "anna": Source("anna", "own-voice", "mic"),
        "near": Source("near", "own-voice", "mic.capsule", distance_m=0.05, label="Near"),
    }
    usual, near = rig(sources=sources).sources
    assert (usual.at, usual.distance_m, usual.label) == ("mic", 0.2, "anna")
    assert (near.at, near.distance_m, near.label) == ("mic", 0.05, "Near")


def test_a_link_without_a_cable_takes_the_usual_one_in_its_usual_length() -> None:
    (link,) = rig(LINK).links
    (segment,) = link.segments
    assert segment.cable.type_id == "cable-xlr"
    assert segment.length_m == load_book().cable("cable-xlr").usual_length_m
    assert link.ports == ("mic.out", "desk.ch1.mic")


# ---------------------------------------------------------------- what is wrong


def bad_item(type_id: str, **figures: str) -> dict[str, Any]:
    """A show of one item."""
    own = {name.replace("__", "."): text for name, text in figures.items()}
    return {"items": {"it": Item("it", type_id, figures=own)}}


def bad_link(start: str, end: str) -> dict[str, Any]:
    """A show with this link."""
    return {"links": (Link({"a": start, "b": end}),)}


def bad_source(type_id: str, at: str) -> dict[str, Any]:
    """A show with this source."""
    return {"sources": {"v": Source("v", type_id, at)}}


def bad_setting(address: str, text: str) -> dict[str, Any]:
    """A show with this setting."""
    return {"settings": {address: text}}


@pytest.mark.parametrize(
    ("part", "said"),
    [
        (bad_item("own-mik"), "item 'it', gear book: unknown gear type 'own-mik'"),
        (bad_item("own-mik"), "Did you mean 'own-mic'"),
        (bad_item("cable-xlr"), "'cable-xlr' is a cable"),
        (bad_item("own-mic", out__impedence="1 ohm"), "own-mic: no figure 'out.impedence'"),
        (bad_item("own-mic", out__impedance="1 V"), "own-mic, out.impedance: '1 V' cannot be read"),
        (bad_setting("desk.ch1.gian", "1 dB"), "Did you mean 'desk.ch1.gain'"),
        (bad_setting("desk.wobble", "1 dB"), "levelhead gear own-desk"),
        (bad_setting("dsek.x", "1 dB"), "Items of this show: mic, desk"),
        (bad_setting("desk.main", "11 dB"), "outside the control's range"),
        (bad_link("mic.out", "desk.ch1.mc"), "Did you mean 'desk.ch1.mic'"),
        (bad_link("desk.x", "desk.y"), "no port 'desk.y'"),
        (bad_source("own-voice", "desk"), "sources.v: 'desk' is no microphone of this show"),
        (bad_source("own-voice", "mik"), "Did you mean 'mic'"),
        (bad_source("own-mic", "mic"), "makes no sound in the air"),
        (bad_source("own-voise", "mic"), "sources.v, gear book: unknown gear type 'own-voise'"),
    ],
)
def test_what_is_wrong_is_named_with_what_was_meant(part: dict[str, Any], said: str) -> None:
    found = errors(Show("t", **{"items": {"mic": MIC, "desk": DESK}, **part}))
    assert any(said in each for each in found), found


def test_all_that_is_wrong_is_told_at_once() -> None:
    show = Show(
        "many",
        items={"mic": MIC, "desk": DESK, "bad": Item("bad", "nothing-like-it")},
        settings={"desk.ch1.gian": "1 dB", "desk.main": "99 dB", "bad.x": "1 dB"},
        links=(
            Link({"a": "mic.out", "b": "desk.ch9.mic"}),
            Link({"a": "bad.out", "b": "desk.ch1.mic"}, (Cable("cabel", 2.0),)),
        ),
        sources={"v": Source("v", "own-voice", "desk"), "w": Source("w", "own-voice", "bad")},
    )
    found = errors(show)
    assert len(found) == 6
    for said in (
        "nothing-like-it",
        "'cabel'",
        "gian",
        "99 dB",
        "desk.ch9.mic",
        "'desk' is no microphone",
    ):
        assert sum(said in each for each in found) == 1, said


def test_an_item_that_is_lost_raises_no_errors_of_its_links() -> None:
    """Its one error is enough: what it has cannot be known."""
    show = Show(
        "lost",
        items={"mic": Item("mic", "own-mic", figures={"x": "1 V"}), "desk": DESK},
        links=(LINK,),
        sources={"v": Source("v", "own-voice", "mic")},
    )
    (only,) = errors(show)
    assert "no figure 'x'" in only


def test_places_of_a_file_are_named() -> None:
    text = "levelhead: 1\nshow: {name: Own}\nitems:\n  mic: {type: own-mik}\n"
    document = parse_show(text, "own.yaml")
    with pytest.raises(ShowError, match=r"own\.yaml:4:\d+, gear book: unknown gear type 'own-mik'"):
        build_rig(document.show, BOOK, document)


def test_a_socket_takes_one_plug() -> None:
    """Two sockets of one hole share it."""
    other = Item("mic2", "own-mic")
    items = {"mic": MIC, "mic2": other, "desk": DESK}
    twice = (LINK, Link({"a": "mic2.out", "b": "desk.ch1.mic"}))
    (said,) = errors(Show("t", items=items, links=twice))
    assert "'desk.ch1.mic' already has a plug in it (at 'desk.ch1.mic')" in said
    shared = (LINK, Link({"a": "mic2.out", "b": "desk.ch1.line"}))
    (said,) = errors(Show("t", items=items, links=shared))
    assert "'desk.ch1.line' already has a plug in it (at 'desk.ch1.mic')" in said


@given(st.permutations(list(range(4))))
def test_the_order_of_settings_means_nothing(order: list[int]) -> None:
    texts = [
        ("desk.ch1.gain", "35 dB"),
        ("desk.main", "-3 dB"),
        ("desk.phantom", "on"),
        ("desk.ch4.pan", "right"),
    ]
    found = rig(settings=dict(texts[number] for number in order))
    assert found.items["desk"].plan is rig(settings=dict(texts)).items["desk"].plan


def test_a_port_and_its_strip_are_found_by_what_stands_there() -> None:
    """By its own address, a side of it, a stage or a control of the strip; else by the item."""
    found = rig(LINK)
    assert found.port_at("desk.ch1.mic") is found.ports["desk.ch1.mic"]
    assert found.port_at("desk.ch1.mic.left") is found.ports["desk.ch1.mic"]
    assert found.port_at("desk.ch1.preamp") is None
    places = ("desk.ch1.mic", "desk.ch1.mic.left", "desk.ch1.preamp", "desk.ch1.gain", "mic.out")
    assert [found.strip_at(each) for each in places] == ["desk.ch1"] * 4 + ["mic"]
    assert found.strip_at("desk.main") == "desk"
