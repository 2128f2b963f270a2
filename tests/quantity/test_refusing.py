"""What cannot be read is refused with the reason and with what to write instead."""

from __future__ import annotations

import re

import pytest

from levelhead.errors import QuantityError
from levelhead.quantity.parsing import parse, parse_si

REFUSED = [
    ("1,5 V", "decimal commas are not read", "Write '1.5 V'."),
    (",5 V", "decimal commas are not read", "Write '0.5 V'."),
    ("-0,25 dB", "decimal commas are not read", "Write '-0.25 dB'."),
    ("2,2kohm", "decimal commas are not read", "Write '2.2 kohm'."),
    ("10,000 Hz", "decimal commas", "Write '10.000 Hz', or '10000 Hz' if the comma sets off"),
    ("0,125 W", "decimal commas", "Write '0.125 W'."),
    ("1.234,5 Hz", "decimal commas", "Write '1234.5 Hz'."),
    ("1,234.5 Hz", "decimal commas", "Write '1234.5 Hz'."),
    ("1,234,567 Hz", "decimal commas", "Write '1234567 Hz'."),
    ("nan V", "not a finite number", "Write 'off' for a closed fader"),
    ("-inf dB", "not a finite number", "Write 'off' for a closed fader"),
    ("infinity", "not a finite number", "Write 'off'"),
    ("-\u221e dB", "not a finite number", "Write 'off'"),
    ("48 V \u00b1 4 V", "a spread is given inside the value", "its range in a field of its own"),
    ("48 +/- 4 V", "a spread is given inside the value", "its range in a field of its own"),
    ("100-240 V", "a range is given where one value is read", "the range in a field of its own"),
    ("20 Hz..20 kHz", "a range is given where one value is read", "Give one value"),
    ("1 to 2 m", "a range is given where one value is read", "Give one value"),
    ("2 Vpp", "a peak voltage is no level", "peak to peak / 2.828"),
    ("1.0 V p-p", "a peak voltage is no level", "of a sine it is the peak / 1.414"),
    ("17 V peak", "a peak voltage is no level", "Give the rms value"),
    ("~150 ohm", "a word or sign stands before the number", "doubt goes into the range"),
    ("about 150 ohm", "a word or sign stands before the number", "Give the number alone"),
    ("< 10 ohm", "a word or sign stands before the number", "Give the number alone"),
    ("1/2 W", "fractions are not read", "0.5 for a half"),
    ("4 dBv", "dBv with a small v has meant dBu as well as dBV", "Write 'dBu'"),
    ("4 dbv", "dBv with a small v has meant dBu as well as dBV", "2.2 dB apart|'dBV'"),
    ("20 C", "C alone may be degrees or coulombs", "Write degrees Celsius as 'degC'"),
    ("4 dBm", "dBm is a power", "Write '4 dBm in 600 ohm' if that is meant"),
    ("5 MOHM", "unit 'MOHM' is not known", "write 'mohm' or 'Mohm'"),
    ("10k", "unit 'k' is not known", "Add the unit to the prefix, like 'kohm'"),
    ("4 dBq", "unit 'dBq' is not known", "Did you mean"),
    ("4 kohmz", "unit 'kohmz' is not known", "Did you mean 'kohm'"),
    ("4 parsecs per fortnight", "unit 'parsecs per fortnight' is not known", "table of units"),
    ("10² V", "unit '^2 V' is not known", "."),
    ("", "no number at its beginning", "Write the number first"),
    ("dBu", "no number at its beginning", "Write the number first"),
    ("V 48", "no number at its beginning", "Write the number first"),
    ("1e99 V", "not believable", "Look at the prefix"),
    ("1e9999999 V", "unit", "."),
    ("1e99999 dBV/Pa", "not believable", "Look at the prefix"),
    ("48 GHz/m", "unit 'GHz/m' is not known", "."),
    ("400 dBu", "not believable", "Look at the prefix"),
    ("300 dB SPL", "not believable", "Look at the prefix"),
    ("900 dB", "not believable", "Look at the prefix"),
    ("500 dBm in 600 ohm", "not believable", "Look at the prefix"),
    ("-5 ohm", "not believable", "Look at the prefix"),
    ("-300 degC", "not believable", "Look at the prefix"),
    ("41 AWG", "a wire of 41 AWG", "cross-section"),
    ("12:0", "unit ':0' is not known", "."),
]


@pytest.mark.parametrize(("text", "what", "remedy"), REFUSED)
def test_refusal_says_what_is_wrong_and_what_to_write(text: str, what: str, remedy: str) -> None:
    with pytest.raises(QuantityError, match=re.escape(what)) as caught:
        parse(text)
    assert re.search(remedy.replace("(", r"\("), caught.value.remedy)
    assert caught.value.expected


@pytest.mark.parametrize(
    ("text", "unit", "what", "remedy"),
    [
        ("4 dB", "dBu", "dB alone is a gain", "Add the reference: '4 dBu'."),
        ("-18 dB", "dBFS", "dB alone is a gain", "Add the reference: '-18 dBFS'."),
        ("94 dB", "dB SPL", "dB alone is a gain", "Add the reference: '94 dB SPL'."),
        ("4 dB", "V", "dB alone is a gain", "a level with its reference"),
        ("off", "dBu", "dB alone is a gain", "dBu"),
        ("4 dBu", "dB", "a level in dBu was read", "Write a gain in dB."),
        ("-18 dBFS", "dBu", "a level in dBFS was read", "alignment of a converter"),
        ("-18 dBFS", "V", "a level in dBFS was read", "alignment of a converter"),
        ("60 dB(A)", "dB SPL", r"a level in dB\(A\) was read", "Give the value itself."),
        ("12", "V", "the number has no unit", "Add it: '12 V'."),
        ("5 m", "V", "a length in m was read", "a unit of that kind"),
        ("300 VA", "W", "an apparent power in VA was read", "a unit of that kind"),
        ("2.2 K", "ohm", "a temperature in K was read", "Write kilo-ohms as 'kohm'."),
        ("20 C", "K", "C alone may be degrees", "'degC'"),
        ("47u", "ohm", "unit 'u' is not known", "Add the unit to the prefix"),
    ],
)
def test_other_kind_than_wanted_is_refused(text: str, unit: str, what: str, remedy: str) -> None:
    with pytest.raises(QuantityError, match=what) as caught:
        parse_si(text, unit)
    assert remedy in caught.value.remedy


@pytest.mark.parametrize("piece", ["1", " ", "1 ", "dB", "10 V p", "1,"])
def test_endless_text_is_refused_at_once(piece: str) -> None:
    """A paragraph pasted by accident, or a page's worth of spaces."""
    for unit in ("V", "ohm"):
        with pytest.raises(QuantityError, match="Put remarks into a field of their own"):
            parse_si("1" + piece * 100_000, unit)


def test_refusal_quotes_the_text_as_it_was_typed() -> None:
    """Also where signs were replaced before reading."""
    with pytest.raises(QuantityError, match="value '1,5 µV'"):
        parse("1,5 µV")
