"""Why a text is no quantity, or not the one that was asked for: every reason with its remedy."""

from __future__ import annotations

import re
from typing import Final, NamedTuple

from levelhead.errors import QuantityError
from levelhead.quantity.levels import Gain, Level, Reference
from levelhead.quantity.measure import UNITS, Measure
from levelhead.quantity.units import EXACT, MULTIPLIERS, spellings_of

_COMMA: Final = re.compile(r"([+-]?)\s*(\d[\d.,]*,[\d.,]*|,\d+)\s*(.*)", re.DOTALL)
_NUMBER_THEN: Final = re.compile(r"\s*[+-]?\s*[\d.]+(?:[eE][+-]?\d+)?\s*(.*?)\s*", re.DOTALL)
_SET_OFF_DIGITS: Final = 3  # digits behind a comma that may set off thousands


class _Slip(NamedTuple):
    """A usual way to miss: how it looks, what is wrong, what to do."""

    looks: re.Pattern[str]
    what: str
    remedy: str


def _slip(looks: str, what: str, remedy: str) -> _Slip:
    return _Slip(re.compile(looks, re.IGNORECASE | re.DOTALL), what, remedy)


_SLIPS: Final = (
    _slip(
        r"[+-]?\s*(inf|infinity|nan|\u221e)\b.*|[+-]?\s*\u221e.*",
        "that is not a finite number",
        "Write 'off' for a closed fader; leave out what is not known.",
    ),
    _slip(
        r".*(\+/?-|\u00b1).*",
        "a spread is given inside the value",
        "Give the value by itself, and its range in a field of its own.",
    ),
    _slip(
        r"[+-]?\s*[\d.]+(e[+-]?\d+)?\s*[a-z]*\s*(-|\.\.+|to)\s*[\d.]+.*",
        "a range is given where one value is read",
        "Give one value, and the range in a field of its own.",
    ),
    _slip(
        r".*\d\s*V?\s*(p|pp|p-p|pk|pk-pk|peak)",
        "a peak voltage is no level until the waveform is known",
        "Give the rms value; of a sine it is the peak / 1.414, or peak to peak / 2.828.",
    ),
    _slip(
        r"([<>~=]|about|approx|ca\.?\s).*",
        "a word or sign stands before the number",
        "Give the number alone; doubt goes into the range.",
    ),
    _slip(
        r".*\d\s*/\s*\d.*",
        "fractions are not read",
        "Write a decimal number with a point: 0.5 for a half.",
    ),
    _slip(
        r".*\d\s*dBv",
        "dBv with a small v has meant dBu as well as dBV, and they are 2.2 dB apart",
        "Write 'dBu' (against 0.775 V) or 'dBV' (against 1 V).",
    ),
    _slip(
        r".*\d\s*C",
        "C alone may be degrees or coulombs",
        "Write degrees Celsius as 'degC', and charge as mC or mAh.",
    ),
)


def refusal_of_text(text: str, plain: str) -> QuantityError:
    """Error for a text that is no quantity, with the reason that fits best."""
    place = f"value '{text}'"
    if match := _COMMA.fullmatch(plain.strip()):
        return _refusal_of_comma(place, *match.groups())
    for slip in _SLIPS:
        if slip.looks.fullmatch(plain.strip()):
            return QuantityError(
                slip.what, where=place, expected="one number and its unit", remedy=slip.remedy
            )
    match = _NUMBER_THEN.fullmatch(plain)
    if match is None:
        return QuantityError(
            "no number at its beginning",
            where=place,
            expected="a number and its unit, like '+4 dBu', '775 mV' or '2.2 kohm'",
            remedy="Write the number first, with a point for decimals, then the unit.",
        )
    return QuantityError(
        f"unit '{match[1]}' is not known",
        where=place,
        expected="a usual unit, like V, mV, dBu, dB SPL, kohm, m, ft, Hz",
        remedy=_nearest_spelling(match[1].replace(" ", "")),
    )


def _refusal_of_comma(place: str, sign: str, digits: str, unit: str) -> QuantityError:
    """A comma is a decimal sign or sets off thousands: show each form with a point that fits."""
    forms = [f"'{sign}{form} {unit}".rstrip() + "'" for form in _point_forms(digits)]
    remedy = f"Write {forms[0]}"
    if len(forms) > 1:
        remedy += f", or {forms[1]} if the comma sets off thousands"
    return QuantityError(
        "decimal commas are not read",
        where=place,
        expected="a point before the decimals and nothing between thousands",
        remedy=f"{remedy}.",
    )


def _point_forms(digits: str) -> list[str]:
    """What digits with commas may mean, the likelier first.

    >>> (
    ...     _point_forms("1,5"),
    ...     _point_forms("10,000"),
    ...     _point_forms("1.234,5"),
    ...     _point_forms("1,234.5"),
    ... )
    (['1.5'], ['10.000', '10000'], ['1234.5'], ['1234.5'])
    """
    whole, _, part = digits.rpartition(",")
    if "." in part or "," in whole:
        return [digits.replace(",", "")]
    if "." in whole:
        return [f"{whole.replace('.', '')}.{part}"]
    forms = [f"{whole or 0}.{part}".rstrip(".")]
    if len(part) == _SET_OFF_DIGITS and whole.strip("0"):
        forms.append(whole + part)
    return forms


def _nearest_spelling(spelling: str) -> str:
    """A question back, if a known unit looks like it."""
    if spelling in MULTIPLIERS:
        return f"Add the unit to the prefix, like '{spelling.replace('K', 'k')}ohm'."
    if either := spellings_of(spelling):
        return "Capitals decide here: write " + " or ".join(f"'{known}'" for known in either) + "."
    import difflib  # only when something went wrong

    near = difflib.get_close_matches(spelling, EXACT, n=1, cutoff=0.6)
    return f"Did you mean '{near[0]}'?" if near else "See the table of units in the manual."


def refusal_of_length(text: str) -> QuantityError:
    """Error for a text that goes on too long to be one quantity."""
    return QuantityError(
        f"{len(text)} characters in a row",
        where=f"value '{text[:20]}...'",
        expected="one number and its unit",
        remedy="Put remarks into a field of their own.",
    )


def refusal_of_size(text: str, expected: str) -> QuantityError:
    """Error for a value that nobody can mean."""
    return QuantityError(
        "the value is not believable",
        where=f"value '{text}'",
        expected=expected,
        remedy="Look at the prefix and at the digits.",
    )


def refusal_of_bare_dbm(text: str) -> QuantityError:
    """Error for dBm without the impedance that makes it a voltage."""
    return QuantityError(
        "dBm is a power and says nothing of a voltage by itself",
        where=f"value '{text}'",
        expected="dBm with a stated impedance",
        remedy=f"Write '{text.strip()} in 600 ohm' if that is meant, or give the level in dBu.",
    )


def refusal_of_kind(text: str, quantity: Level | Gain | Measure, unit: str) -> QuantityError:
    """Error for a quantity that is well written and of another kind than wanted."""
    wanted = UNITS[unit].name if unit in UNITS else "gain" if unit == "dB" else "level"
    return QuantityError(
        _kind(quantity),
        where=f"value '{text}'",
        expected=f"{_with_article(wanted)} in {unit}" if unit != "1" else _with_article(wanted),
        remedy=_kind_remedy(text.strip(), quantity, unit),
    )


def _with_article(noun: str) -> str:
    """The noun behind 'a' or 'an'."""
    return f"an {noun}" if noun[0] in "aeiou" else f"a {noun}"


def _kind(quantity: Level | Gain | Measure) -> str:
    """What was read, in words."""
    if isinstance(quantity, Gain):
        return "dB alone is a gain; it does not say what 0 dB is"
    if isinstance(quantity, Level):
        return f"a level in {quantity.reference.value} was read"
    if quantity.unit == "1":
        return "the number has no unit"
    return f"{_with_article(UNITS[quantity.unit].name)} in {quantity.unit} was read"


def _kind_remedy(text: str, quantity: Level | Gain | Measure, unit: str) -> str:
    """What to write instead."""
    number = text.removesuffix("dB").strip()
    if isinstance(quantity, Gain):
        if unit in UNITS:
            return "Write the value with its unit, or a level with its reference, like '+4 dBu'."
        return f"Add the reference: '{number} {unit}'."
    if isinstance(quantity, Level):
        if quantity.reference is Reference.DBFS:
            return "Only the alignment of a converter ties dBFS to volts: give the analogue level."
        return f"Write {_with_article('gain')} in dB." if unit == "dB" else "Give the value itself."
    if quantity.unit == "1":
        return f"Add it: '{text} {unit}'."
    if quantity.unit == "K" and unit == "ohm":
        return "Write kilo-ohms as 'kohm'."
    return "Write the value with a unit of that kind."
