"""Every entry of the shipped book: well formed, planned, its figures sourced and in range."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import fields, is_dataclass

import pytest

from levelhead.gear.book import load_book
from levelhead.gear.circuits import CIRCUITS, PORT_FIGURES, figure_rules
from levelhead.gear.compile import controls_of, instance_names
from levelhead.gear.connectors import CONNECTORS, mates
from levelhead.gear.figures import SOURCES, Figure, read_figure
from levelhead.gear.model import TypeEntry
from levelhead.gear.references import dangling
from levelhead.gear.sketch import sketch_of

BOOK = load_book()
ITEMS = [each for each in BOOK.ids if BOOK.entry(each).ends is None]
CABLES = [each for each in BOOK.ids if BOOK.entry(each).ends is not None]


def figures_in(plan: object) -> Iterator[Figure]:
    """All figures of a plan, wherever they are."""
    if isinstance(plan, Figure):
        yield plan
    elif isinstance(plan, dict):
        for value in plan.values():
            yield from figures_in(value)
    elif isinstance(plan, tuple):
        for value in plan:
            yield from figures_in(value)
    elif is_dataclass(plan):
        for each in fields(plan):
            yield from figures_in(getattr(plan, each.name))


def test_what_a_type_is_called_is_read_unchecked_as_checked() -> None:
    """Searches read three fields as written: they say what the checked entry says."""
    assert {each: BOOK.sketch(each) for each in BOOK.ids} == {
        each: sketch_of(BOOK.entry(each)) for each in BOOK.ids
    }


def test_no_name_in_an_entry_leads_nowhere() -> None:
    """Asked here and of a user's own entries only: a program that starts takes them as they are."""
    errors = [str(error) for each in BOOK.ids for error in dangling(BOOK.entry(each))]
    assert errors == []


def settings_of(type_id: str) -> Iterator[dict[str, str]]:
    """Each switch of a type in each of its positions, one at a time; of strips, the first."""
    entry = BOOK.entry(type_id)
    yield {}
    firsts = {"", *(instance_names(name, block)[0] for name, block in entry.blocks.items())}
    for address, control in controls_of(entry).items():
        if address.rpartition(".")[0] in firsts:
            yield from ({address: option} for option in control.options)


@pytest.mark.parametrize("type_id", ITEMS)
def test_an_item_is_planned_in_every_position_of_its_switches(type_id: str) -> None:
    for chosen in settings_of(type_id):
        plan = BOOK.plan(type_id, chosen, {})
        assert plan.label
        for figure in figures_in(plan):
            assert figure.source in SOURCES
            assert figure.unit
            assert figure.low <= figure.value <= figure.high, figure
            assert figure.low < figure.high or is_a_choice(figure), figure


def is_a_choice(figure: Figure) -> bool:
    """Off, and the turn of an instrument's own volume; all other figures have a spread."""
    return figure.value == -math.inf or (figure.unit, figure.value) == ("1", 1.0)


@pytest.mark.parametrize("type_id", [each for each in ITEMS if BOOK.entry(each).air is not None])
def test_a_level_in_the_air_says_what_one_performance_takes_of_its_spread(type_id: str) -> None:
    """The rest is between performers: neither part is nothing."""
    air = BOOK.plan(type_id, {}, {}).air
    assert air is not None
    assert air.within_db is not None
    both_db = 10 * math.log10(air.level_pa.high / air.level_pa.low)
    between_db = math.sqrt(both_db**2 - air.within_db.value**2)
    assert 3 <= air.within_db.value <= 8
    assert 3 <= between_db <= 11


@pytest.mark.parametrize("type_id", CABLES)
def test_a_cable_is_planned(type_id: str) -> None:
    cable = BOOK.cable(type_id)
    assert len(cable.ends) >= 2
    assert cable.joins or cable.parts
    for figure in figures_in(cable):
        assert figure.source in SOURCES
        assert figure.unit
        assert 0 < figure.low <= figure.value <= figure.high, figure
        assert figure.low < figure.high, figure


@pytest.mark.parametrize("type_id", ITEMS)
def test_controls_stand_where_they_can(type_id: str) -> None:
    for address, control in controls_of(BOOK.entry(type_id)).items():
        if control.kind == "switch":
            assert control.default in control.options, address
        else:
            assert control.low <= float(control.default) <= control.high, address


@pytest.mark.parametrize("type_id", ITEMS)
def test_points_and_sockets_of_an_item_have_addresses_of_their_own(type_id: str) -> None:
    """A stage called like a socket of its strip would hide it."""
    for block in BOOK.plan(type_id, {}, {}).blocks:
        names = [*block.plan.ports, *(s.name for path in block.plan.paths for s in path.stages)]
        assert len(names) == len(set(names)), block.name


def test_labels_are_of_one_type_each() -> None:
    """A voice and an instrument may share one: they are never offered together."""
    labels = [(BOOK.entry(each).kind, BOOK.entry(each).label) for each in BOOK.ids]
    assert len(labels) == len(set(labels))


# ---------------------------------------------------------------- tables that entries choose from


@pytest.mark.parametrize("circuit", CIRCUITS)
def test_customary_figures_have_a_source_and_a_range(circuit: str) -> None:
    for name, rule in figure_rules(circuit).items():
        if rule.default is not None:
            figure = read_figure(rule.default, unit=rule.unit, source="measured", where=name)
            assert isinstance(rule.default, dict)
            assert {"value", "range", "source"} == rule.default.keys()
            assert figure.low <= figure.value <= figure.high


def test_no_circuit_hides_a_figure_of_any_port() -> None:
    for circuit, figures in CIRCUITS.items():
        assert not figures.keys() & PORT_FIGURES.keys(), circuit


def sockets_in_use() -> set[str]:
    """Connectors of all sockets of the book."""
    plans = (BOOK.plan(each, {}, {}) for each in ITEMS)
    return {port.socket for plan in plans for b in plan.blocks for port in b.plan.ports.values()}


def plugs_of(entry: TypeEntry) -> set[str]:
    """Connectors of a cable's plugs."""
    return {text for text in (entry.ends or {}).values() if not text.endswith(" socket")}


@pytest.mark.parametrize("name", [name for name in CONNECTORS if name != "inside"])
def test_each_connector_is_met_by_a_cable(name: str) -> None:
    """A socket takes a plug of some cable; what is a plug only (bare wires) goes into a socket."""
    plugs = {plug for each in CABLES for plug in plugs_of(BOOK.entry(each))}
    takes = any(mates(name, plug) for plug in plugs)
    goes = name in plugs and any(mates(socket, name) for socket in CONNECTORS)
    assert takes or (goes and name not in sockets_in_use())


def test_what_is_soldered_inside_is_met_by_no_cable() -> None:
    """Its role says so too: nobody is offered it as a socket."""
    assert not any(mates("inside", plug) for each in CABLES for plug in plugs_of(BOOK.entry(each)))
    ports = [
        port
        for type_id in ITEMS
        for block in BOOK.plan(type_id, {}, {}).blocks
        for port in block.plan.ports.values()
    ]
    assert {port.socket == "inside" for port in ports if port.role == "inside"} == {True}
    assert {port.role == "inside" for port in ports if port.socket == "inside"} == {True}
