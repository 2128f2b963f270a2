"""What an entry may say: everything else is refused, with what was probably meant."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import pytest

from levelhead.errors import GearError
from levelhead.gear.book import GearBook
from levelhead.gear.model import ControlEntry, PartEntry, PowerEntry
from tests.bench import types_of

PREAMP = types_of("""
preamp:
  label: Preamplifier
  kind: processor
  source: typical
  earth: mains
  powered-by: [{phantom: out, current: 4 mA, minimum: 12 V}]
  ports:
    in: {socket: xlr-f, role: in, circuit: balanced-input, impedance: 2 kohm}
    link: {socket: xlr-m, role: through, joined: in}
    out: {socket: xlr-m, role: out, circuit: symmetrical-output, impedance: 100 ohm}
  controls:
    gain: {range: [0 dB, 60 dB], default: 20 dB, scale: rotary-gain}
    pad: {options: {"off": {}, "on": {preamp.gain: -20 dB}}, default: "off"}
  parts: [{wire: [in.1, out.1], when: {pad: "on"}}]
  path:
    from: in
    stages: [{stage: preamp, control: gain, gain: 0 dB}]
    to: out
  blocks:
    ch:
      repeat: 2
      ports: {in: {socket: jack-trs, role: in}}
      controls: {fader: {range: [off, 0 dB], default: off}}
      path: {from: in, stages: [{stage: fader, control: fader}]}
    bus: {path: {from: mix, stages: [{stage: sum}]}}
  mix: [{from: ch.fader, to: bus}]
""")["preamp"]
CABLE = types_of("""
lead:
  label: Lead
  kind: cable
  source: typical
  ends: {a: xlr-f, b: jack-ts}
  map: {a.1: b.sleeve, a.2: b.tip}
""")["lead"]


def changed(entry: dict[str, Any], *path: str | int, to: object) -> dict[str, Any]:
    """A copy of an entry with one place changed."""
    copy = deepcopy(entry)
    place: Any = copy
    for step in path[:-1]:
        place = place[step]
    place[path[-1]] = to
    return copy


def refusal(entry: dict[str, Any]) -> str:
    """What the book says of an entry."""
    with pytest.raises(GearError, match="gear type 'own'") as caught:
        GearBook({"own": entry}).entry("own")
    return str(caught.value)


def test_the_entries_that_are_spoiled_below_are_good() -> None:
    book = GearBook({"own": PREAMP, "lead": CABLE})
    assert book.entry("own").label == "Preamplifier"
    assert book.cable("lead").joins == ((("a", "1"), ("b", "sleeve")), (("a", "2"), ("b", "tip")))


@pytest.mark.parametrize(
    ("path", "to", "said"),
    [
        # names of fields, connectors, circuits, figures, scales
        (["lable"], "x", "Did you mean 'label'"),
        (["ports", "in", "socket"], "xlr-female", "unknown connector 'xlr-female'"),
        (["ports", "in", "circuit"], "balanced-inputs", "Did you mean 'balanced-input'"),
        (["ports", "in", "impedence"], "1 ohm", "has no 'impedence'. Did you mean 'impedance'"),
        (["ports", "in", "impedance"], 2000, "is written like '2 kohm', not as 2000"),
        (["ports", "in", "signals"], ["left", "right"], "carries one signal, not left and right"),
        (["ports", "in", "signals"], ["right", "left"], "left and right, in this order"),
        (["controls", "gain", "scale"], "rotary-gian", "Did you mean 'rotary-gain'"),
        (["controls", "gain", "options"], ["a"], "either a range or options"),
        (["controls", "pad", "default"], "onn", "'onn' is none of the options. Did you mean 'on'"),
        (["controls", "pad", "words"], {"in": ["pad in"]}, "'in' is none of the options"),
        (["path", "from"], [{"port": "in", "generator": {"level": "0 dBu", "peak-to-rms": "3 dB"}}],
         "begins at a port, at a generator or at a mix"),
        (["parts", 0, "resistor"], ["in.2", "out.2"], "a part is one of"),
        (["parts", 0], {"resistor": ["in.2", "out.2"]}, "needs a value"),
        (["parts", 0], {"transformer": ["in.2", "in.3", "out.2", "out.3"], "ratio": "1"},
         "needs a ratio and a magnetising inductance"),
        (["powered-by", 0], {"phantom": "out"}, "its current and its minimum volts"),
        (["powered-by", 0], {"battery": "9 V", "mains": True}, "phantom, bias, battery or mains"),
        (["ends"], {"a": "xlr-f"}, "a cable has both ends and a map"),
        # names that lead nowhere
        (["ports", "link", "joined"], "inn", "no port 'inn'"),
        (["powered-by", 0, "phantom"], "output", "no port 'output'"),
        (["parts", 0, "wire"], ["in.1", "outt.1"], "no port 'outt'"),
        (["parts", 0, "wire"], ["in.1", "out.4"], "no pin 'out.4'; expected one of out.1, out.2"),
        (["parts", 0, "when"], {"padd": "on"}, "no control 'padd'"),
        (["parts", 0, "when"], {"pad": "onn"}, "no option 'onn'"),
        (["path", "stages", 0, "stage"], "in", "stage 'in' has the name of a port"),
        (["path", "stages", 0, "control"], "gian", "Did you mean 'gain'"),
        (["path", "stages", 0, "when"], {"gain": "on"}, "no option 'on'"),
        (["controls", "pad", "options", "on"], {"preamp.gian": "1 dB"}, "'preamp.gain'"),
        (["controls", "pad", "options", "on"], {"ch.in.imp": "1 dB"}, "no figure 'ch.in.imp'"),
        (["mix", 0, "from"], "ch.fadr", "no stage 'ch.fadr'"),
        (["mix", 0, "from"], "chh.fader", "no block 'chh'"),
        (["mix", 0, "to"], "buss", "no block 'buss'"),
        (["mix", 0, "control"], "sned", "no control 'sned'"),
        (["mix", 0, "from"], "ch", "no stage 'ch'; expected one of ch.fader"),
        (["mix", 0, "from"], "fader", "no stage 'fader'"),
        (["mix", 0, "to"], "ch", "no sum in block 'ch'; expected one of bus"),
        (["mix", 0, "law"], "pam", "no law 'pam'; expected one of pan. Did you mean 'pan'"),
        (["mix", 0, "law"], "pan", "no control ''"),
        (["mix", 0, "control"], "pad", "no knob or fader 'pad'"),
        (["mix", 0, "when"], {"padd": "on"}, "no control 'padd'"),
        (["mix", 0, "when"], {"pad": "onn"}, "no option 'onn'"),
        (["blocks", "bus", "path", "stages"], [], "no sum in block 'bus'"),
    ],
)  # fmt: skip
def test_what_leads_nowhere_is_refused(path: list[str | int], to: object, said: str) -> None:
    text = refusal(changed(PREAMP, *path, to=to))
    assert said in text
    assert text.startswith("gear type 'own', ")


@pytest.mark.parametrize(
    ("path", "to", "said"),
    [
        (["ends", "b"], "jack-tss", "Did you mean 'jack-ts'"),
        (["map", "a.4"], "b.tip", "no pin 'a.4'"),
        (["map", "a.3"], ["b.tip", "c.tip"], "no port 'c'"),
        (["map"], None, "a cable has both ends and a map"),
    ],
)
def test_cables_join_pins_that_are_there(path: list[str], to: object, said: str) -> None:
    assert said in refusal(changed(CABLE, *path, to=to))


def test_all_errors_of_an_entry_are_told_at_once() -> None:
    spoiled = changed(PREAMP, "lable", to="x")
    spoiled["ports"]["in"]["socket"] = "din"
    spoiled["controls"]["pad"]["default"] = "maybe"
    with pytest.raises(GearError, match="lable") as caught:
        GearBook({"own": spoiled}).entry("own")
    assert len(caught.value.errors) == 3
    lost = changed(PREAMP, "mix", 0, "to", to="nowhere")
    lost["ports"]["link"]["joined"] = "nowhere"
    with pytest.raises(GearError, match="nowhere") as caught:
        GearBook({"own": lost}).entry("own")
    assert len(caught.value.errors) == 2


def test_a_list_of_options_sets_no_figures() -> None:
    assert ControlEntry(options=["off", "on"], default="off").options == {"off": {}, "on": {}}


def test_a_repeated_control_is_numbered() -> None:
    control = ControlEntry(range=("off", "0 dB"), default="off", repeat=3)
    assert list(control.names("send")) == ["send1", "send2", "send3"]
    assert list(ControlEntry(range=("off", "0 dB"), default="off").names("send")) == ["send"]


def test_a_part_is_called_by_its_name_or_its_kind() -> None:
    assert PartEntry(wire=("a.1", "b.1")).called == "wire"
    assert PartEntry(name="across", resistor=("a.1", "b.1"), value="1 ohm").called == "across"


@pytest.mark.parametrize(
    ("power", "kind"),
    [
        (PowerEntry(phantom="out", current="4 mA", minimum="12 V"), "phantom"),
        (PowerEntry(battery="9 V"), "battery"),
        (PowerEntry(mains=True), "mains"),
    ],
)
def test_ways_of_being_fed(power: PowerEntry, kind: str) -> None:
    assert power.kind == kind
