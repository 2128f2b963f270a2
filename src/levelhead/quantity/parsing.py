"""Read what people type: ``+4 dBu``, ``775 mV``, ``2k2``, ``16 ft``, ``0 dBm in 600 ohm``."""

from __future__ import annotations

import math
import re
from typing import Final

from levelhead.errors import QuantityError
from levelhead.quantity.decibels import (
    db_spl_from_pascals,
    dbu_from_volts,
    dbv_from_volts,
    dbw_from_watts,
)
from levelhead.quantity.levels import Gain, Level, Reference
from levelhead.quantity.measure import DECIBELS, UNITS, Measure
from levelhead.quantity.refusing import (
    refusal_of_bare_dbm,
    refusal_of_kind,
    refusal_of_length,
    refusal_of_size,
    refusal_of_text,
)
from levelhead.quantity.typography import in_ascii
from levelhead.quantity.units import EXACT, FOOT_M, INCH_M, MULTIPLIERS, Unit, find_unit

Quantity = Level | Gain | Measure

CLOSED: Final = "off"  # a closed fader: a gain of -inf
SILENCE: Final = "silence"  # a level of -inf; the place that it is read at tells its reference
LONGEST_TEXT: Final = 80  # characters; the longest sensible ones have half of them

_REFERENCES: Final = {reference.value: reference for reference in Reference}
_DIGITS: Final = r"(?:\d{1,3}(?: \d{3})+(?!\d)(?:\.\d+)?|\d+(?:\.\d*)?|\.\d+)"
_NUMBER: Final = rf"{_DIGITS}(?:[eE][+-]?\d{{1,6}})?"
_VALUE: Final = re.compile(rf"\s*([+-]?)\s*({_NUMBER})\s*(.*?)\s*", re.DOTALL)
_LETTER_AS_POINT: Final = re.compile(r"(\d*)([RkKMunpV])(\d+) ?(ohms?|Hz|F|H|V)?")
_PREFIX_ALONE: Final = re.compile(rf"({_NUMBER})(?: ?([kMGunp])|([Km]))")
_FEET: Final = r"(?:ft|feet|foot|')"
_INCHES: Final = r"(?:inches|inch|in|\"|'')"
_FEET_AND_INCHES: Final = re.compile(rf"({_NUMBER}) ?{_FEET} ?({_NUMBER}) ?{_INCHES}")
_RATIO: Final = re.compile(rf"({_NUMBER}) ?: ?({_NUMBER})")
_GAUGE: Final = re.compile(r"(?:AWG|awg) ?#?(\d+)")
_POWER_LEVEL: Final = re.compile(r"(dBm|dBW)\(?(?:into|in|across|at|on|re|@|/|,)?(\d[^()]*)\)?")

# The letter that stands for the point tells the unit where none is written (IEC 60062).
_UNIT_OF_LETTER: Final = {"V": "V"} | dict.fromkeys("RkKM", "ohm") | dict.fromkeys("unp", "F")
_LEVEL_OF: Final = {
    ("V", Reference.DBU): dbu_from_volts,
    ("V", Reference.DBV): dbv_from_volts,
    ("Pa", Reference.DB_SPL): db_spl_from_pascals,
    ("W", Reference.DBW): dbw_from_watts,
}
# Prefixes that may stand alone at a place whose unit is known.
_PREFIXES_ALONE: Final = {"ohm": "kKMGm", "Hz": "kKMG", "F": "munp", "H": "mun"}


def parse(text: str) -> Quantity:
    """Read one quantity as people write it.

    Parameters
    ----------
    text : str
        A number with its unit, in any usual spelling, ASCII or not; ``off`` is a closed fader.

    Returns
    -------
    Level, Gain or Measure
        A level keeps its reference; a measure is in SI.

    Raises
    ------
    QuantityError
        The text is no quantity, has a decimal comma, an unknown unit or an unbelievable value.

    Examples
    --------
    >>> parse("+4 dBu")
    Level(value_db=4.0, reference=<Reference.DBU: 'dBu'>, impedance_ohm=None)
    >>> parse("20 dB")
    Gain(db=20.0)
    >>> parse("2k2")
    Measure(value=2200.0, unit='ohm')
    """
    plain = _plain(text)
    match = _VALUE.fullmatch(plain)
    if match is None:
        return _read_unusual(text, plain.strip())
    sign, digits, spelling = match.groups()
    if " " in spelling:
        spelling = spelling.replace(" ", "")
    unit = EXACT.get(spelling) or find_unit(spelling)
    if unit is None:
        return _read_unusual(text, plain.strip())
    return _quantity(text, _number(sign + digits, unit.exponent), unit)


def parse_si(text: str, unit: str) -> float:
    """Read one quantity as the number that is meant at a place of a known unit.

    Parameters
    ----------
    text : str
        As for :func:`parse`; where the place tells the unit, ``10k`` is enough.
    unit : str
        What the place holds: a unit of ``measure.UNITS``, ``dB`` for a gain, or the reference of
        a level, e.g. ``dBu``.

    Returns
    -------
    float
        Value in that unit. Volts also come from dBu, from dBV and from dBm in its stated impedance;
        pascals from dB SPL; volts per pascal from dBV/Pa; and the other way round. A closed fader
        and silence are ``-inf``.

    Raises
    ------
    QuantityError
        As for :func:`parse`, or the text is another kind of quantity.

    Examples
    --------
    >>> parse_si("775 mV", "V"), parse_si("10k", "Hz"), parse_si("off", "dB")
    (0.775, 10000.0, -inf)
    """
    reference = _REFERENCES.get(unit)
    if reference is None and unit not in UNITS and unit != "dB":
        raise QuantityError(
            f"nothing is read in '{unit}'",
            where="place of a value",
            expected="one of " + ", ".join([*UNITS, "dB", *_REFERENCES]),
            remedy="Ask for the SI unit or the reference.",
        )
    if reference is not None and text.strip() == SILENCE:
        return -math.inf
    quantity = _shorthand(text, unit) or parse(text)
    value = _converted(quantity, unit, reference)
    if value is None:
        raise refusal_of_kind(text, quantity, unit)
    return value


def _plain(text: str) -> str:
    """The text in ASCII, if it is short enough to be one quantity."""
    if len(text) > LONGEST_TEXT:
        raise refusal_of_length(text)
    return in_ascii(text)


def _number(digits: str, exponent: int) -> float:
    """A number times a power of ten, rounded once: ``4.7 uF`` is exactly ``4.7e-6``."""
    digits = digits.replace(" ", "")
    if exponent == 0:
        return float(digits)
    mantissa, _, power = digits.lower().partition("e")
    return float(f"{mantissa}e{int(power or 0) + exponent}")


def _believed(text: str, value: float, si: str) -> float:
    """The value, if anybody could mean it."""
    believable = UNITS.get(si) or DECIBELS[si]
    if not believable.low <= value <= believable.high:
        raise refusal_of_size(text, f"a value of {believable.name} {believable.range_in(si)}")
    return value


def _quantity(text: str, number: float, unit: Unit) -> Quantity:
    """Make the quantity of a number in a unit."""
    si = unit.si
    value = _believed(text, number if unit.curve is None else unit.curve(number), si)
    if si in UNITS:
        return Measure(value, si)
    if si == "dB":
        return Gain(value)
    if si == Reference.DBM.value:
        raise refusal_of_bare_dbm(text)
    return Level(value, _REFERENCES[si])


def _read_unusual(text: str, plain: str) -> Quantity:
    """Shapes other than number and unit; whatever is none of them is refused with a reason."""
    if plain.casefold() == CLOSED:
        return Gain(-math.inf)
    if match := _LETTER_AS_POINT.fullmatch(plain):
        spelled = find_unit(match[4] or "")
        si = spelled.si if match[4] and spelled else _UNIT_OF_LETTER[match[2]]
        return _read_letter_as_point(text, match, si)
    if match := _GAUGE.fullmatch(plain):
        return _quantity(text, float(match[1]), EXACT["AWG"])
    if match := _FEET_AND_INCHES.fullmatch(plain):
        length_m = _number(match[1], 0) * FOOT_M + _number(match[2], 0) * INCH_M
        return _quantity(text, length_m, EXACT["m"])
    if (match := _RATIO.fullmatch(plain)) and _number(match[2], 0) > 0:
        return _quantity(text, _number(match[1], 0) / _number(match[2], 0), EXACT[""])
    if (match := _VALUE.fullmatch(plain)) and (level := _read_power_level(text, match)):
        return level
    raise refusal_of_text(text, plain)


def _read_letter_as_point(text: str, match: re.Match[str], si: str) -> Quantity:
    """A letter in the place of the point: ``2k2`` is 2200 ohm, ``4u7`` is 4.7 uF."""
    whole, letter, part, _ = match.groups()
    return _quantity(text, _number(f"{whole or 0}.{part}", MULTIPLIERS.get(letter, 0)), EXACT[si])


def _read_power_level(text: str, match: re.Match[str]) -> Level | None:
    """A level of power in a stated impedance: ``0 dBm in 600 ohm``; None for other texts."""
    power = _POWER_LEVEL.fullmatch(match[3].replace(" ", ""))
    if power is None:
        return None
    value_db = _believed(text, _number(match[1] + match[2], 0), power[1])
    return Level(value_db, _REFERENCES[power[1]], parse_si(power[2], "ohm"))


def _shorthand(text: str, unit: str) -> Quantity | None:
    """``10k`` and ``2k5`` at a place that says of what; None where that is not the case."""
    prefixes = _PREFIXES_ALONE.get(unit)
    if prefixes is None:
        return None
    plain = _plain(text).strip()
    match = _PREFIX_ALONE.fullmatch(plain)
    if match and (prefix := match[2] or match[3]) in prefixes:
        return _quantity(text, _number(match[1], MULTIPLIERS[prefix]), EXACT[unit])
    match = _LETTER_AS_POINT.fullmatch(plain)
    if match and not match[4] and match[2] in prefixes:
        return _read_letter_as_point(text, match, unit)
    return None


def _converted(quantity: Quantity, unit: str, reference: Reference | None) -> float | None:
    """The quantity in the wanted unit, or None where that is another kind of thing."""
    if isinstance(quantity, Gain):
        return quantity.db if unit == "dB" else None
    if isinstance(quantity, Measure):
        return quantity.value if quantity.unit == unit else _level_of(quantity, reference)
    try:
        if reference is not None:
            return quantity.to(reference).value_db
        read = {"V": quantity.volts, "W": quantity.watts, "Pa": quantity.pascals}.get(unit)
        return None if read is None else read()
    except QuantityError:  # no common ground, such as dBFS and volts
        return None


def _level_of(measure: Measure, reference: Reference | None) -> float | None:
    """Volts, pascals and watts as a level, or None."""
    if reference is None:
        return None
    level = _LEVEL_OF.get((measure.unit, reference))
    return None if level is None else float(level(measure.value))
