"""Which check each value of a show file has to pass: the fields of its schema, one by one.

Leaves come in as YAML nodes, so that a label typed ``012`` is an error instead of the number 12,
while a control's value stays the text that was typed.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Annotated, Any, Final, Literal, TypeVar

from pydantic import BeforeValidator, WithJsonSchema
from pydantic_core import PydanticCustomError

from levelhead.errors import ShowError
from levelhead.show import beside, checks, lengths, mains, measured, model, rooms
from levelhead.show.addresses import LARGEST_RANGE, LONGEST_ID
from levelhead.show.model import Cable, Plugged
from levelhead.show.yaml.scalars import Kind, plain_number
from levelhead.show.yaml.tree import ScalarNode

UNFIT: Final = "unfit"  # type of the validation errors that carry our own words
_NUMBERS: Final = frozenset({Kind.INTEGER, Kind.NUMBER})

_T = TypeVar("_T")


def unfit(what: str, *, expected: str, remedy: str) -> PydanticCustomError:
    """A validation error in our own words."""
    return PydanticCustomError(
        UNFIT, "{what}", {"what": what, "expected": expected, "remedy": remedy}
    )


def _single(given: object) -> ScalarNode | str:
    """A single value: a leaf of the file, or the text of a key."""
    if isinstance(given, (ScalarNode, str)):
        return given
    shape = "a mapping" if isinstance(given, dict) else "a list"
    raise unfit(
        shape,
        expected="a single value",
        remedy="Write one value; text with brackets goes in quotes.",
    )


def _strict_text(given: object) -> str:
    """Text that was meant as text: quoted, or a word that YAML does not take for a number."""
    leaf = _single(given)
    if isinstance(leaf, str) or leaf.kind is Kind.TEXT:
        return leaf if isinstance(leaf, str) else leaf.text
    what = (
        "nothing"
        if leaf.kind is Kind.NULL
        else f"{leaf.text} without quotes, which is {leaf.kind.value}"
    )
    remedy = (
        "Leave the line out." if leaf.kind is Kind.NULL else f'Write it in quotes: "{leaf.text}".'
    )
    raise unfit(what, expected="text", remedy=remedy)


def _typed_text(given: object) -> str:
    """Text as typed, whatever YAML takes it for: ``1.20`` stays ``1.20``."""
    leaf = _single(given)
    if isinstance(leaf, str):
        return leaf
    if leaf.kind is Kind.NULL:
        raise unfit("nothing", expected="a value", remedy="Give a value, or leave the line out.")
    return leaf.text


def _whole(given: object) -> object:
    """A whole number, written without quotes; anything else stays text and fails its check."""
    leaf = _single(given)
    if isinstance(leaf, ScalarNode) and leaf.kind is Kind.INTEGER:
        return int(plain_number(leaf.text) or 0)
    return _typed_text(leaf)


def _metres(given: object) -> object:
    """Metres written as a bare number, or text with a unit."""
    leaf = _single(given)
    if isinstance(leaf, ScalarNode) and leaf.kind in _NUMBERS:
        return plain_number(leaf.text)
    return _typed_text(leaf)


def _listed(given: object) -> object:
    """Names in a list."""
    if not isinstance(given, list):
        raise unfit("no list", expected="a list of two names", remedy="Write [guitar, vox-1].")
    return [_strict_text(each) for each in given]


def _read(look: Callable[[object], object], check: Callable[[Any], _T]) -> BeforeValidator:
    """Validator that takes a leaf, looks at it in one of the ways above, and has it checked."""

    def validator(given: object) -> _T:
        try:
            return check(look(given))
        except ShowError as error:
            raise unfit(error.what, expected=error.expected, remedy=error.remedy) from None

    return BeforeValidator(validator)


def _schema(kind: str, **rest: object) -> WithJsonSchema:
    return WithJsonSchema({"type": kind, **rest})


ID_PATTERN: Final = "^[a-z0-9][a-z0-9-]*$"
Id = Annotated[
    str,
    _read(_strict_text, checks.checked_id),
    _schema("string", pattern=ID_PATTERN, maxLength=LONGEST_ID),
]
Key = Annotated[
    str,
    _read(_typed_text, checks.checked_id),
    _schema("string", pattern=ID_PATTERN, maxLength=LONGEST_ID),
]
Label = Annotated[
    str,
    _read(_strict_text, checks.checked_label),
    _schema("string", maxLength=checks.LONGEST_LABEL),
]
Name = Annotated[
    str,
    _read(_strict_text, checks.checked_name),
    _schema("string", minLength=1, maxLength=checks.LONGEST_LABEL),
]
Note = Annotated[
    str, _read(_strict_text, checks.checked_note), _schema("string", maxLength=checks.LONGEST_NOTE)
]
Date = Annotated[str, _read(_strict_text, checks.checked_date), _schema("string", format="date")]
Whole = Annotated[int, _read(_whole, lambda given: given)]
Version = Annotated[int, _read(_whole, checks.checked_version), _schema("integer", minimum=1)]
Count = Annotated[int, _read(_whole, checks.checked_count), _schema("integer", minimum=0)]
Fixings = Annotated[int, _read(_whole, checks.checked_fixings), _schema("integer", minimum=1)]
Turn = Annotated[int, _read(_whole, checks.checked_turn), _schema("integer", minimum=1)]
Value = Annotated[
    str,
    _read(_typed_text, checks.checked_value),
    WithJsonSchema({"type": ["string", "number", "boolean"], "description": "35 dB, on, unknown"}),
]
FigureName = Annotated[str, _read(_typed_text, checks.checked_figure), _schema("string")]
Pin = Annotated[
    str, _read(_typed_text, checks.checked_pin), WithJsonSchema({"type": ["string", "integer"]})
]
Metres = Annotated[
    float, _read(_metres, lengths.checked_place_m), WithJsonSchema({"type": ["number", "string"]})
]
Length = Annotated[
    float,
    _read(_typed_text, lengths.checked_length_m),
    _schema("string", description="5 cm, 10 m, 16 ft"),
]
Distance = Annotated[
    float,
    _read(_typed_text, lengths.checked_distance_m),
    _schema("string", description="5 cm, 1 m, 3 ft"),
]
CableText = Annotated[
    Cable,
    _read(_strict_text, lengths.checked_cable),
    _schema("string", description="cable-xlr 10 m"),
]
BesideText = Annotated[
    model.Beside,
    _read(_strict_text, beside.checked_beside),
    _schema("string", description="dimmer-leads 30 m, dimmer-leads crossing"),
]
NearText = Annotated[
    model.Near,
    _read(_strict_text, beside.checked_near),
    _schema("string", description="dimmer-rack 1 m"),
]
SocketRange = Annotated[
    str,
    _read(_strict_text, checks.checked_range),
    _schema(
        "string",
        description=f"desk.ch1.mic, or desk.ch[1-8].mic for up to {LARGEST_RANGE} links at once",
    ),
]
SpeaksInto = Annotated[str, _read(_strict_text, checks.checked_speaks_into), _schema("string")]
Need = Annotated[Literal["must", "nice"], BeforeValidator(_strict_text)]
HowFar = Annotated[Plugged, BeforeValidator(_strict_text)]
Earth = Annotated[Literal["sound", "lost"], BeforeValidator(_strict_text)]
Residual = Annotated[str, _read(_typed_text, checks.checked_residual), _schema("string")]
Reel = Annotated[model.Reel, BeforeValidator(_strict_text)]
Tails = Annotated[model.Tails, BeforeValidator(_strict_text)]
Between = Annotated[
    tuple[str, str],
    _read(_listed, measured.checked_between),
    WithJsonSchema({"type": "array", "items": {"type": "string"}, "minItems": 2, "maxItems": 2}),
]
TouchVolts = Annotated[
    str, _read(_typed_text, measured.checked_touch_volts), _schema("string", description="30 V")
]
Meter = Annotated[measured.Meter, BeforeValidator(_strict_text)]
Watts = Annotated[
    str, _read(_typed_text, mains.checked_watts), _schema("string", description="3000 W, 3 kW")
]
SoundLevel = Annotated[
    str,
    _read(_typed_text, checks.checked_sound_level),
    _schema("string", description="91 dB SPL, 91 dB SPL +- 2 dB; at 1 m"),
]
Place = tuple[Metres, Metres, Metres]
Corner = tuple[Metres, Metres]
Where = Annotated[rooms.Where, BeforeValidator(_strict_text)]
Who = Annotated[rooms.Who, BeforeValidator(_strict_text)]


def _texts(given: object) -> object:
    """Text as typed, or a mapping of names to such texts."""
    if isinstance(given, dict):
        return {str(key): _typed_text(value) for key, value in given.items()}
    return _typed_text(given)


def _quantity(name: str) -> BeforeValidator:
    """A value with its unit, kept as it was typed."""
    return _read(_typed_text, rooms.CHECKS[name])


def _by_octave(name: str) -> BeforeValidator:
    """One value, or one for each of some octaves, kept as they were typed."""
    return _read(_texts, partial(rooms.checked_by_octave, name))


def _typed(example: str) -> WithJsonSchema:
    return WithJsonSchema({"type": ["string", "number"], "description": example})


def _typed_by_octave(example: str) -> WithJsonSchema:
    single = {"type": ["string", "number"], "description": example}
    octaves = {"type": "object", "additionalProperties": {"type": ["string", "number"]}}
    return WithJsonSchema({"anyOf": [single, octaves]})


Height = Annotated[str, _quantity("height"), _typed("5 m")]
Volume = Annotated[str, _quantity("volume"), _typed("1200 m3")]
WholeSurface = Annotated[str, _quantity("surface"), _typed("760 m2")]
SurfaceArea = Annotated[str, _quantity("area"), _typed("240 m2")]
Temperature = Annotated[str, _quantity("temperature"), _typed("20 °C")]
Humidity = Annotated[str, _quantity("humidity"), _typed("50 %")]
Noise = Annotated[str, _quantity("noise"), _typed("38 dB(A)")]
Ears = Annotated[str, _quantity("ears"), _typed("1.2 m")]
BackEars = Annotated[str, _quantity("back-ears"), _typed("2.4 m")]
Spacing = Annotated[str, _quantity("spacing"), _typed("1 m")]
Stay = Annotated[str, _quantity("stay"), _typed("3 h")]
WantedLevel = Annotated[str, _quantity("level"), _typed("85 dB(A)")]
MeanLevel = Annotated[str, _quantity("laeq"), _typed("97 dB(A)")]
Reverberation = Annotated[Any, _by_octave("reverberation"), _typed_by_octave("1.4 s")]
Absorption = Annotated[Any, _by_octave("absorption"), _typed_by_octave("0.15")]
