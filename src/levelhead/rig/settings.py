"""Settings of a show read against the controls they belong to."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Final

from levelhead.errors import QuantityError, ShowError
from levelhead.gear.names import did_you_mean
from levelhead.gear.plan import ControlPlan
from levelhead.gear.scales import OFF_DB, PAN_POSITIONS, SCALES
from levelhead.quantity.formatting import format_level, format_si
from levelhead.quantity.parsing import parse_si

__all__ = ["UNKNOWN", "read_setting", "setting_text", "unknown_span_db"]

UNKNOWN: Final = "unknown"
_ROUNDING_DB: Final = 1e-9
_LOWEST_LEFT: Final = 1 / 3  # of the travel of a control that goes to off, common practice
_STEPS: Final = 400


def read_setting(text: str, control: ControlPlan, *, where: str) -> float | str:
    """Value of a control: dB (``-inf`` for off), pan from -1 to +1, or the name of an option.

    Raises
    ------
    ShowError
        Not a value that this control can take; the message gives its range or options.
    """
    if control.kind == "switch":
        return _option(text, control, where)
    value = _pan(text, where) if control.kind == "pan" else _quantity(text, control, where)
    slack = _ROUNDING_DB * max(abs(control.high), 1.0)
    if not control.low - slack <= value <= control.high + slack:
        raise ShowError(
            f"'{text}' is outside the control's range",
            where=where,
            expected=_range_words(control),
            remedy="Set what the panel allows.",
        )
    return value


def unknown_span_db(control: ControlPlan) -> tuple[float, float]:
    """Between which settings a range stands that nobody knows. [dB]

    Its whole range; of one that goes to off the upper two thirds of its travel, where people leave
    a control that they use (common practice). That it stands at off would be heard as silence.
    """
    if math.isfinite(control.low):
        return control.low, control.high
    return _lowest_left_db(control.scale, control.low, control.high), control.high


@lru_cache(maxsize=64)
def _lowest_left_db(name: str, low_db: float, high_db: float) -> float:
    """The first setting at a third of the travel; a scale only goes up."""
    steps = (OFF_DB + (high_db - OFF_DB) * step / _STEPS for step in range(_STEPS))
    travel = SCALES[name].travel
    return next(
        (each for each in steps if travel(each, low_db=low_db, high_db=high_db) >= _LOWEST_LEFT),
        high_db,
    )


def setting_text(value: float | str, control: ControlPlan) -> str:
    """A setting as a show file writes it: ``35 dB``, ``off``, ``centre``, ``on``."""
    if isinstance(value, str):
        return value
    if control.kind == "pan":
        return next((name for name, at in PAN_POSITIONS.items() if at == value), f"{value:+.2f}")
    if control.kind == "dial":
        return _dial_text(value, control.unit)
    return "off" if math.isinf(value) else f"{round(value, 1):g} dB"


def _dial_text(value: float, unit: str) -> str:
    return format_level(value, unit) if unit.startswith("dB") else format_si(value, unit)


def _option(text: str, control: ControlPlan, where: str) -> str:
    if text in control.options:
        return text
    raise ShowError(
        f"'{text}' is none of its positions",
        where=where,
        expected=f"one of {', '.join(control.options)}",
        remedy=did_you_mean(text, control.options) or "Name one of them.",
    )


def _pan(text: str, where: str) -> float:
    if text in PAN_POSITIONS:
        return PAN_POSITIONS[text]
    try:
        return float(text)
    except ValueError as error:
        raise ShowError(
            f"'{text}' is no position of a pan control",
            where=where,
            expected="left, centre, right, or a number from -1 (left) to 1 (right)",
            remedy="Write for example 'centre'.",
        ) from error


def _quantity(text: str, control: ControlPlan, where: str) -> float:
    try:
        return parse_si(text, control.unit)
    except QuantityError as error:
        raise ShowError(
            f"'{text}' is no setting of this control",
            where=where,
            expected=f"a setting in {control.unit}, {_range_words(control)}",
            remedy=f"Write for example '{setting_text(control.default, control)}'.",
        ) from error


def _range_words(control: ControlPlan) -> str:
    return f"{setting_text(control.low, control)} to {setting_text(control.high, control)}"
