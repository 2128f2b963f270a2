"""How figures are written on screen: with their unit, a real minus sign, a tenth of a decibel."""

from __future__ import annotations

import re
from typing import Final

from markupsafe import Markup, escape

from levelhead.drawing.figures import MINUS, NOTHING, SIGNED_UNITS, level_figure
from levelhead.quantity.formatting import format_si
from levelhead.quantity.measure import UNITS

UNSIGNED_UNITS: Final = frozenset({"dB", "dB SPL"})
NEAR_CERTAIN: Final = 0.01  # closer to sure than this is not told apart


def figure(value: float | str | None, unit: str = "") -> str:
    """A value with its unit, as it stands in a sentence.

    Examples
    --------
    >>> figure(4, "dBu"), figure(12.04, "dB"), figure(None, "dBu")
    ('+4.0 dBu', '12.0 dB', '–')
    >>> figure(85, "dB(A)"), figure(12.5, "ms"), figure(0.89, "W/m")
    ('85.0 dB(A)', '12.5 ms', '0.89 W/m')
    """
    if value is None:
        return NOTHING
    if isinstance(value, str):
        return f"{value} {unit}".strip()
    if unit in SIGNED_UNITS | UNSIGNED_UNITS:
        return f"{level_figure(value, unit)} {unit}"
    if unit in {"", "1"}:
        return f"{value:g}".replace("-", MINUS)
    if unit in UNITS:
        return format_si(value, unit).replace("-", MINUS)
    shown = f"{value:.1f}" if unit.startswith("dB") else f"{value:.3g}"
    return f"{shown} {unit}".replace("-", MINUS)


def chance(probability: float | None) -> str:
    """How likely something holds, in words that nobody has to convert.

    Examples
    --------
    >>> chance(0.97), chance(0.999), chance(None)
    ('holds in 97 of 100 cases', 'holds in more than 99 of 100 cases', '')
    """
    if probability is None:
        return ""
    hundredths = round(probability * 100)
    if probability > 1 - NEAR_CERTAIN:
        return "holds in more than 99 of 100 cases"
    if probability < NEAR_CERTAIN:
        return "holds in fewer than 1 of 100 cases"
    return f"holds in {hundredths} of 100 cases"


def metres(length: float | str | None) -> str:
    """A cable length as it stands in its field.

    Examples
    --------
    >>> metres(10.0), metres("10 m"), metres(None)
    ('10 m', '10 m', '')
    """
    return f"{length:g} m" if isinstance(length, int | float) else length or ""


def breakable(address: str) -> Markup:
    """An address that may go on in a new line after each dot.

    Examples
    --------
    >>> breakable("desk.ch1.mic")
    Markup('desk.<wbr>ch1.<wbr>mic')
    """
    return Markup("<wbr>").join(escape(part) for part in re.split(r"(?<=[.])", address))
