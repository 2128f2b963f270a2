"""Published and reckoned values of direct current: coils, outputs, bias, charge that is let go."""

from __future__ import annotations

import pytest

from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.gear.book import load_book
from levelhead.rig.build import build_rig
from levelhead.show.lengths import checked_cable
from levelhead.show.model import Item, Link, Show


def rig(
    items: dict[str, str | Item],
    link: tuple[str, str, str],  # cables with a semicolon between them
    settings: dict[str, str] | None = None,
    pins: dict[str, str] | None = None,
) -> Solution:
    """Two items and one link (from, to, cable; nothing for the usual one), solved."""
    start, end, cable = link
    via = tuple(checked_cable(each) for each in cable.split("; ") if each)
    show = Show(
        "direct current",
        items={
            name: Item(name, each) if isinstance(each, str) else each
            for name, each in items.items()
        },
        links=(Link({"a": start, "b": end}, via, pins or {}),),
        settings=settings or {},
    )
    return solve(build_rig(show, load_book()))


PHANTOM = {"d.phantom": "on"}


def coil(pins: dict[str, str]) -> Solution:
    """A ribbon of 30 ohm of winding on a desk with 48 V."""
    mic = Item("m", "mic-ribbon-passive", figures={"out.winding-resistance": "30 ohm"})
    link = ("m.out", "d.ch1.mic", "cable-xlr 10 m")
    return rig({"m": mic, "d": "mixer-compact"}, link, PHANTOM, pins)


@pytest.mark.reference("IEC 61938: both legs stand alike, so that nothing flows between them")
def test_a_coil_on_a_sound_cable_carries_nothing() -> None:
    found = coil({}).dc_at("m.out")
    assert found is not None
    assert found.current_a == pytest.approx(0, abs=1e-6)
    assert found.common_v == pytest.approx(48, abs=0.01)


@pytest.mark.reference(
    "Ohm's law: 48 V, 6.8 kohm and 30 ohm of winding to the grounded leg, 7.0 mA"
)
def test_a_grounded_leg_drives_current_through_the_coil() -> None:
    found = coil({"b.3": "1"}).dc_at("m.out")
    assert found is not None
    assert 1e3 * found.current_a == pytest.approx(1e3 * 48 / 6830, abs=0.02)


@pytest.mark.reference("Ohm's law: an open leg leaves the coil no way back")
def test_an_open_leg_drives_nothing() -> None:
    found = coil({"3": "open"}).dc_at("m.out")
    assert found is not None
    assert found.current_a == pytest.approx(0, abs=1e-6)


@pytest.mark.reference("energy of a capacitor: 47 uF at 48 V hold 54 mJ (CV-119)")
def test_what_a_blocking_capacitor_lets_go() -> None:
    """Through 30 ohm of winding, 10 ohm before the amplifier and some contact: over an ampere."""
    found = coil({}).dc_at("m.out")
    assert found is not None
    assert 1e3 * found.let_go_j == pytest.approx(54, abs=0.5)
    assert 1e3 * found.let_go_c == pytest.approx(2.256, abs=0.01)
    assert found.surge_a == pytest.approx(48 / 42, rel=0.05)


@pytest.mark.reference("Ohm's law: 48 V through 6.8 kohm into 10 ohm, each side (CV-119)")
def test_phantom_into_a_phone() -> None:
    """7.05 mA into each side of an output that stands 1 mA."""
    solution = rig(
        {"p": "phone", "d": "mixer-compact"},
        ("p.headset", "d.ch1.mic", "lead-mini-xlr 2 m"),
        PHANTOM,
    )
    sides = [solution.dc_at(f"p.headset.{side}") for side in ("left", "right")]
    for side in sides:
        assert side is not None
        assert 1e3 * side.current_a == pytest.approx(7.05, abs=0.02)
    stands_a = solution.rig.ports["p.headset"].plan.figure("back-fed")
    assert stands_a == pytest.approx(1e-3)


@pytest.mark.reference("Ohm's law: 2.5 V through 2.2 kohm, for two channels, and 150 ohm of coil")
def test_bias_through_a_dynamic_microphone() -> None:
    """The lead joins tip and ring, so that both feeds meet: 2.0 mA (1.06 mA of one alone)."""
    mic = Item("m", "mic-vocal-dynamic", figures={"out.impedance": "150 ohm"})
    solution = rig({"m": mic, "r": "recorder-minijack"}, ("m.out", "r.mic", ""))
    found = solution.dc_at("m.out")
    assert found is not None
    assert 1e3 * found.current_a == pytest.approx(1e3 * 2.5 / 1250, abs=0.02)


@pytest.mark.reference("Ohm's law: 0.3 mA in 2.2 kohm leave 1.84 of 2.5 V, 4.34 of 5 V")
@pytest.mark.parametrize(
    ("into", "port", "left_v"),
    [("recorder-minijack", "mic", 1.84), ("adaptor-plugin-power", "in", 4.34)],
)
def test_bias_at_a_capsule(into: str, port: str, left_v: float) -> None:
    solution = rig({"m": "mic-lavalier-plugin", "x": into}, ("m.plug", f"x.{port}", ""))
    arrival = solution.phantom_at("m")
    assert arrival is not None
    assert arrival.volts == pytest.approx(left_v, abs=0.01)
    assert "m" not in solution.dead


@pytest.mark.reference("Ohm's law: 48 V less 0.3 mA in 6.8 kohm, 46 V on a capsule for 10 V")
def test_phantom_at_a_capsule_for_bias() -> None:
    """By a plain adaptor the whole of it arrives."""
    solution = rig(
        {"m": "mic-lavalier-plugin", "d": "mixer-compact"},
        ("m.plug", "d.ch1.mic", "cable-mini 1 m; adaptor-mini-xlr"),
        PHANTOM,
    )
    found = solution.dc_at("m.plug")
    assert found is not None
    assert found.volts == pytest.approx(46, abs=0.1)
    assert 1e3 * found.current_a == pytest.approx(0.3, abs=1e-3)


@pytest.mark.reference("no supply, no current (Ohm's law)")
def test_a_capsule_without_bias_is_dead() -> None:
    solution = rig(
        {"m": "mic-lavalier-plugin", "r": "recorder-minijack"},
        ("m.plug", "r.mic", ""),
        {"r.plug-in-power": "off"},
    )
    assert solution.dead == {"m"}


@pytest.mark.reference("four-pole orders in use: ground then microphone, microphone then ground")
def test_a_headset_gets_its_bias_only_in_the_order_it_was_made_for() -> None:
    """0.25 mA in 2.2 kohm leave 1.65 of 2.2 V; the other order leaves nothing."""
    arrivals = []
    for phone in ("phone", "phone-ground-last"):
        solution = rig({"h": "headset-trrs", "p": phone}, ("p.headset", "h.in", ""))
        arrivals.append(solution.phantom_at("h"))
    usual, reversed_ = arrivals
    assert usual is not None
    assert usual.volts == pytest.approx(1.65, abs=0.01)
    assert reversed_ is not None
    assert reversed_.volts < 0.01


@pytest.mark.reference("IEC 61938 and Ohm's law: P48 leaves 34.4 V at 4 mA (CV-32)")
def test_ceilings_fall_with_the_volts() -> None:
    """A box of 4 mA made for P48, on a supply of 36 V: 22.4 of 34.4 V, 3.7 dB less."""
    items: dict[str, str | Item] = {
        "m": Item("m", "di-active", figures={"powered-by.current": "4 mA"}),
        "d": Item("d", "mixer-compact"),
    }
    low = Item("d", "mixer-compact", figures={"ch.mic.phantom": "36 V"})
    link = ("m.out", "d.ch1.mic", "cable-xlr 2 m")
    whole, starved = (
        rig({**items, "d": desk}, link, PHANTOM).levels("m.buffer").ceiling
        for desk in (items["d"], low)
    )
    assert whole is not None
    assert starved is not None
    assert starved - whole == pytest.approx(-3.73, abs=0.05)
