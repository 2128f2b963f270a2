"""What each field of a show may hold: the same checks for a file, an edit and the app.

Each check takes what was given, of any type, and returns the value or raises a ShowError whose
``where`` is the field.
"""

from __future__ import annotations

import math
import re
import unicodedata
from datetime import date
from typing import Final, Literal

from levelhead.errors import QuantityError, ShowError
from levelhead.gear.tolerance import ends_within, split_tolerance
from levelhead.quantity.parsing import parse_si
from levelhead.show.addresses import LONGEST_ID, expand_range, is_address, is_id, shortened

__all__ = [
    "checked_count",
    "checked_date",
    "checked_earth",
    "checked_figure",
    "checked_fixings",
    "checked_id",
    "checked_label",
    "checked_name",
    "checked_note",
    "checked_pin",
    "checked_range",
    "checked_residual",
    "checked_setting",
    "checked_sound_level",
    "checked_speaks_into",
    "checked_turn",
    "checked_value",
    "checked_version",
    "given_text",
    "unfit",
]

LONGEST_LABEL: Final = 120  # characters; longer ones fit no sheet
LONGEST_NOTE: Final = 10_000  # characters
LONGEST_VALUE: Final = 100  # characters of a control's value or a figure
MOST_RESIDUAL_A: Final = 3.0  # of a residual-current device; more is a slip of the keyboard
LEAST_SOUND_DB: Final = 0.0  # of a source at 1 m
MOST_SOUND_DB: Final = 150.0  # louder is no source of a show
LARGEST_COUNT: Final = 100_000  # of things in stock; more is a slip of the keyboard
LOCK: Final = "lock"  # the word in settings that lists locked controls

_CONTROL_CATEGORIES: Final = frozenset(
    {"Cc", "Cs", "Zl", "Zp"}
)  # Unicode: controls, half characters, separators
_COMMA: Final = re.compile(r"\d,\d")
_NUMBER: Final = re.compile(r"[0-9]*\.?[0-9]+(?:[eE][-+]?[0-9]+)?")
_NOT_FINITE: Final = re.compile(
    r"[-+\u2212]?\s*(?:\.?(?:nan|inf|infinity)\b|\u221e).*", re.IGNORECASE | re.DOTALL
)
_PIN: Final = re.compile(r"[A-Za-z0-9][A-Za-z0-9.+-]{0,31}")
_FIGURE: Final = re.compile(r"[a-z0-9][a-z0-9-]*(?:\.[a-z0-9][a-z0-9-]*)*")
_LONGEST_FIGURE: Final = 200  # characters of a figure's name
_DATE: Final = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)


def unfit(field: str, what: str, *, expected: str, remedy: str) -> ShowError:
    """Error of a check, with the field as its place."""
    return ShowError(what, where=field, expected=expected, remedy=remedy)


def given_text(given: object, field: str) -> str:
    """Text, if it is text."""
    if isinstance(given, str):
        return given
    raise unfit(
        field, f"{shortened(str(given))} is no text", expected="text", remedy="Put it in quotes."
    )


def checked_id(given: object) -> str:
    """An id: ``[a-z0-9][a-z0-9-]*``."""
    text = given_text(given, "id")
    if not is_id(text):
        raise unfit(
            "id",
            f"{shortened(text)} is no id",
            expected=f"small letters, digits and hyphens, at most {LONGEST_ID}",
            remedy="Write it like vox-1; the label may hold any text.",
        )
    return text


def checked_label(given: object) -> str:
    """One line of text that people read."""
    return _line(given_text(given, "label"), LONGEST_LABEL, also="")


def checked_name(given: object) -> str:
    """One line of text that may not be empty."""
    text = checked_label(given)
    if not text.strip():
        raise unfit("name", "an empty text", expected="a name", remedy="Write what people call it.")
    return text


def checked_note(given: object) -> str:
    """Text of any lines."""
    return _line(given_text(given, "note"), LONGEST_NOTE, also="\n\t")


def _line(text: str, longest: int, *, also: str) -> str:
    if len(text) > longest:
        raise unfit(
            "text",
            f"{len(text)} characters",
            expected=f"at most {longest}",
            remedy="Shorten it, or use a note.",
        )
    if text.isprintable():
        return text
    for character in text:
        if character not in also and unicodedata.category(character) in _CONTROL_CATEGORIES:
            raise unfit(
                "text",
                f"the control character U+{ord(character):04X}",
                expected="text that can be printed",
                remedy="Delete it and type the text anew.",
            )
    return text


def checked_date(given: object) -> str:
    """A day of the calendar, as ISO 8601 writes it."""
    text = given_text(given, "date")
    try:
        if _DATE.fullmatch(text):
            return date.fromisoformat(text).isoformat()
    except ValueError:
        pass
    raise unfit(
        "date",
        f"{shortened(text)} is no date",
        expected="year-month-day",
        remedy="Write it like 2026-12-05.",
    )


def checked_count(given: object, *, least: int = 0) -> int:
    """A whole number from ``least``."""
    if isinstance(given, int) and not isinstance(given, bool) and least <= given <= LARGEST_COUNT:
        return given
    raise unfit(
        "number",
        f"{shortened(str(given))} is no such number",
        expected=f"a whole number from {least} to {LARGEST_COUNT}",
        remedy="Write digits only.",
    )


def checked_fixings(given: object) -> int:
    """How many fixings hold something, each by itself."""
    return checked_count(given, least=1)


def checked_turn(given: object) -> int:
    """The turn at which something is switched on."""
    return checked_count(given, least=1)


def checked_earth(given: object) -> Literal["sound", "lost"]:
    """How the protective earth of a supply is."""
    if given == "sound":
        return "sound"
    if given == "lost":
        return "lost"
    raise unfit(
        "earth",
        f"{shortened(str(given))} says nothing of an earth",
        expected="sound or lost",
        remedy="Write lost where the earth is broken or taped off; leave it out otherwise.",
    )


def checked_residual(given: object) -> str:
    """Rated current of a residual-current device, as typed."""
    text = given_text(given, "rcd")
    try:
        if len(text) <= LONGEST_VALUE and 0 < parse_si(text, "A") <= MOST_RESIDUAL_A:
            return text
    except QuantityError:
        pass
    raise unfit(
        "rcd",
        f"{shortened(text)} is no residual current",
        expected=f"a current with its unit, above 0 and at most {MOST_RESIDUAL_A:g} A",
        remedy="Write what is printed on the device, like 30 mA.",
    )


def checked_sound_level(given: object) -> str:
    """Sound level of a source at 1 m, as typed; how sure it is may stand behind it."""
    text = given_text(given, "level")
    try:
        if len(text) <= LONGEST_VALUE:
            value, tolerance = split_tolerance(text)
            level = parse_si(value, "dB SPL")
            if tolerance is not None:
                ends_within(level, tolerance, "dB SPL")
            if LEAST_SOUND_DB <= level <= MOST_SOUND_DB:
                return text
    except QuantityError:
        pass
    raise unfit(
        "level",
        f"{shortened(text)} is no sound level",
        expected=f"{LEAST_SOUND_DB:g} to {MOST_SOUND_DB:g} dB SPL, at 1 m",
        remedy="Write it like 91 dB SPL, or 91 dB SPL +- 2 dB.",
    )


def checked_version(given: object) -> int:
    """Version of a show, counted from 1."""
    return checked_count(given, least=1)


def checked_value(given: object) -> str:
    """Value of a control or a figure as text: ``35 dB``, ``on``, ``unknown``."""
    text = given_text(given, "value").strip()
    if not text or len(text) > LONGEST_VALUE or not _line(text, LONGEST_VALUE, also="").strip():
        raise unfit(
            "value",
            f"{shortened(text)} is no value",
            expected=f"one to {LONGEST_VALUE} characters",
            remedy="Write it like 35 dB, on or unknown; leave the line out for the default.",
        )
    _refuse_comma(text)
    if _NOT_FINITE.fullmatch(text) or not all(
        math.isfinite(float(number)) for number in _NUMBER.findall(text)
    ):
        raise unfit(
            "value",
            f"{shortened(text)} is not finite",
            expected="a finite number and its unit",
            remedy="Write off for a closed fader, unknown for what is not known.",
        )
    return text


def _with_point(match: re.Match[str]) -> str:
    return match[0].replace(",", ".")


def _refuse_comma(text: str) -> None:
    if _COMMA.search(text):
        raise unfit(
            "value",
            f"{shortened(text)} has a comma in its number",
            expected="a point before decimals, nothing between thousands",
            remedy=f"Write {_COMMA.sub(_with_point, text)} if a decimal is meant.",
        )


def checked_figure(given: object) -> str:
    """Name of a figure within its gear type: ``ch.power.gain``."""
    text = given_text(given, "figure")
    if len(text) > _LONGEST_FIGURE or not _FIGURE.fullmatch(text):
        raise unfit(
            "figure",
            f"{shortened(text)} names no figure",
            expected="ids with dots between",
            remedy="Write it like ch.power.gain, as the gear type has it.",
        )
    return text


def checked_pin(given: object) -> str:
    """A pin (``2``, ``tip``, ``1+``, ``a.2``) or its state (``open``)."""
    text = given_text(given, "pin")
    if not _PIN.fullmatch(text):
        raise unfit(
            "pin",
            f"{shortened(text)} is no pin",
            expected="a pin such as 2, tip or 1+, or open",
            remedy='Write it like {"2": open}.',
        )
    return text


def checked_setting(given: object) -> str:
    """Address of a control; ``lock`` is the one word that no control is called by."""
    text = given_text(given, "address")
    if not is_address(text) or LOCK in text.split("."):
        raise unfit(
            "address",
            f"{shortened(text)} is no address of a control",
            expected="an item, and one to three more names, with dots between",
            remedy="Write it like desk.ch7.gain.",
        )
    return text


def checked_range(given: object) -> str:
    """Address of a socket, or a range of them."""
    text = given_text(given, "address")
    expand_range(text)
    return text


def checked_speaks_into(given: object) -> str:
    """What a source speaks into: an item, or a place in one."""
    text = given_text(given, "item")
    if not is_id(text) and not is_address(text):
        raise unfit(
            "item",
            f"{shortened(text)} is no item and no address",
            expected="an item such as vox-1, or an address such as guitar.body",
            remedy="Use the id of the item, not its label.",
        )
    return text
