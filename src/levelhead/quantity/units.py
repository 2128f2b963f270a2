"""The spellings that people use for units, each with what it means in SI.

One table is built from a short list: a symbol, its usual prefixes, its written-out names. Prefixes
that nobody needs (MV, mHz) are left out, so that a careless ``mv`` or ``mhz`` has one meaning.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from functools import partial
from operator import mul
from typing import Final, NamedTuple

from levelhead.errors import QuantityError
from levelhead.quantity.levels import Reference

INCH_M: Final = 0.0254  # exact, international yard and pound agreement of 1959
FOOT_M: Final = 0.3048  # exact, the same
POUND_KG: Final = 0.45359237  # exact, the same
ZERO_CELSIUS_K: Final = 273.15  # definition of the Celsius scale


class Unit(NamedTuple):
    """What a spelling means: the SI value is ``curve(number * 10**exponent)`` in ``si``.

    ``si`` is a unit of ``measure.UNITS``, or ``dB``, or the value of a ``Reference``.
    """

    si: str
    exponent: int = 0
    curve: Callable[[float], float] | None = None


_EXPONENTS: Final = {
    "": 0, "f": -15, "p": -12, "n": -9, "u": -6, "m": -3, "c": -2, "d": -1,
    "h": 2, "k": 3, "M": 6, "G": 9,
}  # fmt: skip
_PREFIX_NAMES: Final = {
    "": "", "f": "femto", "p": "pico", "n": "nano", "u": "micro", "m": "milli", "c": "centi",
    "d": "deci", "h": "hecto", "k": "kilo", "M": "mega", "G": "giga",
}  # fmt: skip
MULTIPLIERS: Final = {"p": -12, "n": -9, "u": -6, "m": -3, "k": 3, "K": 3, "M": 6, "G": 9}


class _Prefixed(NamedTuple):
    """A unit with its usual prefixes: by symbol, by other symbols of it, by written-out names."""

    si: str
    prefixes: str
    symbols: tuple[str, ...] = ()
    names: tuple[str, ...] = ()


_PREFIXED: Final = (
    _Prefixed("V", "numk", ("Vrms", "Vdc", "VDC", "Vac", "VAC"), ("volt", "volts")),
    _Prefixed("A", "pnum", ("Arms", "Adc", "Aac"), ("amp", "amps", "ampere", "amperes")),
    _Prefixed("W", "numk", ("Wrms",), ("watt", "watts")),
    _Prefixed("VA", "k", (), ("voltampere", "voltamperes")),
    _Prefixed("ohm", "mkMG", ("ohms", "R")),
    _Prefixed("F", "pnum", (), ("farad", "farads")),
    _Prefixed("H", "num", (), ("henry", "henries", "henrys")),
    _Prefixed("J", "umk", (), ("joule", "joules")),
    _Prefixed("Hz", "kMG", (), ("hertz",)),
    _Prefixed("s", "num", ("sec", "secs"), ("second", "seconds")),
    _Prefixed("m", "umcdk", (), ("metre", "metres", "meter", "meters")),
    _Prefixed("Pa", "umhk", (), ("pascal", "pascals")),
    _Prefixed("K", "", (), ("kelvin", "kelvins")),
    _Prefixed("V/Pa", "um", ("VperPa", "Vrms/Pa")),
    _Prefixed("V/rtHz", "pnum"),
    _Prefixed("A/rtHz", "fpnu"),
)
_PER_LENGTH: Final = (
    ("ohm/m", "ohm", "mkM"),
    ("F/m", "F", "pnu"),
    ("H/m", "H", "num"),
    ("dB/m", "dB", ""),
)
_METRES: Final = {"m": 0, "meter": 0, "metre": 0, "km": 3, "cm": -2, "100m": 2}  # powers of ten
_FEET: Final = {"ft": 0, "foot": 0, "kft": 3, "1000ft": 3, "100ft": 2}
_ROOT_HERTZ: Final = (
    "sqrt(Hz)", "sqrtHz", "rootHz", "root(Hz)", "rt(Hz)", "Hz^0.5", "Hz^1/2", "Hz^(1/2)",
)  # fmt: skip
_OTHER: Final[dict[str, Unit]] = {
    "ft": Unit("m", 0, partial(mul, FOOT_M)),
    "in": Unit("m", 0, partial(mul, INCH_M)),
    "yd": Unit("m", 0, partial(mul, 3 * FOOT_M)),
    "mm2": Unit("m2", -6),
    "cm2": Unit("m2", -4),
    "m2": Unit("m2"),
    "ft2": Unit("m2", 0, partial(mul, FOOT_M**2)),
    "m3": Unit("m3"),
    "litre": Unit("m3", -3),
    "ft3": Unit("m3", 0, partial(mul, FOOT_M**3)),
    "m/s": Unit("m/s"),
    "ft/s": Unit("m/s", 0, partial(mul, FOOT_M)),
    "kg": Unit("kg"),
    "g": Unit("kg", -3),
    "t": Unit("kg", 3),
    "lb": Unit("kg", 0, partial(mul, POUND_KG)),
    "min": Unit("s", 0, partial(mul, 60.0)),
    "h": Unit("s", 0, partial(mul, 3600.0)),
    "Wh": Unit("J", 0, partial(mul, 3600.0)),
    "kWh": Unit("J", 3, partial(mul, 3600.0)),
    "mAh": Unit("C", -3, partial(mul, 3600.0)),
    "Ah": Unit("C", 0, partial(mul, 3600.0)),
    "coulomb": Unit("C"),  # a bare C is refused: most mean degrees by it
    "mC": Unit("C", -3),
    "uC": Unit("C", -6),
    "nC": Unit("C", -9),
    "pC": Unit("C", -12),
    "rad": Unit("rad"),
    "deg": Unit("rad", 0, math.radians),
    "%": Unit("1", -2),
    "": Unit("1"),
    "x": Unit("1"),
    "dB": Unit("dB"),
    "dB/oct": Unit("dB/oct"),
    "dB/dec": Unit("dB/oct", 0, partial(mul, math.log10(2.0))),
}
_SAME: Final[dict[str, str]] = {
    "foot": "ft", "feet": "ft", "'": "ft", "inch": "in", "inches": "in", '"': "in", "''": "in",
    "yard": "yd", "yards": "yd",
    "sqmm": "mm2", "mm^2": "mm2", "qmm": "mm2", "cm^2": "cm2", "sqm": "m2", "m^2": "m2",
    "sqft": "ft2", "ft^2": "ft2", "m^3": "m3", "ft^3": "ft3", "cuft": "ft3",
    "litres": "litre", "liter": "litre", "liters": "litre", "l": "litre", "L": "litre",
    "kilogram": "kg", "kilograms": "kg", "gram": "g", "grams": "g", "tonne": "t", "tonnes": "t",
    "pound": "lb", "pounds": "lb", "lbs": "lb",
    "minute": "min", "minutes": "min", "mins": "min",
    "hour": "h", "hours": "h", "hr": "h", "hrs": "h", "coulombs": "coulomb",
    "degree": "deg", "degrees": "deg", "radian": "rad", "radians": "rad",
    "percent": "%", "times": "x", "decibel": "dB", "decibels": "dB",
    "dB/octave": "dB/oct", "dBperoctave": "dB/oct", "dBperoct": "dB/oct", "dB/decade": "dB/dec",
}  # fmt: skip
_DEGREES: Final = ("deg", "degree", "degrees")
_REFERENCES: Final[dict[Reference, tuple[str, ...]]] = {
    Reference.DBU: ("dBu", "dBre0.775V", "dBre0.7746V", "dBre775mV"),
    Reference.DBV: ("dBV", "dBVrms", "dBre1V", "dBre1Vrms"),
    Reference.DBFS: ("dBFS", "dBreFS", "dBrefullscale"),
    Reference.DB_SPL: (
        "dBSPL", "dB(SPL)", "dBre20uPa", "dBSPLre20uPa", "dBSPL(Z)", "dB(Z)", "dBZ",
    ),
    Reference.DBW: ("dBW", "dBre1W"),
    Reference.DBM: ("dBm", "dBre1mW"),
    Reference.DBU_A: ("dBu",),
    Reference.DBV_A: ("dBV",),
    Reference.DBFS_A: ("dBFS",),
    Reference.DB_SPL_A: ("dB", "dBSPL"),
    Reference.DB_SPL_C: ("dB", "dBSPL"),
}  # fmt: skip
_WEIGHTED: Final = dict.fromkeys(
    (Reference.DBU_A, Reference.DBV_A, Reference.DBFS_A, Reference.DB_SPL_A), "A"
) | {Reference.DB_SPL_C: "C"}
# Lower-case v once stood for today's dBu; 2.2 dB hang on it. Bare letters that are prefixes as
# well as units must be written exactly.
_NEVER_FOLDED: Final = frozenset({"dbv", "dbv(a)", "k", "m", "c", "g", "x", "r", "h", "l", "t", ""})
_THICKEST_AWG, _THINNEST_AWG = 0, 40


def area_m2_from_awg(gauge: float) -> float:
    """Cross-section of a solid wire by its gauge number. [m2]

    The diameter is ``0.005 in * 92**((36 - n) / 39)``.

    Raises
    ------
    QuantityError
        The gauge is outside 0 to 40.

    References
    ----------
    ASTM B258, the formula of the wire table.

    Examples
    --------
    >>> round(area_m2_from_awg(16) * 1e6, 3)
    1.309
    """
    if not _THICKEST_AWG <= gauge <= _THINNEST_AWG:
        raise QuantityError(
            f"a wire of {gauge:g} AWG",
            where="wire gauge",
            expected=f"a gauge from {_THICKEST_AWG} to {_THINNEST_AWG}",
            remedy="Write thicker wires by their cross-section, e.g. 85 mm2 for 3/0 AWG.",
        )
    diameter_m = 0.005 * INCH_M * 92.0 ** ((36.0 - gauge) / 39.0)
    return float(math.pi * diameter_m**2 / 4.0)


def _kelvin_from_celsius(celsius: float) -> float:
    """Temperature of a reading in degrees Celsius. [K]"""
    return celsius + ZERO_CELSIUS_K


def _kelvin_from_fahrenheit(fahrenheit: float) -> float:
    """Temperature of a reading in degrees Fahrenheit. [K]"""
    return (fahrenheit - 32.0) * 5.0 / 9.0 + ZERO_CELSIUS_K


def _volts_per_pascal(level_db: float, *, reference: float = 1.0) -> float:
    """Sensitivity of a microphone from its level against a reference. [V/Pa]"""
    exponent = min(level_db / 20.0, 100.0)  # what is larger is refused as unbelievable anyway
    return float(reference * 10.0**exponent)


def _prefixed() -> Iterator[tuple[str, Unit]]:
    """Units with their prefixes: ``mV``, ``millivolt``, ``kohm``, ``kiloohms``, ``kilohms``."""
    for si, prefixes, symbols, names in _PREFIXED:
        for prefix in ("", *prefixes):
            unit = Unit(si, _EXPONENTS[prefix])
            yield from ((prefix + symbol, unit) for symbol in (si, *symbols))
            yield from ((_PREFIX_NAMES[prefix] + name, unit) for name in names)
    for prefix in "mkMG":
        name = _PREFIX_NAMES[prefix]
        for stem in (name, name.rstrip("aio")):
            yield f"{stem}ohm", Unit("ohm", _EXPONENTS[prefix])
            yield f"{stem}ohms", Unit("ohm", _EXPONENTS[prefix])


def _per_length() -> Iterator[tuple[str, Unit]]:
    """Figures of cables: ``mohm/m``, ``ohm/km``, ``pF/ft``, ``ohm/1000ft``."""
    per_foot = partial(mul, 1.0 / FOOT_M)
    for si, symbol, prefixes in _PER_LENGTH:
        for prefix in ("", *prefixes):
            exponent = _EXPONENTS[prefix]
            for joint in ("/", "per"):
                figure = prefix + symbol + joint
                for length, power in _METRES.items():
                    yield figure + length, Unit(si, exponent - power)
                for length, power in _FEET.items():
                    yield figure + length, Unit(si, exponent - power, per_foot)


def _levels() -> Iterator[tuple[str, Unit]]:
    """Levels by their references: ``dBu``, ``dB SPL``, ``dBA``, ``dBu A-weighted``."""
    for reference, stems in _REFERENCES.items():
        unit = Unit(reference.value)
        yield reference.value, unit
        letter = _WEIGHTED.get(reference)
        for stem in stems:
            if letter is None:
                yield stem, unit
                continue
            weighted = f"{letter}-weighted"
            for tail in (letter, f"({letter})", weighted, f",{weighted}", f"({weighted})"):
                yield stem + tail, unit
            if stem == "dB":
                yield f"dB{letter}SPL", unit
                yield f"dB({letter})SPL", unit


def _sensitivities() -> Iterator[tuple[str, Unit]]:
    """Microphone sensitivities in decibels: against 1 V/Pa, and the old 1 V/ubar (0.1 Pa)."""
    for spelling in ("dBV/Pa", "dBre1V/Pa", "dB(1V/Pa)", "dB(re1V/Pa)", "dBVre1Pa"):
        yield spelling, Unit("V/Pa", 0, _volts_per_pascal)
    for spelling in ("dBV/ubar", "dBre1V/ubar"):
        yield spelling, Unit("V/Pa", 0, partial(_volts_per_pascal, reference=10.0))


def _spellings() -> Iterator[tuple[str, Unit]]:
    """Every spelling, with spaces taken out, except those that only stand for another."""
    yield from _OTHER.items()
    yield from _prefixed()
    yield from _per_length()
    yield from _levels()
    yield from _sensitivities()
    for degrees in ("", *_DEGREES):
        for scale in ("C", "celsius") if degrees else ("celsius",):
            yield degrees + scale, Unit("K", 0, _kelvin_from_celsius)
        for scale in ("F", "fahrenheit") if degrees else ("fahrenheit",):
            yield degrees + scale, Unit("K", 0, _kelvin_from_fahrenheit)
    yield "AWG", Unit("m2", 0, area_m2_from_awg)
    yield "gauge", Unit("m2", 0, area_m2_from_awg)


def _exact_table() -> dict[str, Unit]:
    """Spellings and their meaning, capitals as they should be."""
    table = dict(_spellings())
    table |= {spelling: table[same] for spelling, same in _SAME.items()}
    densities = [spelling for spelling in table if spelling.endswith("/rtHz")]
    for spelling in densities:
        stem = spelling.removesuffix("rtHz")
        table |= {stem + root: table[spelling] for root in _ROOT_HERTZ}
    return table


def _folded_table() -> dict[str, Unit]:
    """Spellings without regard to capitals, where that leaves one meaning."""
    meanings: dict[str, list[Unit]] = {}
    for spelling, unit in EXACT.items():
        units = meanings.setdefault(spelling.casefold(), [])
        if not any(known[:2] == unit[:2] for known in units):
            units.append(unit)
    return {
        folded: units[0]
        for folded, units in meanings.items()
        if len(units) == 1 and folded not in _NEVER_FOLDED
    }


EXACT: Final = _exact_table()
FOLDED: Final = _folded_table()


def find_unit(spelling: str) -> Unit | None:
    """Meaning of a spelling without spaces, by exact letters first, then by letters of any case.

    >>> find_unit("mV"), find_unit("MV"), find_unit("furlong")
    (Unit(si='V', exponent=-3, curve=None), Unit(si='V', exponent=-3, curve=None), None)
    """
    return EXACT.get(spelling) or FOLDED.get(spelling.casefold())


def spellings_of(spelling: str) -> list[str]:
    """Known spellings that differ from this one by capitals only.

    >>> spellings_of("MOHM")
    ['mohm', 'Mohm']
    """
    folded = spelling.casefold()
    return [known for known in EXACT if known.casefold() == folded]
