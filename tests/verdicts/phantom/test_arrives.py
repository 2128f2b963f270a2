"""Phantom power: does what needs it get enough?"""

from __future__ import annotations

import pytest

from levelhead.chain.solution import Solution
from levelhead.verdicts.told.severity import Severity
from tests.chain.bench import Items
from tests.verdicts.cases import case, found, the
from tests.verdicts.shows import worst_of


def fed(minimum: str, *, phantom: str = "on", **settings: str) -> Solution:
    """A box of 4 mA at a desk: 48 V less 4 mA through 3.4 kohm are 34.4 V."""
    items: Items = {
        "t": "tone",
        "b": ("powered", {"powered-by.minimum": minimum}),
        "d": "phantom-desk",
    }
    told = {"d.phantom": phantom, **{f"b.{name}": text for name, text in settings.items()}}
    return case(items, [("t.out", "b.in"), ("b.out", "d.ch1.mic")], settings=told)


@pytest.mark.parametrize(
    ("minimum", "severity", "volts"),
    [
        ("20 V", Severity.FINE, 34.4),
        ("34.3 V", Severity.CARE, 34.4),  # just this side, and the supply may be 44 V
        ("34.6 V", Severity.FAILS, 34.46),  # just that side: 8.65 kohm behind 3.4 kohm
        ("40 V", Severity.FAILS, 35.82),  # 10 kohm: below its least volts a load is resistive
    ],
)
def test_the_volts_that_arrive_decide(minimum: str, severity: Severity, volts: float) -> None:
    finding = the(fed(minimum), "phantom.too-low")
    assert finding.severity is severity
    assert finding.why[0].value == pytest.approx(volts, abs=0.05)
    assert finding.basis == "IEC 61938"


def test_none_at_all_is_dead_for_certain() -> None:
    finding = the(fed("20 V", phantom="off"), "phantom.missing")
    assert finding.severity is Severity.FAILS
    assert finding.what == "b needs phantom power and gets none: it is dead."
    assert (finding.p_holds, finding.flips, finding.settle_by) == (0.0, (), None)


def test_a_fitted_battery_needs_none() -> None:
    for phantom in ("on", "off"):
        solution = fed("20 V", phantom=phantom, battery="fitted")
        assert [*found(solution, "phantom.missing"), *found(solution, "phantom.too-low")] == []


def test_what_is_not_plugged_is_not_judged() -> None:
    solution = case({"t": "tone", "b": "powered", "d": "phantom-desk"}, [("t.out", "b.in")])
    assert found(solution, "phantom.missing") == []


def test_a_box_with_only_its_other_output_plugged_is_dead() -> None:
    """A stereo DI lives on the phantom power of its left output (common practice)."""
    links = """
        items:
          keys: {type: keyboard-stereo}
          di: {type: di-active-stereo}
          desk: {type: mixer-compact}
        settings: {desk: {phantom: on}}
        links:
          - {from: keys.out-left, to: di.in-left, via: [cable-jack 3 m]}
          - {from: keys.out-right, to: di.in-right, via: [cable-jack 3 m]}
          - {from: di.out-right, to: desk.ch2.mic, via: [cable-xlr 5 m]}
    """
    both = f"{links}      - {{from: di.out-left, to: desk.ch1.mic, via: [cable-xlr 5 m]}}\n"
    cases = ((links, "phantom.missing"), (both, "phantom.too-low"))
    dead, fed = (worst_of(text, code) for text, code in cases)
    assert dead is not None
    assert dead.severity is Severity.FAILS
    assert fed is not None
    assert fed.severity is Severity.FINE


def test_supply_current_and_least_volts_are_the_doubts() -> None:
    finding = the(fed("30 V"), "phantom.too-low")
    assert finding.state is not None
    assert {doubt.input for doubt in finding.state.doubts} == {
        "phantom voltage of d ch1 mic input",
        "current of b",
        "least volts of b",
    }
    assert 0.5 < finding.p_holds < 1.0


def test_the_spread_of_the_supply_is_that_of_its_range() -> None:
    """44 to 52 V hold 95 %: 0.36 dB of 48 V, which moves the volts by 2.0 V for each spread."""
    finding = the(fed("30 V"), "phantom.too-low")
    assert finding.state is not None
    supply = next(each for each in finding.state.doubts if each.input.startswith("phantom voltage"))
    assert supply.weight == pytest.approx(2.0, abs=0.05)


def test_passive_gear_on_phantom_is_not_judged() -> None:
    items: Items = {"t": "tone", "d": "phantom-desk"}
    solution = case(items, [("t.out", "d.ch1.mic")], settings={"d.phantom": "on"})
    assert found(solution, "phantom.missing") == []


@pytest.mark.parametrize(
    ("phantom", "pins", "is_told"),
    [
        ("on", "{a.3: open}", True),
        ("on", "{a.2: open}", True),
        ("on", "{}", False),
        ("on", "{a.1: open}", False),
        ("off", "{a.3: open}", False),
    ],
)
def test_a_leg_that_leads_nowhere_under_phantom(phantom: str, pins: str, *, is_told: bool) -> None:
    """No direct current flows, so that only the signal shows it; the wire is what has to change."""
    show = f"""
    items: {{mic: {{type: mic-ribbon-passive}}, desk: {{type: mixer-compact}}}}
    links: [{{from: mic.out, to: desk.ch1.mic, via: [cable-xlr 10 m], pins: {pins}}}]
    settings: {{desk: {{phantom: "{phantom}"}}}}
    """
    finding = worst_of(show, "phantom.one-leg")
    assert (finding is not None and finding.severity is Severity.FAILS) == is_told


def test_a_supply_behind_a_transformer_is_as_good_as_none() -> None:
    """Only the isolated side of a splitter feeds: no direct current comes through."""
    found = worst_of(
        """
        items:
          c: {type: mic-vocal-condenser}
          sp: {type: splitter-passive}
          a: {type: mixer-compact}
          b: {type: mixer-compact}
        links:
          - {from: c.out, to: sp.in, via: [cable-xlr 5 m]}
          - {from: sp.direct, to: a.ch1.mic, via: [cable-xlr 5 m]}
          - {from: sp.isolated, to: b.ch1.mic, via: [cable-xlr 5 m]}
        settings: {b: {phantom: on}}
        """,
        "phantom.too-low",
    )
    assert found is not None
    assert "gets none" in found.what
    assert found.flips == ()
