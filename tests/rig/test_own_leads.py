"""Plugs of leads that hang on the gear: microphones to clip on, headphones."""

from __future__ import annotations

import pytest

from levelhead.gear.book import load_book
from levelhead.rig.build import build_rig
from levelhead.rig.model import Rig
from levelhead.show.document import parse_show


def rig(items: str, *links: str) -> Rig:
    lines = "".join(f"\n  - {{{link}}}" for link in links)
    text = f"levelhead: 1\nshow: {{name: own leads}}\nitems: {{{items}}}\nlinks:{lines}\n"
    return build_rig(parse_show(text, "own leads").show, load_book())


@pytest.mark.parametrize("via", ["adaptor-mini-xlr, cable-xlr 10 m", "adaptor-mini-xlr"])
def test_the_plug_of_a_microphone_goes_into_an_adaptor(via: str) -> None:
    """Plain adaptors for such microphones have a socket (common practice)."""
    items = "lapel: {type: mic-lavalier-plugin}, desk: {type: mixer-compact}"
    built = rig(items, f"from: lapel.plug, to: desk.ch1.mic, via: [{via}]")
    assert built.misfits == ()
    assert built.plugged("lapel.plug")


def test_headphones_with_the_small_plug_go_into_the_large_socket_by_an_adaptor() -> None:
    items = "desk: {type: mixer-compact-8}, cans: {type: headphones-32}"
    assert rig(items, "from: desk.phones, to: cans.in, via: [adaptor-mini-jack]").misfits == ()


def test_a_cable_to_it_stands_for_its_own_lead() -> None:
    items = "lapel: {type: mic-lavalier-plugin}, rec: {type: recorder-minijack}"
    assert rig(items, "from: lapel.plug, to: rec.mic, via: [cable-mini 2 m]").misfits == ()


def test_other_sockets_are_sockets_still() -> None:
    """Without a plug between them nothing goes together."""
    items = "phone: {type: phone}, desk: {type: mixer-compact}"
    built = rig(items, "from: phone.headset, to: desk.ch1.mic, via: [adaptor-mini-xlr]")
    assert len(built.misfits) == 1
