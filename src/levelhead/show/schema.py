"""The shape of a show file: which fields there are, and which check each value has to pass.

Leaves come in as YAML nodes, so that a label typed ``012`` is an error instead of the number 12,
while a control's value stays the text that was typed. :func:`json_schema` publishes the same shape
for editors.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from functools import partial
from itertools import pairwise
from typing import Annotated, Any, Final, Literal, TypeVar

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, WithJsonSchema, model_validator
from pydantic_core import PydanticCustomError

from levelhead.errors import ShowError
from levelhead.show import checks, lengths, rooms
from levelhead.show.addresses import LARGEST_RANGE, LONGEST_ID
from levelhead.show.model import Cable, Plugged
from levelhead.show.yaml_scalars import Kind, plain_number
from levelhead.show.yaml_tree import ScalarNode

__all__ = ["FORMAT", "UNFIT", "LinkEntry", "ShowFile", "fields_of", "json_schema"]

FORMAT: Final = 1  # of show files, the number after ``levelhead:``
UNFIT: Final = "unfit"  # type of the validation errors that carry our own words
_NUMBERS: Final = frozenset({Kind.INTEGER, Kind.NUMBER})

_ENDS_IN_DIGITS: Final = re.compile(r"\s\d+$")  # cable-xlr 10
_GOES_ON: Final = re.compile(r"\d+\s*(m|cm|mm|ft|in)?$")  # 5 m

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


_ID_PATTERN: Final = "^[a-z0-9][a-z0-9-]*$"
Id = Annotated[
    str,
    _read(_strict_text, checks.checked_id),
    _schema("string", pattern=_ID_PATTERN, maxLength=LONGEST_ID),
]
Key = Annotated[
    str,
    _read(_typed_text, checks.checked_id),
    _schema("string", pattern=_ID_PATTERN, maxLength=LONGEST_ID),
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
Version = Annotated[int, _read(_whole, checks.checked_version), _schema("integer", minimum=1)]
Count = Annotated[int, _read(_whole, checks.checked_count), _schema("integer", minimum=0)]
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
CableText = Annotated[
    Cable,
    _read(_strict_text, lengths.checked_cable),
    _schema("string", description="cable-xlr 10 m"),
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
SoundLevel = Annotated[
    str,
    _read(_typed_text, checks.checked_sound_level),
    _schema("string", description="91 dB SPL, 91 dB SPL +- 2 dB; at 1 m"),
]
Place = tuple[Metres, Metres, Metres]
Corner = tuple[Metres, Metres]
Where = Annotated[rooms.Where, BeforeValidator(_strict_text)]


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
Reverberation = Annotated[Any, _by_octave("reverberation"), _typed_by_octave("1.4 s")]
Absorption = Annotated[Any, _by_octave("absorption"), _typed_by_octave("0.15")]


class _Entry(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class Head(_Entry):
    """Name, date and version of the show."""

    name: Name
    date: Date | None = None
    version: Version = 1


class ItemEntry(_Entry):
    """One piece of gear."""

    type: Id
    label: Label = ""
    need: Need | None = None
    at: Place | None = None
    aim: Place | None = None
    supply: Id | None = None
    figures: dict[FigureName, Value] = {}
    note: Note = ""


class SourceEntry(_Entry):
    """What makes the sound."""

    type: Id
    at: SpeaksInto
    distance: Length | None = None
    label: Label = ""
    also: dict[Key, Length] = {}
    level: SoundLevel | None = None


def _without_split_commas(given: object) -> object:
    """A decimal comma in a list with brackets makes two entries of one cable: tell it as that."""
    entries = given if isinstance(given, (list, tuple)) else []
    texts = [each.text if isinstance(each, ScalarNode) else each for each in entries]
    words = [each if isinstance(each, str) else "" for each in texts]
    for before, behind in pairwise(words):
        begun, rest = _ENDS_IN_DIGITS.search(before), _GOES_ON.match(behind)
        if begun is not None and rest is not None:
            raise unfit(
                f"'{before},{behind}': the comma parts this into two cables",
                expected="a decimal point in a length",
                remedy=f"Write {before}.{behind}{'' if rest[1] else ' m'}.",
            )
    return given


class LinkEntry(_Entry):
    """What joins ports, with ``from`` and ``to``, or with ``ends``."""

    from_: Annotated[SocketRange | None, Field(alias="from")] = None
    to: SocketRange | None = None
    ends: dict[Key, SocketRange] | None = None
    via: Annotated[tuple[CableText, ...], BeforeValidator(_without_split_commas)] = ()
    pins: dict[Pin, Pin] = {}
    plugged: HowFar = "full"

    @model_validator(mode="after")
    def _has_ends(self) -> LinkEntry:
        pair = (self.from_, self.to)
        given = [name for name, end in zip(("from", "to"), pair, strict=True) if end is not None]
        if self.ends is None and len(given) == len(pair):
            return self
        if self.ends is not None and not given and len(self.ends) >= len(pair):
            return self
        read = given + (["ends"] if self.ends is not None else [])
        raise unfit(
            f"a link with {' and '.join(read) or 'no end'}",
            expected="from and to, or ends with two names or more",
            remedy="Write {from: vox-1.out, to: desk.ch1.mic} or {ends: {a: ..., send: ...}}.",
        )


class SupplyEntry(_Entry):
    """Where mains comes from."""

    outlet: Name
    circuit: Name | None = None
    earth: Earth = "sound"
    rcd: Residual | None = None
    label: Label = ""
    note: Note = ""


class SurfaceEntry(_Entry):
    """A part of the walls."""

    area: SurfaceArea
    absorption: Absorption


class RoomEntry(_Entry):
    """The place of the show."""

    where: Where = "indoors"
    corners: tuple[Corner, ...] = ()
    height: Height | None = None
    floor: Metres = 0.0
    volume: Volume | None = None
    surface: WholeSurface | None = None
    reverberation: Reverberation | None = None
    absorption: Absorption | None = None
    surfaces: dict[Key, SurfaceEntry] = {}
    temperature: Temperature | None = None
    humidity: Humidity | None = None
    noise: Noise | None = None
    note: Note = ""


class AreaEntry(_Entry):
    """Where people listen."""

    label: Label = ""
    corners: tuple[Corner, ...] = ()
    at: Place | None = None
    ears: Ears | None = None
    back_ears: Annotated[BackEars | None, Field(alias="back-ears")] = None
    spacing: Spacing | None = None
    stay: Stay | None = None
    level: WantedLevel | None = None
    note: Note = ""

    @model_validator(mode="after")
    def _is_somewhere(self) -> AreaEntry:
        try:
            rooms.check_one_of(has_corners=bool(self.corners), has_place=self.at is not None)
        except ShowError as error:
            raise unfit(error.what, expected=error.expected, remedy=error.remedy) from None
        return self


def _filled(given: object) -> object:
    """A section with nothing after its colon has no entries."""
    return {} if isinstance(given, ScalarNode) and given.kind is Kind.NULL else given


def _filled_list(given: object) -> object:
    return [] if isinstance(given, ScalarNode) and given.kind is Kind.NULL else given


_SETTINGS_SCHEMA: Final = {
    "type": "object",
    "description": "item: {block: {control: value, lock: [control]}}, what is not default",
    "propertyNames": {"pattern": _ID_PATTERN},
    "additionalProperties": {"type": "object"},
}


class ShowFile(_Entry):
    """A show file of the present format."""

    levelhead: Annotated[int, _read(_whole, lambda given: given), WithJsonSchema({"const": FORMAT})]
    show: Head
    items: Annotated[dict[Key, ItemEntry], BeforeValidator(_filled)] = {}
    sources: Annotated[dict[Key, SourceEntry], BeforeValidator(_filled)] = {}
    links: Annotated[tuple[LinkEntry, ...], BeforeValidator(_filled_list)] = ()
    settings: Annotated[
        dict[Key, Any], BeforeValidator(_filled), WithJsonSchema(_SETTINGS_SCHEMA)
    ] = {}
    supplies: Annotated[dict[Key, SupplyEntry], BeforeValidator(_filled)] = {}
    stock: Annotated[dict[CableText, Count], BeforeValidator(_filled)] = {}
    room: Annotated[RoomEntry, BeforeValidator(_filled)] = RoomEntry()
    areas: Annotated[dict[Key, AreaEntry], BeforeValidator(_filled)] = {}


_SECTIONS: Final[dict[str, type[_Entry]]] = {
    "show": Head,
    "items": ItemEntry,
    "sources": SourceEntry,
    "links": LinkEntry,
    "supplies": SupplyEntry,
    "room": RoomEntry,
    "areas": AreaEntry,
}


def fields_of(path: Sequence[str | int]) -> list[str]:
    """Names that the mapping may have which holds the last part of a path."""
    model = ShowFile if len(path) == 1 else _SECTIONS.get(str(path[0]), ShowFile)
    return [field.alias or name for name, field in model.model_fields.items()]


def json_schema() -> dict[str, Any]:
    """JSON Schema of a show file, for editors that complete and check while a person types."""
    schema: dict[str, Any] = _without_null(ShowFile.model_json_schema(by_alias=True))
    for name in schema["properties"].keys() - {"levelhead", "show"}:  # may be empty
        schema["properties"][name] = {"anyOf": [schema["properties"][name], {"type": "null"}]}
    head = {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": "levelhead show"}
    return {**schema, **head}


def _without_null(schema: Any) -> Any:
    """The schema without null where a field may be left out: a file leaves the line out."""
    if isinstance(schema, list):
        return [_without_null(inner) for inner in schema]
    if not isinstance(schema, dict):
        return schema
    kept = {name: _without_null(inner) for name, inner in schema.items() if inner is not None}
    if {"type": "null"} in kept.get("anyOf", []):
        values = [each for each in kept.pop("anyOf") if each != {"type": "null"}]
        kept |= values[0] if len(values) == 1 else {"anyOf": values}
    return kept
