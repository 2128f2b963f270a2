"""A socket that is only there while a switch stands so: the error says which."""

from __future__ import annotations

import pytest

from levelhead.errors import LevelheadError
from levelhead.gear.book import load_book
from levelhead.rig.build import build_rig
from levelhead.show.model import Cable, Item, Link, Show


def bridged(mode: str | None) -> Show:
    return Show(
        "bridge",
        items={"a": Item("a", "amplifier-bridgeable"), "b": Item("b", "loudspeaker-passive-12")},
        links=(Link({"a": "a.bridge", "b": "b.in"}, (Cable("cable-loudspeaker", 5.0),)),),
        settings={} if mode is None else {"a.mode": mode},
    )


@pytest.mark.parametrize("mode", [None, "stereo"])
def test_a_bridge_socket_in_stereo_names_the_switch(mode: str | None) -> None:
    with pytest.raises(LevelheadError, match=r"no port 'a\.bridge'.* a\.mode at bridge"):
        build_rig(bridged(mode), load_book())


def test_in_bridge_it_is_there() -> None:
    assert "a.bridge" in build_rig(bridged("bridge"), load_book()).ports
