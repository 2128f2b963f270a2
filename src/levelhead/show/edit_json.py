"""Edits as JSON, for the app and the journal: ``{"edit": "lock", "address": "desk.fader"}``."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from functools import cache
from typing import Any, Final

from pydantic import TypeAdapter, ValidationError

from levelhead.errors import EditError
from levelhead.show.addresses import shortened
from levelhead.show.edits import EDITS, Edit
from levelhead.show.names import did_you_mean, path_text

__all__ = ["edit_from_json", "edit_name", "edit_to_json"]

KIND: Final = "edit"  # the field that names the kind
_CAPITAL: Final = re.compile(r"(?<!^)(?=[A-Z])")


def edit_name(kind: type[Edit]) -> str:
    """Name of a kind of edit in JSON.

    Examples
    --------
    >>> from levelhead.show.edits import AddItem
    >>> edit_name(AddItem)
    'add-item'
    """
    return _CAPITAL.sub("-", kind.__name__).lower()


_KINDS: Final[dict[str, type[Edit]]] = {edit_name(kind): kind for kind in EDITS}


def edit_to_json(edit: Edit) -> dict[str, Any]:
    """An edit as JSON values, its kind first.

    Examples
    --------
    >>> from levelhead.show.edits import Set
    >>> edit_to_json(Set("desk.ch1.gain", None))
    {'edit': 'set', 'address': 'desk.ch1.gain', 'value': None}
    """
    return {KIND: edit_name(type(edit)), **_plain(edit)}


def _plain(value: Any) -> Any:
    """Dataclasses and mappings as objects, tuples as lists."""
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: _plain(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, Mapping):
        return {key: _plain(inner) for key, inner in value.items()}
    if isinstance(value, (tuple, list)):
        return [_plain(inner) for inner in value]
    return value


def edit_from_json(data: object) -> Edit:
    """An edit from JSON values that may come from anybody; whether it fits, ``apply`` will say.

    Raises
    ------
    EditError
        It is no edit, or a field is missing, of the wrong type or unknown.
    """
    if not isinstance(data, Mapping) or not isinstance(data.get(KIND), str):
        raise EditError(
            f"{shortened(str(data))} is no edit",
            where="edit",
            expected=f"an object with a field {KIND!r}",
            remedy='Send it like {"edit": "set", "address": "desk.ch1.gain", "value": "35 dB"}.',
        )
    kind = _KINDS.get(data[KIND])
    if kind is None:
        raise EditError(
            f"there is no edit {shortened(data[KIND])}",
            where="edit",
            expected="one of " + ", ".join(_KINDS),
            remedy=did_you_mean(data[KIND], _KINDS, "Look at the list of edits."),
        )
    content = {name: value for name, value in data.items() if name != KIND}
    edit = _validated(kind, content)
    _refuse_unknown(content, _plain(edit), edit_name(kind))
    return edit


@cache
def _adapter(kind: type[Edit]) -> TypeAdapter[Any]:
    return TypeAdapter(kind)


def _validated(kind: type[Edit], content: Mapping[str, object]) -> Edit:
    """The edit, with every field of its own type: text stays text, numbers numbers."""
    name = edit_name(kind)
    try:
        text = json.dumps(content, allow_nan=False)
        edit: Edit = _adapter(kind).validate_json(text, strict=True)
    except ValidationError as error:
        raise _invalid(name, error) from None
    except (TypeError, ValueError, RecursionError) as error:
        raise EditError(
            f"its values are no JSON: {error}",
            where=f"edit {name!r}",
            expected="text, finite numbers, lists, objects and null",
            remedy="Send plain values.",
        ) from None
    return edit


def _invalid(name: str, error: ValidationError) -> EditError:
    errors = [
        EditError(
            f"{path_text(detail['loc']) or 'the edit'}: {detail['msg'].lower()}",
            where=f"edit {name!r}",
            expected="the fields of this edit",
            remedy="See the list of edits for their types.",
        )
        for detail in error.errors(include_url=False, include_input=False)
    ]
    return EditError.collected(errors, where=f"edit {name!r}")


def _refuse_unknown(given: Any, understood: Any, name: str) -> None:
    """A field that was not understood must not be lost in silence."""
    if isinstance(given, Mapping) and isinstance(understood, Mapping):
        for key, value in given.items():
            if key not in understood:
                raise EditError(
                    f"unknown field {shortened(str(key))}",
                    where=f"edit {name!r}",
                    expected="one of " + ", ".join(map(str, understood)),
                    remedy=did_you_mean(
                        str(key), [str(each) for each in understood], "Leave it out."
                    ),
                )
            _refuse_unknown(value, understood[key], name)
    elif isinstance(given, (list, tuple)) and isinstance(understood, list):
        for one, other in zip(given, understood, strict=True):
            _refuse_unknown(one, other, name)
