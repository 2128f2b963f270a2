"""Harm by level: what an output can deliver against what an input survives."""

from __future__ import annotations

import math

import pytest

from levelhead.chain.solution import Solution
from levelhead.show.model import Cable, Item, Link, Show
from levelhead.verdicts.told.severity import Severity
from tests.chain.bench import Items
from tests.verdicts.cases import case, found, solved, the
from tests.verdicts.shows import worst_of

CODE = "harm.level"


def meets(ceiling_v: float, damage_v: float = 10.0, **more: str) -> Solution:
    """An output of this ceiling into an input that survives so much, both known to 2 %."""
    items: Items = {
        "t": ("tone", {"output.ceiling": f"{ceiling_v} V", **more}),
        "f": ("frail", {"in.damage": f"{damage_v} V"}),
    }
    return case(items, [("t.out", "f.in")])


@pytest.mark.parametrize(
    ("ceiling_v", "severity"),
    [
        (5.0, Severity.FINE),
        (9.9, Severity.CARE),  # just this side: 0.09 dB
        (10.1, Severity.HARM),  # just that side
        (49.0, Severity.HARM),
    ],
)
def test_the_ceiling_of_the_output_decides(ceiling_v: float, severity: Severity) -> None:
    finding = the(meets(ceiling_v), CODE)
    assert finding.severity is severity
    assert finding.margin == pytest.approx(20 * math.log10(10.0 / ceiling_v), abs=0.01)


@pytest.mark.parametrize("level", ["+4 dBu", "-80 dBu"])
def test_tonights_level_does_not_matter(level: str) -> None:
    assert the(meets(49.0, **{"generator.level": level}), CODE).severity is Severity.HARM


def test_a_knob_that_is_down_does_not_make_it_less() -> None:
    items: Items = {"p": ("player", {"converter.ceiling": "49 V"}), "f": "frail"}
    down = case(items, [("p.out", "f.in")], settings={"p.volume": "-40 dB"})
    assert the(down, CODE).severity is Severity.HARM


def test_what_is_not_known_of_the_input_is_told_and_may_flip_it() -> None:
    """9 V into 7 to 14 V: probably, not surely."""
    items: Items = {"t": ("tone", {"output.ceiling": "9 V"}), "f": "frail"}
    finding = the(case(items, [("t.out", "f.in")]), CODE)
    assert finding.severity is Severity.CARE
    assert 0.5 < finding.p_holds < 0.95
    assert [(flip.input, flip.to) for flip in finding.flips] == [
        ("damage level of f line input", "9 V")
    ]
    assert finding.settle_by == "Look up or measure: damage level of f line input (taken as 10 V)."
    assert finding.assumed == ("damage level of f, line input: 10 V (typical)",)


def test_two_outputs_on_one_input_add_in_the_worst_phase() -> None:
    """12 V and 4 V behind equal resistances: 6 V and 2 V arrive, 8 V if they meet in phase."""
    figures = {"out.impedance": "1 kohm"}
    show = Show(
        "bench",
        items={
            "a": Item("a", "tone", figures={**figures, "output.ceiling": "12 V"}),
            "b": Item("b", "tone", figures={**figures, "output.ceiling": "4 V"}),
            "f": Item("f", "frail"),
        },
        links=(Link({"one": "a.out", "two": "b.out", "out": "f.in"}, (Cable("join", 1.0),)),),
    )
    finding = the(solved(show), CODE)
    assert finding.why[0].value == pytest.approx(8.0, abs=0.05)
    assert finding.what.startswith("a, out can deliver 8 V")  # the stronger of the two is named


def test_an_output_without_a_ceiling_is_not_guessed_at() -> None:
    """The bench's pair states none."""
    items: Items = {"p": "pair", "f": "frail"}
    assert found(case(items, [("p.out-left", "f.in")]), CODE) == []


def test_an_input_without_a_damage_figure_is_not_guessed_at() -> None:
    items: Items = {"t": ("tone", {"output.ceiling": "49 V"}), "d": "desk"}
    assert found(case(items, [("t.out", "d.ch1.line")]), CODE) == []


@pytest.mark.parametrize(("ceiling_v", "is_told"), [(24.0, False), (26.0, True)])
def test_hazardous_voltages_come_with_a_caution(ceiling_v: float, *, is_told: bool) -> None:
    """Above 25 V terminals can shock."""
    caution = the(meets(ceiling_v), CODE).caution
    assert (caution is not None) is is_told
    if caution is not None:
        assert "Switch the amplifier off" in caution
        assert "local rules" in caution


def test_a_caution_is_for_harm_only() -> None:
    assert the(meets(30.0, damage_v=100.0), CODE).caution is None


def test_loading_by_the_network_counts() -> None:
    """12 V behind 1 kohm into 1 kohm are 6 V."""
    items: Items = {
        "t": ("tone", {"output.ceiling": "12 V", "out.impedance": "1 kohm"}),
        "f": ("frail", {"in.impedance": "1 kohm", "in.common-mode": "1 Mohm"}),
    }
    assert the(case(items, [("t.out", "f.in")]), CODE).severity is Severity.FINE


@pytest.mark.parametrize(
    ("damage_v", "severity"),
    [(3.6, Severity.FINE), (1.25, Severity.FINE), (1.15, Severity.HARM), (0.5, Severity.HARM)],
)
def test_a_headphone_output_is_made_for_headphones(damage_v: float, severity: Severity) -> None:
    """5 V behind 30 ohm into 64 ohm: 3.4 V of a full sine, 1.2 V of programme at most."""
    text = f"""
    items:
      desk: {{type: mixer-compact-8, figures: {{phones.impedance: 30 ohm,
              phones-left.amplifier.ceiling: 5 V, phones-right.amplifier.ceiling: 5 V}}}}
      cans: {{type: headphones, figures: {{in.impedance: 64 ohm, in.damage: {damage_v} V}}}}
    links: [{{from: desk.phones, to: cans.in}}]
    """
    finding = worst_of(text, CODE)
    assert finding is not None
    assert finding.why[0].value == pytest.approx(1.2, abs=0.05)
    assert finding.severity is severity


def test_power_is_told_where_it_heats_something() -> None:
    """U^2 / R: 34.6 V into 8 ohm are 150 W; a line input has no such number."""
    text = """
    items:
      amp: {type: amplifier-two-channel, figures: {ch.power.ceiling: 34.6 V,
             ch.out.impedance: 1 mohm}}
      box: {type: loudspeaker-passive-12, figures: {in.impedance: 8 ohm, in.damage: 68 V}}
    links: [{from: amp.ch1.out, to: box.in, via: [cable-loudspeaker 0.1 m]}]
    """
    finding = worst_of(text, CODE)
    assert finding is not None
    told = {each.name: each.value for each in finding.why}
    assert told["power that they ask"] == pytest.approx(34.6**2 / 8, rel=0.01)
    assert len(the(meets(5.0), CODE).why) == 1
