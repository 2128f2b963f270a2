"""How plugs meet sockets along a link."""

from __future__ import annotations

import pytest

from levelhead.errors import ShowError
from levelhead.rig.model import Misfit, Rig, RigLink
from levelhead.show.model import Link
from tests.bench import fan, link, on_bench

GEAR = """
balanced:
  label: XLR both ways
  kind: box
  source: measured
  ports: {in: {socket: xlr-f, role: in}, out: {socket: xlr-m, role: out}}
jacks:
  label: Jacks
  kind: box
  source: measured
  ports:
    in: {socket: jack-trs, role: in}
    mono: {socket: jack-ts, role: in}
    out: {socket: jack-trs, role: out}
    left: {socket: jack-ts, role: in}
    right: {socket: jack-ts, role: in}
    phones: {socket: mini-trs, role: out, signals: [left, right]}
jack-plug-socket:
  label: Jack coupler
  kind: adaptor
  source: measured
  ends: {a: jack-trs socket, b: jack-trs socket}
  map: {a.tip: b.tip, a.ring: b.ring, a.sleeve: b.sleeve}
crooked:
  label: Lead with a different plug at each end
  kind: cable
  source: measured
  ends: {far: jack-ts, near: xlr-m}
  wire: {core: 85 mohm/m}
  map: {far.tip: near.2, far.sleeve: [near.1, near.3]}
"""
ITEMS = {"x": "balanced", "y": "balanced", "j": "jacks", "k": "jacks"}


def plugged(*links: str | Link) -> Rig:
    """The rig of these links."""
    return on_bench(GEAR, ITEMS, links).rig


def only(rig: Rig) -> RigLink:
    """Its one link, which goes together."""
    assert rig.misfits == ()
    (found,) = rig.links
    return found


def misfit(*links: str | Link) -> Misfit:
    """The one link that does not."""
    rig = plugged(*links)
    assert rig.links == ()
    (found,) = rig.misfits
    return found


def touching(found: RigLink, address: str) -> dict[str, str]:
    """Pins of a port, each with the cable's end and pin that touches it."""
    pairs = [*found.contacts, *((b, a) for a, b in found.contacts)]
    return {
        str(port[2]): f"{cable[3]}.{cable[4]}"
        for port, cable in pairs
        if port[:2] == ("port", address) and cable[0] == "cable"
    }


# ---------------------------------------------------------------- orientation


@pytest.mark.parametrize(("start", "end"), [("x.out", "y.in"), ("y.in", "x.out")])
def test_a_cable_is_turned_round_where_that_makes_it_fit(start: str, end: str) -> None:
    """The female end of a microphone cable meets the male socket, whichever is named first."""
    found = only(plugged(f"{start} > {end}: cable-xlr 5 m"))
    assert touching(found, "x.out") == {"1": "a.1", "2": "a.2", "3": "a.3"}
    assert touching(found, "y.in") == {"1": "b.1", "2": "b.2", "3": "b.3"}


def test_names_of_ends_mean_nothing_for_the_way_round() -> None:
    found = only(plugged("j.mono > x.in: crooked 2 m"))
    assert touching(found, "j.mono") == {"tip": "far.tip", "sleeve": "far.sleeve"}
    assert touching(found, "x.in") == {"1": "near.1", "2": "near.2", "3": "near.3"}


def test_each_cable_of_a_row_is_turned_so_that_the_next_one_fits() -> None:
    found = only(plugged("x.out > y.in: cable-xlr 5 m, cable-xlr 3 m, bench-lead"))
    assert [segment.length_m for segment in found.segments] == [5, 3, 0]
    between = [pair for pair in found.contacts if {pair[0][0], pair[1][0]} == {"cable"}]
    assert len(between) == 6


def test_a_lead_with_ends_of_its_own_goes_where_they_are_named() -> None:
    ends = {"a": "j.phones", "left": "k.left", "right": "k.right"}
    found = only(plugged(fan(ends, "lead-mini-two-jacks 2 m")))
    assert touching(found, "k.right") == {"tip": "right.tip", "sleeve": "right.sleeve"}
    assert touching(found, "j.phones").keys() == {"tip", "ring", "sleeve"}


def test_a_mono_plug_joins_ring_and_sleeve_of_its_socket() -> None:
    found = only(plugged("j.out > k.in: cable-jack 3 m"))
    assert touching(found, "k.in")["ring"] == touching(found, "k.in")["sleeve"]


# ---------------------------------------------------------------- what does not go together


def test_a_plug_that_does_not_fit_its_first_socket() -> None:
    found = misfit("j.mono > y.in: cable-xlr 5 m")
    assert (found.socket, found.at) == ("jack-ts", "j.mono")


def test_a_plug_that_does_not_fit_its_last_socket() -> None:
    found = misfit("x.out > j.in: cable-xlr 5 m")
    assert (found.plug, found.socket, found.at) == ("xlr-m", "jack-trs", "j.in")


def test_two_jack_plugs_do_not_go_together_without_a_coupler() -> None:
    """XLR cables do: one end of them is a socket."""
    rows = "cable-jack-balanced 3 m, cable-jack-balanced 3 m"
    assert misfit(f"j.out > k.in: {rows}").plug == "jack-trs"
    coupled = rows.replace(", ", ", jack-plug-socket, ")
    assert len(only(plugged(f"j.out > k.in: {coupled}")).segments) == 3


def test_two_ends_of_one_sex_do_not_go_together() -> None:
    assert misfit("x.out > y.out: cable-xlr 3 m").at == "y.out"


def test_a_lead_without_such_an_end() -> None:
    ends = {"a": "j.phones", "lefft": "k.left", "right": "k.right"}
    said = (
        r"no end 'lefft' on Y lead.*expected ends of that lead: a, left, right.*Did you mean 'left'"
    )
    with pytest.raises(ShowError, match=said):
        plugged(fan(ends, "lead-mini-two-jacks 2 m"))


def test_an_end_in_the_wrong_socket() -> None:
    ends = {"a": "j.phones", "left": "x.in", "right": "k.right"}
    assert misfit(fan(ends, "lead-mini-two-jacks 2 m")).at == "x.in"


def test_a_link_that_no_cable_fits() -> None:
    found = misfit(Link({"a": "x.out", "b": "j.phones", "c": "k.in"}))
    assert found.at == "j.phones"


def test_a_lead_with_ends_of_its_own_stands_alone() -> None:
    ends = {"a": "j.phones", "left": "k.left", "right": "k.right"}
    via = link("x.x > y.y: lead-mini-two-jacks 2 m, cable-jack 3 m").via
    with pytest.raises(ShowError, match="2 cables in a row, where a lead has ends of its own"):
        plugged(Link(ends, via))


def test_an_unknown_cable_is_refused_at_its_link() -> None:
    with pytest.raises(ShowError, match=r"link x\.out to y\.in.*unknown gear type 'cable-xrl'"):
        plugged("x.out > y.in: cable-xrl 3 m")
    with pytest.raises(ShowError, match="'di-passive' is no cable"):
        plugged("x.out > y.in: di-passive")
