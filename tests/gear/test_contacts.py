"""Contacts, inserts and switches in entries of the gear book: what they become, what is refused."""

from __future__ import annotations

from typing import Any

import pytest

from levelhead.errors import GearError
from levelhead.gear.book import GearBook, load_book
from tests.bench import types_of

OWN = """
own:
  label: Channel with an insert
  kind: processor
  source: measured
  powered-by: [{battery: 9 V, switch: [out.ring, out.sleeve]}]
  ports:
    in: {socket: jack-trs, role: in, circuit: balanced-input, impedance: 20 kohm}
    right: {socket: jack-trs, role: in, circuit: balanced-input, impedance: 20 kohm}
    insert: {socket: jack-trs, role: insert, circuit: insert-jack, wiring: wired, send: 75 ohm,
             return: 10 kohm}
    out: {socket: jack-switched, role: out, circuit: single-ended-output, impedance: 100 ohm}
  contacts: [{joins: [in.tip, right.tip], empty: [right], when: {link: on}}]
  controls:
    wired: {options: [tip-send, ring-send], default: tip-send}
    link: {options: [on, off], default: on}
  path:
    from: in
    stages: [{stage: first}, {stage: back, insert: insert}]
    to: out
"""


def changed(path: list[Any], value: Any) -> GearBook:
    """The type above with one value put in place of another, or taken away."""
    raw = types_of.__wrapped__(OWN)
    inner: Any = raw["own"]
    for key in path[:-1]:
        inner = inner[key]
    inner[path[-1]] = value
    return load_book().extended(raw)


def plan(**chosen: str) -> Any:
    return load_book().extended(types_of(OWN)).plan("own", chosen, {}).blocks[0].plan


@pytest.mark.parametrize(("wired", "send"), [("tip-send", "tip"), ("ring-send", "ring")])
def test_the_switch_says_on_which_contact_an_insert_sends(wired: str, send: str) -> None:
    port = plan(wired=wired).ports["insert"]
    assert port.signals == ("send", "return")
    assert port.pins_of("send").plus == send
    assert {port.pins_of(name).plus for name in port.signals} == {"tip", "ring"}


def test_an_insert_has_its_contact_without_being_told() -> None:
    pins = [contact.pins for contact in plan().contacts]
    assert pins == [
        (("in", "tip"), ("right", "tip")),
        (("insert", "tip"), ("insert", "ring")),
    ]


def test_a_switch_may_take_a_contact_away() -> None:
    assert len(plan(link="off").contacts) == 1


def test_a_battery_names_the_pins_of_its_switch() -> None:
    (way,) = load_book().extended(types_of(OWN)).plan("own", {}, {}).powered_by
    assert way.switch == (("out", "ring"), ("out", "sleeve"))


@pytest.mark.parametrize(
    ("path", "value", "message"),
    [
        (["contacts", 0, "joins"], ["in.tip", "wright.tip"], "no port 'wright'"),
        (["contacts", 0, "joins"], ["in.tip", "right.4"], "no pin 'right.4'"),
        (["contacts", 0, "empty"], ["rigth"], "no port 'rigth'"),
        (["contacts", 0, "empty"], [], "at least 1 item"),
        (["contacts", 0, "when"], {"link": "of"}, "no option 'of'"),
        (["path", "stages", 1, "insert"], "in", "no insert socket 'in'"),
        (["path", "stages", 1, "insert"], ["out", "int"], "no port 'int'"),
        (["path", "stages", 0, "insert"], "insert", "an insert needs a stage before it"),
        (["ports", "insert", "wiring"], "wire", "no control 'wire'"),
        (["controls", "wired", "options"], ["tip-send", "other"], "no wiring 'other'"),
        (["powered-by", 0, "switch"], ["out.rng", "out.sleeve"], "no pin 'out.rng'"),
        (["powered-by", 0], {"mains": True, "switch": ["out.ring", "out.sleeve"]}, "a battery"),
        (["path", "mono"], {"empty": "out"}, "only a path with sides"),
    ],
)
def test_names_that_lead_nowhere_are_refused(path: list[Any], value: Any, message: str) -> None:
    with pytest.raises(GearError, match=message):
        changed(path, value).entry("own")


def test_a_mono_sum_names_a_socket_that_is_there() -> None:
    raw = types_of.__wrapped__("""
keys:
  like: keyboard-stereo
  label: Keys
  path: {mono: {empty: out-rigth}}
""")
    with pytest.raises(GearError, match="no port 'out-rigth'"):
        load_book().extended(raw).entry("keys")
