"""The tables of ``docs/formats.md`` and ``docs/words.md`` are those of the code."""

from __future__ import annotations

import inspect
import re
from types import ModuleType
from typing import Any, Final, get_args

import pytest
from pydantic import BaseModel

from levelhead.gear import model as gear_model
from levelhead.gear.book import GearBook
from levelhead.gear.circuits import CIRCUITS, PORT_FIGURES, FigureRule
from levelhead.gear.connectors import CONNECTORS
from levelhead.gear.figures import SOURCES, read_figure
from levelhead.gear.scales import SCALES
from levelhead.quantity.parsing import parse_si
from levelhead.quantity.spectra import SPECTRA
from levelhead.show import addresses, checks, document
from levelhead.show.read import schema
from tests.docs.page import PAGE, Rows, code, codes, read_page

OPTIONAL: Final = frozenset({"none known", "none", "direct"})  # there is no such thing
SAMPLES: Final = {
    "V": "10 V",
    "A": "1 A",
    "ohm": "1 kohm",
    "s": "163 ns",
    "F": "1 nF",
    "H": "1 H",
    "Hz": "100 Hz",
    "dB": "50 dB",
    "1": "1",
}


def models_of(module: ModuleType) -> dict[str, type[BaseModel]]:
    """Every kind of entry that people write."""
    layer = module.__name__.split(".")[1]
    return {
        f"{layer}.{name}": kind
        for name, kind in inspect.getmembers(module, inspect.isclass)
        if issubclass(kind, BaseModel) and kind.model_fields and not name.startswith("_")
    }


MODELS: Final = models_of(gear_model) | models_of(schema)


# ---------------------------------------------------------------- keys


def test_every_kind_of_entry_has_its_table() -> None:
    assert set(PAGE.tables("keys")) == set(MODELS)


@pytest.mark.parametrize("name", MODELS)
def test_a_table_has_the_keys_of_its_entry_and_says_which_are_needed(name: str) -> None:
    written = {code(row[0]): row[1] == "yes" for row in PAGE.tables("keys")[name]}
    assert written == {
        field.alias or key: field.is_required() for key, field in MODELS[name].model_fields.items()
    }


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("gear.PortEntry", "role"),
        ("gear.PortEntry", "carries"),
        ("gear.TypeEntry", "kind"),
        ("gear.TypeEntry", "earth"),
        ("gear.MeterEntry", "kind"),
    ],
)
def test_words_to_choose_from_are_all_named(name: str, key: str) -> None:
    (row,) = (row for row in PAGE.tables("keys")[name] if code(row[0]) == key)
    choice = MODELS[name].model_fields[key].annotation
    assert set(get_args(choice)) <= set(codes(" ".join(row[1:])))


def test_spectra_are_those_of_the_code() -> None:
    written = [name for names, _ in PAGE.table("spectra") for name in codes(names)]
    assert sorted(written) == sorted(SPECTRA)


def test_the_limits_are_those_of_the_code() -> None:
    assert (
        f"Names: {addresses.LONGEST_ID} characters. Labels: {checks.LONGEST_LABEL}. "
        f"Notes: {checks.LONGEST_NOTE:_}. Values: {checks.LONGEST_VALUE}. "
        f"A range: {addresses.LARGEST_RANGE} sockets. "
        f"A file: {document.LARGEST_FILE // 1_000_000} MB."
    ).replace("_", " ") in PAGE.text


# ---------------------------------------------------------------- figures


def test_sources_of_figures_are_those_of_the_code() -> None:
    assert {code(row[0]) for row in PAGE.table("spreads")} == set(SOURCES)


@pytest.mark.parametrize("row", PAGE.table("spreads"), ids=lambda row: row[0])
def test_a_figure_without_a_range_gets_that_of_its_source(row: list[str]) -> None:
    source, ratio, spread_db = code(row[0]), 1 + parse_si(row[2], "1"), parse_si(row[3], "dB")
    ohm = read_figure("100 ohm", unit="ohm", source=source, where="page")
    level = read_figure("10 dB", unit="dB", source=source, where="page")
    assert (ohm.low, ohm.high) == pytest.approx((100 / ratio, 100 * ratio))
    assert (level.low, level.high) == pytest.approx((10 - spread_db, 10 + spread_db))


def written_rules(rows: Rows) -> dict[str, tuple[str, str | None, bool]]:
    """Unit, default and whether it may be missing, of each figure of a table."""
    return {
        code(name): (
            unit,
            None if silent in {"needed", *OPTIONAL} else silent,
            silent in OPTIONAL,
        )
        for name, unit, silent, _ in rows
    }


def rules(figures: dict[str, FigureRule]) -> dict[str, tuple[str, str | None, bool]]:
    """The same of the code."""
    return {
        name: (each.unit, text_of(each.default), each.optional) for name, each in figures.items()
    }


def text_of(raw: Any) -> str | None:
    """A figure as it is written, without its range."""
    text = raw["value"] if isinstance(raw, dict) else raw
    return None if text is None else str(text)


def test_figures_of_any_port_are_those_of_the_code() -> None:
    assert written_rules(PAGE.tables("figures")["any port"]) == rules(PORT_FIGURES)


def test_figures_of_circuits_are_those_of_the_code() -> None:
    found: dict[str, Rows] = {}
    for circuit, *row in PAGE.tables("figures")["circuits"]:
        found.setdefault(code(circuit) if circuit else list(found)[-1], []).append(row)
    written = {circuit: written_rules(rows) for circuit, rows in found.items()}
    assert written == {circuit: rules(figures) for circuit, figures in CIRCUITS.items()}


@pytest.mark.parametrize("circuit", CIRCUITS)
def test_a_circuit_takes_every_figure_of_the_tables(circuit: str) -> None:
    figures = PORT_FIGURES | CIRCUITS[circuit]
    port: dict[str, Any] = {"socket": "combo", "role": "in", "circuit": circuit}
    port |= {name: each.default or SAMPLES[each.unit] for name, each in figures.items()}
    raw = {"x": {"label": "X", "kind": "box", "source": "typical", "ports": {"in": port}}}
    planned = GearBook(raw).plan("x", {}, {}).blocks[0].plan.ports["in"]
    assert set(planned.figures) == set(figures)


# ---------------------------------------------------------------- connectors, scales


def test_connectors_are_those_of_the_code() -> None:
    written = {code(name): (pins, plugs) for name, pins, plugs in PAGE.table("connectors")}
    assert written == {
        each.name: (", ".join(each.pins), ", ".join(each.fits)) for each in CONNECTORS.values()
    }


def marks_of(text: str) -> list[tuple[float, float]]:
    """Travel and dB of ``0: -80, 0.5: -10``; none of plain words."""
    pairs = re.findall(r"([\d.]+): (-?[\d.]+)", text)
    return [(float(travel), float(level)) for travel, level in pairs]


def test_scales_are_those_of_the_code() -> None:
    written = {code(name): (shape, marks_of(text)) for name, shape, text in PAGE.table("scales")}
    assert written == {each.name: (each.shape, list(each.marks)) for each in SCALES.values()}


# ---------------------------------------------------------------- words


def test_every_word_is_explained_once_in_the_order_of_the_alphabet() -> None:
    words = [row[0].strip("*") for row in read_page("words.md").table("words")]
    assert words == sorted(set(words), key=str.casefold)


def test_what_a_show_is_made_of_is_explained() -> None:
    words = {row[0].strip("*") for row in read_page("words.md").table("words")}
    assert {"show", "item", "source", "link", "setting", "supply", "stock"} <= words


@pytest.mark.parametrize("page", ["formats.md", "words.md"])
def test_pages_are_for_people_who_use_it(page: str) -> None:
    """Not for those who make it."""
    assert not re.search(
        r"\b(helper|session|agent|prompt)s?\b", read_page(page).text, re.IGNORECASE
    )
