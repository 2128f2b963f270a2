"""Every type of the gear book, solved in its usual place, against what the trade expects of it.

Rows and their format: ``trade_ranges.yaml``. Expectations are not ours: each names its source.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any, Final

import pytest
from ruamel.yaml import YAML

from levelhead.chain.solution import PointLevels, Solution
from levelhead.chain.solve import solve
from levelhead.chain.wired.lanes import lanes
from levelhead.gear.book import load_book
from levelhead.gear.figures import SOURCES
from levelhead.quantity.parsing import parse, parse_si
from levelhead.rig.build import build_rig
from levelhead.show.model import Cable, Item, Link, Show, Source

WIDEST_DB: Final = 30.0  # a wider expectation says nothing
TABLE: Final[Mapping[str, Any]] = YAML(typ="safe", pure=True).load(
    (Path(__file__).parent / "trade_ranges.yaml").read_text(encoding="utf-8")
)
ROWS: Final[Mapping[str, Mapping[str, Any]]] = TABLE["types"]
MEASURED: Final = ("nominal", "peak", "noise", "loading", "loads")
EXPECTATIONS: Final = [
    (type_id, name) for type_id, row in ROWS.items() for name in MEASURED if name in row
]
KEYS: Final = {"hears", "distance", "fed", "feeds", "out", "into", "by", "set", *MEASURED}


# ---------------------------------------------------------------- a row as a show


def cable(text: str) -> tuple[Cable, ...]:
    """A cable as a row writes it: ``cable-xlr 10 m``, or an adaptor without a length."""
    type_id, _, length = text.partition(" ")
    return (Cable(type_id, parse_si(length, "m") if length else None),)


def end(item: str, type_and_port: str) -> tuple[str, str]:
    """Type, and address of a port of the item that stands for it."""
    type_id, _, port = type_and_port.partition(".")
    return type_id, f"{item}.{port}"


def socket_of(out: str) -> str:
    """The socket of a signal: both sides of ``phones`` leave by one."""
    return out.removesuffix(".left").removesuffix(".right")


def show_of(type_id: str, row: Mapping[str, Any]) -> Show:
    """The small show that a row describes."""
    if load_book().entry(type_id).air is not None:
        # any microphone will do: its sound field is measured, not its output
        items = {"ear": Item("ear", "mic-vocal-dynamic")}
        return Show("row", items=items, sources={"unit": Source("unit", type_id, "ear")})
    items, sources, links = {"unit": Item("unit", type_id)}, {}, []
    if "hears" in row:
        distance_m = parse_si(row["distance"], "m") if "distance" in row else None
        hearer = "before" if "fed" in row else "unit"
        sources["source"] = Source("source", row["hears"], hearer, distance_m)
    if "fed" in row:
        feed, feed_port = end("before", row["fed"]["from"])
        items["before"] = Item("before", feed)
        ends = {"a": feed_port, "b": f"unit.{row['fed']['at']}"}
        links.append(Link(ends, cable(row["fed"]["by"])))
    if "feeds" in row:
        feed, feed_port = end("first", row["feeds"]["from"])
        items["first"] = Item("first", feed)
        ends = {"a": feed_port, "b": f"before.{row['feeds']['at']}"}
        links.append(Link(ends, cable(row["feeds"]["by"])))
    if "into" in row:
        target, target_port = end("next", row["into"])
        items["next"] = Item("next", target)
        ends = {"a": f"unit.{socket_of(row.get('out', 'out'))}", "b": target_port}
        links.append(Link(ends, cable(row["by"])))
    settings = {address: setting_text(value) for address, value in row.get("set", {}).items()}
    return Show("row", items=items, sources=sources, links=tuple(links), settings=settings)


def setting_text(value: object) -> str:
    """YAML reads ``on`` as a truth in some versions; a show's settings are text."""
    return {True: "on", False: "off"}.get(value, value) if isinstance(value, bool) else str(value)


def solved(type_id: str) -> Solution:
    """The row's show, solved."""
    return solve(build_rig(show_of(type_id, ROWS[type_id]), load_book()))


# ---------------------------------------------------------------- what is measured


def levels_of(solution: Solution, type_id: str) -> PointLevels:
    """Levels where the row measures."""
    if "unit" in solution.graph.index:
        return solution.levels("unit")
    return solution.levels(f"unit.{ROWS[type_id].get('out', 'out')}")


def unloaded(type_id: str) -> Solution:
    """The row's show with nothing plugged into the output, solved."""
    row = dict(ROWS[type_id])
    settings = {each: value for each, value in row.get("set", {}).items() if each[:5] != "next."}
    row = {key: value for key, value in row.items() if key not in {"into", "by"}}
    return solve(build_rig(show_of(type_id, row | {"set": settings}), load_book()))


def open_nominal(solution: Solution, type_id: str) -> float:
    """What an open output would have: the nominal level of the stage that drives it.

    A passive box has no stage: there the output is unplugged.
    """
    out = f"unit.{ROWS[type_id].get('out', 'out')}"
    driven = driving_nominal(solution, out)
    if driven is not None:
        return driven
    level = unloaded(type_id).levels(out).nominal
    assert level is not None
    return level


def driving_nominal(solution: Solution, out: str) -> float | None:
    """Nominal level of the stage behind an output, if one drives it."""
    for lane in lanes(solution.rig):
        port = lane.path.to_port
        if port is not None and out in (lane.sensed_at(port), f"{lane.item.id}.{port.port}"):
            return solution.levels(lane.point_of(lane.path.stages[-1])).nominal
    return None


def lost_before(solution: Solution, type_id: str) -> float:
    """What the output of ``before`` loses by the cable and the unit that hang on it. [dB]"""
    fed = ROWS[type_id]["fed"]
    out, arriving = f"before.{fed['from'].partition('.')[2]}", f"unit.{fed['at']}"
    driven = driving_nominal(solution, out)
    level = next(
        found
        for each in (arriving, f"{arriving}.left")
        if each in solution.graph.index and (found := solution.levels(each).nominal) is not None
    )
    assert driven is not None
    return driven - level


def measured(type_id: str, name: str) -> float:
    """The figure of a row that is to be compared."""
    solution = solved(type_id)
    levels = levels_of(solution, type_id)
    found = {"nominal": levels.nominal, "peak": levels.peak, "noise": levels.floor_a}.get(name)
    if name == "loads":
        return lost_before(solution, type_id)
    if name == "loading":
        assert levels.nominal is not None
        return open_nominal(solution, type_id) - levels.nominal
    assert found is not None, f"{type_id} is silent"
    return found


def number(text: str) -> float:
    """A level or a gain as a number of decibels."""
    read: Any = parse(text)
    return float(read.value_db if hasattr(read, "value_db") else read.db)


@pytest.mark.parametrize(("type_id", "name"), EXPECTATIONS)
def test_a_type_does_what_the_trade_expects(type_id: str, name: str) -> None:
    """The median of the book's figures, solved in the type's usual place."""
    expected = ROWS[type_id][name]
    value = measured(type_id, name)
    assert number(expected["from"]) <= value <= number(expected["to"]), expected["source"]


# ---------------------------------------------------------------- the table itself


def carries_sound(type_id: str) -> bool:
    """Whether an analogue signal gets through it: intercom, light and bare numbers do not."""
    entry = load_book().entry(type_id)
    strips = (entry, *entry.blocks.values())
    through = any(port.joined for strip in strips for port in strip.ports.values())
    return through or entry.air is not None or any(strip.path or strip.parts for strip in strips)


ELSEWHERE: Final = {  # their own tests hold them, rows are to come
    "loudspeaker-line-100v",
    "loudspeaker-ceiling-100v",
    "loudspeaker-column-100v",
    "loudspeaker-horn-100v",
    "amplifier-line-100v",
    "guitar-head-valve",
    "amplifier-bridged-posts",
    "amplifier-line-100v-uncovered",
    "loudspeaker-line-100v-uncovered",
    "subwoofer-passive-posts",
    "headset-trrs",
    "headset-trrs-ground-last",
    "digital-in-aes3",
    "digital-in-spdif",
    "digital-out-aes3",
    "digital-out-spdif",
    "laptop-usb",
    "mixer-usb",
    "mic-usb",  # numbers alone leave it
}


@pytest.mark.parametrize("kind", TABLE["complete"])
def test_every_type_of_a_kind_that_is_done_has_a_row(kind: str) -> None:
    book = load_book()
    of_kind = [each for each in book.ids if book.entry(each).kind == kind and carries_sound(each)]
    assert of_kind
    assert [each for each in of_kind if each not in ROWS and each not in ELSEWHERE] == []


def test_every_kind_of_gear_is_done() -> None:
    """Cables and adaptors have a table of their own: ``leads``."""
    book = load_book()
    kinds = {book.entry(each).kind for each in book.ids}
    assert kinds - {"cable", "adaptor"} == set(TABLE["complete"])


@pytest.mark.parametrize("type_id", ROWS)
def test_a_row_has_nominal_noise_and_loading(type_id: str) -> None:
    """Sound in the air has neither noise nor load; a close drum is told by its peaks."""
    row = ROWS[type_id]
    assert {"nominal", "peak"} & set(row)
    if load_book().entry(type_id).air is None:
        assert "noise" in row
        assert {"loading", "loads"} & set(row)


@pytest.mark.parametrize("type_id", ROWS)
def test_rows_hold_what_the_format_names(type_id: str) -> None:
    """A misspelt key would be an expectation that nobody checks."""
    row = ROWS[type_id]
    assert set(row) <= KEYS
    assert set(row) & set(MEASURED)
    if "into" in row:
        assert {"nominal", "noise", "loading", "by"} <= set(row)


@pytest.mark.parametrize(("type_id", "name"), EXPECTATIONS)
def test_expectations_say_something_and_name_their_source(type_id: str, name: str) -> None:
    expected = ROWS[type_id][name]
    assert set(expected) == {"from", "to", "source"}
    assert expected["source"].partition(":")[0] in SOURCES
    assert 0 < number(expected["to"]) - number(expected["from"]) <= WIDEST_DB


@pytest.mark.parametrize(("type_id", "name"), EXPECTATIONS)
def test_expectations_are_in_the_unit_of_the_point(type_id: str, name: str) -> None:
    """-30 dBV written for -30 dBu would pass or fail by luck."""
    unit = "dB" if name in {"loading", "loads"} else levels_of(solved(type_id), type_id).unit
    for each in (ROWS[type_id][name]["from"], ROWS[type_id][name]["to"]):
        assert each.partition(" ")[2] == unit
