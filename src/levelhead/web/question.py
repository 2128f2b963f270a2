"""What comes in from a browser, checked before anybody else sees it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from levelhead.errors import AskError
from levelhead.quantity.parsing import parse_si

LONGEST_TEXT: Final = 200  # characters of one field
MOST_SETTINGS: Final = 64
LONGEST_CABLE_M: Final = 10_000.0
SETTING_PREFIX: Final = "set."  # the form field "set.desk.ch1.gain" sets desk.ch1.gain
FIELDS: Final = frozenset({"from", "to", "cable", "length_m", "at", "settings"})

Question = dict[str, Any]


def question_from_form(fields: Mapping[str, str]) -> Question:
    """Question of a page's address (``?from=...&to=...``); unknown fields are left out."""
    known = {name: fields[name] for name in FIELDS - {"settings"} if name in fields}
    settings = {
        name.removeprefix(SETTING_PREFIX): text
        for name, text in fields.items()
        if name.startswith(SETTING_PREFIX)
    }
    return question_from_json({**known, "settings": settings})


def fields_of(question: Mapping[str, Any]) -> list[tuple[str, str]]:
    """The same question as fields of a form, which ``question_from_form`` reads back."""
    plain = {name: question.get(name) for name in sorted(FIELDS - {"settings"})}
    settings = {
        SETTING_PREFIX + name: text for name, text in (question.get("settings") or {}).items()
    }
    return [
        (name, str(value)) for name, value in {**plain, **settings}.items() if value is not None
    ]


def question_from_json(body: Any) -> Question:
    """Check a question and give each field its type; what was left empty is ``None``.

    Raises
    ------
    AskError
        Not an object, an unknown field, a text that is too long, a length that is none.
    """
    if not isinstance(body, dict):
        raise _refusal("not a question", where="request", expected="an object with from and to")
    unknown = sorted(str(name) for name in body.keys() - FIELDS)
    if unknown:
        names = ", ".join(unknown)[:LONGEST_TEXT]
        raise _refusal(
            f"unknown fields {names}", where="request", expected=", ".join(sorted(FIELDS))
        )
    return {
        "from": _needed(body, "from", example="keyboard"),
        "to": _needed(body, "to", example="mixer line input"),
        "cable": _text(body, "cable"),
        "length_m": _length_m(body.get("length_m")),
        "at": _text(body, "at"),
        "settings": _settings(body.get("settings")),
    }


def _refusal(what: str, *, where: str, expected: str) -> AskError:
    return AskError(what, where=where, expected=expected, remedy="Change it and ask again.")


def _text(body: Mapping[str, Any], name: str) -> str | None:
    """One text field, without blanks around it."""
    value = body.get(name)
    if value is None:
        return None
    if not isinstance(value, str):
        raise _refusal("not a text", where=f"'{name}'", expected="words")
    if len(value) > LONGEST_TEXT:
        raise _refusal(
            f"{len(value)} characters", where=f"'{name}'", expected=f"at most {LONGEST_TEXT}"
        )
    return value.strip() or None


def _needed(body: Mapping[str, Any], name: str, *, example: str) -> str:
    text = _text(body, name)
    if text is None:
        raise AskError(
            "nothing is written",
            where=f"'{name}'",
            expected=f"a piece of gear, such as {example}",
            remedy="Type a few letters and pick from the list.",
        )
    return text


def _length_m(value: Any) -> float | None:
    """Cable length: a number of metres, or words with a unit."""
    if isinstance(value, str):
        text = value.strip().replace(",", ".")
        if not text:
            return None
        if len(text) > LONGEST_TEXT:
            raise _refusal("too long a text", where="'length_m'", expected="a length such as 10 m")
        value = parse_si(f"{text} m" if text[-1].isdigit() else text, "m")
    if value is None:
        return None
    is_number = isinstance(value, int | float) and not isinstance(value, bool)
    if not is_number or not 0 < value <= LONGEST_CABLE_M:
        raise _refusal(
            f"a cable of {str(value)[:20]}", where="'length_m'", expected="a length such as 10 m"
        )
    return float(value)


def _settings(value: Any) -> dict[str, str]:
    """Controls set by hand: address to text."""
    if value is None:
        return {}
    if not isinstance(value, dict) or len(value) > MOST_SETTINGS:
        raise _refusal(
            "not a list of settings",
            where="'settings'",
            expected=f"up to {MOST_SETTINGS} addresses, each with a text such as 35 dB",
        )
    texts = {str(address)[:LONGEST_TEXT]: _text(value, address) for address in value}
    return {address: text for address, text in texts.items() if text is not None}
