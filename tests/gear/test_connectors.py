"""Connectors: what goes into what, and which pins touch."""

from __future__ import annotations

import pytest

from levelhead.gear.connectors import CONNECTORS, mates, signal_pins

PAIRS = [(socket, plug) for socket in CONNECTORS for plug in CONNECTORS[socket].fits]


@pytest.mark.parametrize(("socket", "plug"), PAIRS)
def test_whatever_goes_in_touches_with_pins_that_are_there(socket: str, plug: str) -> None:
    """And every pin of the plug touches something, or the socket has no contact for it."""
    met = mates(socket, plug)
    assert met
    assert set(met) <= set(CONNECTORS[socket].pins)
    assert set(met.values()) <= set(CONNECTORS[plug].pins)
    spare = set(CONNECTORS[plug].pins) - set(met.values())
    assert not spare or len(CONNECTORS[plug].pins) > len(CONNECTORS[socket].pins)


OTHER_ORDER = ("mini-trrs-ground-last", "mini-trrs")  # plugs have the usual one


@pytest.mark.parametrize(("socket", "plug"), [pair for pair in PAIRS if pair != OTHER_ORDER])
def test_ground_meets_ground(socket: str, plug: str) -> None:
    met = mates(socket, plug)
    assert met is not None
    assert met[CONNECTORS[socket].ground] == CONNECTORS[plug].ground


def test_where_the_orders_of_four_poles_differ_ground_meets_the_microphone() -> None:
    met = mates(*OTHER_ORDER)
    assert met is not None
    socket, plug = (CONNECTORS[each] for each in OTHER_ORDER)
    assert met[socket.ground] == plug.microphone
    assert met[signal_pins(socket.name, "microphone").plus] == plug.ground


def test_what_does_not_fit_does_not_go_in() -> None:
    assert mates("xlr-f", "xlr-f") is None
    assert mates("xlr-m", "jack-ts") is None
    assert mates("phono", "jack-ts") is None
    assert mates("jack-ts", "mini-ts") is None


def test_a_mono_plug_shorts_the_ring_of_a_stereo_socket() -> None:
    """Common practice: a long sleeve lies on both contacts."""
    assert mates("jack-trs", "jack-ts") == {"tip": "tip", "ring": "sleeve", "sleeve": "sleeve"}


def test_a_stereo_plug_in_a_mono_socket_leaves_its_ring_open() -> None:
    assert mates("jack-ts", "jack-trs") == {"tip": "tip", "sleeve": "sleeve"}


def test_pins_of_a_signal() -> None:
    balanced, left, right = (signal_pins("jack-trs", each) for each in (None, "left", "right"))
    assert (balanced.plus, balanced.minus, balanced.ground) == ("tip", "ring", "sleeve")
    assert (left.plus, left.minus) == ("tip", "sleeve")
    assert (right.plus, right.minus) == ("ring", "sleeve")


def test_xlr_is_wired_as_the_standard_says() -> None:
    """IEC 60268-12: 1 screen, 2 hot, 3 cold."""
    for name in ("xlr-f", "xlr-m", "combo"):
        pins = signal_pins(name)
        assert (pins.plus, pins.minus, pins.ground) == ("2", "3", "1")


@pytest.mark.parametrize("name", CONNECTORS)
def test_a_connector_names_pins_that_it_has(name: str) -> None:
    connector = CONNECTORS[name]
    assert {connector.plus, connector.minus, connector.ground} <= set(connector.pins)
    assert set(connector.fits) <= CONNECTORS.keys()
    assert connector.is_balanced == (connector.minus != connector.ground)
