"""Players, wireless sets, recorders and digital sockets, where a range says too little."""

from __future__ import annotations

import pytest

from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.errors import GearError
from levelhead.gear.book import load_book
from levelhead.rig.build import build_rig
from levelhead.show.model import Cable, Item, Link, Show, Source

CARRIED = {
    "digital-out-aes3.out": "aes3",
    "digital-in-aes3.in": "aes3",
    "digital-out-spdif.out": "spdif",
    "digital-in-spdif.in": "spdif",
    "player-pro.digital": "aes3",
    "de-embedder.digital": "spdif",
    "mixer-digital-32.spdif-in": "spdif",
    "mixer-digital-32.net": "network",
    "stagebox-digital-16.net": "network",
    "intercom-party-line.line": "intercom",
    "lighting-data.data": "lighting-data",
    "player-pro.out-left": "audio",
    "mixer-compact.aux.out": "audio",
}


# ---------------------------------------------------------------- wireless


def wireless(type_id: str, distance_m: float, settings: dict[str, str]) -> Solution:
    """A wireless set in front of a loud singer, on the line input of a mixer."""
    show = Show(
        "wireless",
        items={"set": Item("set", type_id), "desk": Item("desk", "mixer-compact")},
        sources={"anna": Source("anna", "voice-singer-loud", "set", distance_m)},
        links=(
            Link({"a": "set.out", "b": "desk.ch1.line"}, (Cable("lead-xlr-jack-balanced", 3.0),)),
            Link({"a": "set.jack", "b": "desk.ch2.line"}, (Cable("cable-jack", 3.0),)),
        ),
        settings=settings,
    )
    return solve(build_rig(show, load_book()))


def test_sensitivity_decides_whether_a_loud_singer_fits_the_deviation() -> None:
    """Peaks of 130 dB SPL against 116 dB SPL at full sensitivity: only turned down do they fit."""
    up = wireless("wireless-handheld", 0.05, {"set.sensitivity": "0 dB"}).levels("set.deviation")
    down = wireless("wireless-handheld", 0.05, {"set.sensitivity": "-30 dB"}).levels(
        "set.deviation"
    )
    assert up.headroom is not None
    assert down.headroom is not None
    assert up.headroom < 0 < down.headroom
    assert down.headroom - up.headroom == pytest.approx(30.0, abs=0.01)


def test_full_deviation_stands_at_its_sound_level() -> None:
    """116 dB SPL at full sensitivity: 20 lg (p / 20 uPa) of the voltage at full deviation."""
    solution = wireless("wireless-handheld", 0.05, {"set.sensitivity": "0 dB"})
    heard = solution.levels("anna").nominal
    levels = solution.levels("set.deviation")
    assert heard is not None
    assert levels.nominal is not None
    plan = load_book().plan("wireless-handheld", {}, {})
    full = plan.block("").plan.paths[0].stages[1].ceiling
    assert full is not None
    sensitivity = plan.block("").plan.paths[0].stages[0].ratio
    assert sensitivity is not None
    assert full.value / sensitivity.value == pytest.approx(20e-6 * 10 ** (116 / 20), rel=0.02)


def test_one_voice_leaves_by_both_sockets_of_a_receiver() -> None:
    """The jack stands 6 dB below the XLR on its line position, mic level 26 dB."""
    line = wireless("wireless-handheld", 0.05, {"set.sensitivity": "-20 dB"})
    xlr, jack = (line.levels(f"set.{each}.output").nominal for each in ("xlr", "jack-amplifier"))
    assert xlr is not None
    assert jack is not None
    assert xlr - jack == pytest.approx(6.0, abs=0.01)
    settings = {"set.sensitivity": "-20 dB", "set.output": "mic"}
    mic = wireless("wireless-handheld", 0.05, settings).levels("set.xlr.output").nominal
    assert mic is not None
    assert xlr - mic == pytest.approx(26.0, abs=0.01)


# ---------------------------------------------------------------- players and recorders


def left_of(type_id: str, port: str, settings: dict[str, str]) -> float | None:
    """Level of a player's left output into a recorder."""
    show = Show(
        "player",
        items={"player": Item("player", type_id), "rec": Item("rec", "recorder-line")},
        links=(Link({"a": f"player.{port}", "b": "rec.in-left"}, (Cable("cable-phono", 1.0),)),),
        settings=settings,
    )
    return solve(build_rig(show, load_book())).levels("rec.converter-left").nominal


def test_a_muted_de_embedder_is_silent() -> None:
    assert left_of("de-embedder", "out-left", {}) is not None
    assert left_of("de-embedder", "out-left", {"player.sound": "mute"}) is None


def test_a_recorder_is_full_where_its_input_is() -> None:
    """-10 dBV stands 16 dB below full scale: media player and recorder agree on +6 dBV."""
    assert left_of("player-media", "out-left", {}) == pytest.approx(-16.4, abs=0.5)


def test_the_halves_of_a_combined_socket_share_one_hole() -> None:
    ports = load_book().plan("recorder-combo", {}, {}).block("ch1").plan.ports
    assert ports["mic"].hole == ports["line"].hole


def test_a_stereo_headphone_output_drives_both_ears() -> None:
    show = Show(
        "ears",
        items={"player": Item("player", "laptop"), "ears": Item("ears", "headphones-32")},
        links=(Link({"a": "player.phones", "b": "ears.in"}, (Cable("cable-mini", 1.0),)),),
    )
    solution = solve(build_rig(show, load_book()))
    left, right = (solution.levels(f"ears.driver-{side}").nominal for side in ("left", "right"))
    assert left is not None
    assert left == pytest.approx(right, abs=0.01)


# ---------------------------------------------------------------- what a socket carries


@pytest.mark.parametrize(("address", "carried"), CARRIED.items())
def test_a_socket_says_what_it_carries(address: str, carried: str) -> None:
    type_id, _, local = address.partition(".")
    block, _, port = local.rpartition(".")
    assert load_book().plan(type_id, {}, {}).block(block).plan.ports[port].carries == carried


def test_what_a_socket_may_carry_is_a_closed_list() -> None:
    raw = {"odd": {"like": "digital-out-aes3", "ports": {"out": {"carries": "steam"}}}}
    with pytest.raises(GearError, match="carries"):
        load_book().extended(raw).entry("odd")


def test_numbers_on_an_audio_input_are_no_sound() -> None:
    """A digital output takes no path: nothing is heard, and nothing breaks."""
    show = Show(
        "wrong",
        items={"cd": Item("cd", "digital-out-aes3"), "desk": Item("desk", "mixer-compact")},
        links=(Link({"a": "cd.out", "b": "desk.ch1.mic"}, (Cable("cable-xlr", 3.0),)),),
    )
    assert solve(build_rig(show, load_book())).levels("desk.ch1.preamp").nominal is None
