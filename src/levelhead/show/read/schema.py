"""The shape of a show file: which entries there are and which fields each has.

:func:`json_schema` publishes the same shape for editors; the checks stand in ``fields``.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise
from typing import Annotated, Any, Final

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, WithJsonSchema, model_validator

from levelhead.errors import ShowError
from levelhead.show import rooms
from levelhead.show.read.fields import (
    ID_PATTERN,
    Absorption,
    BackEars,
    BesideText,
    Between,
    CableText,
    Corner,
    Count,
    Date,
    Distance,
    Ears,
    Earth,
    FigureName,
    Fixings,
    Height,
    HowFar,
    Humidity,
    Id,
    Key,
    Label,
    MeanLevel,
    Meter,
    Metres,
    Name,
    NearText,
    Need,
    Noise,
    Note,
    Pin,
    Place,
    Reel,
    Residual,
    Reverberation,
    SocketRange,
    SoundLevel,
    Spacing,
    SpeaksInto,
    Stay,
    SurfaceArea,
    Tails,
    Temperature,
    TouchVolts,
    Turn,
    Value,
    Version,
    Volume,
    WantedLevel,
    Watts,
    Where,
    Who,
    Whole,
    WholeSurface,
    unfit,
)
from levelhead.show.yaml.scalars import Kind
from levelhead.show.yaml.tree import ScalarNode

__all__ = ["FORMAT", "LinkEntry", "ShowFile", "fields_of", "json_schema"]

FORMAT: Final = 1  # of show files, the number after ``levelhead:``

_ENDS_IN_DIGITS: Final = re.compile(r"\s\d+$")  # cable-xlr 10
_GOES_ON: Final = re.compile(r"\d+\s*(m|cm|mm|ft|in)?$")  # 5 m


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
    fixings: Fixings | None = None
    switched: Turn | None = None
    near: tuple[NearText, ...] = ()
    note: Note = ""


class SourceEntry(_Entry):
    """What makes the sound."""

    type: Id
    at: SpeaksInto
    distance: Distance | None = None
    label: Label = ""
    also: dict[Key, Distance] = {}
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
    beside: tuple[BesideText, ...] = ()

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
    reel: Reel | None = None
    rated: Watts | None = None
    rated_wound: Annotated[Watts | None, Field(alias="rated-wound")] = None
    tails: Tails | None = None
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
    who: Who = "audience"
    laeq: MeanLevel | None = None
    note: Note = ""

    @model_validator(mode="after")
    def _is_somewhere(self) -> AreaEntry:
        try:
            rooms.check_one_of(has_corners=bool(self.corners), has_place=self.at is not None)
        except ShowError as error:
            raise unfit(error.what, expected=error.expected, remedy=error.remedy) from None
        return self


class MeasuredEntry(_Entry):
    """What a meter showed between two items."""

    between: Between
    volts: TouchVolts
    meter: Meter = "high-impedance"
    note: Note = ""


def _filled(given: object) -> object:
    """A section with nothing after its colon has no entries."""
    return {} if isinstance(given, ScalarNode) and given.kind is Kind.NULL else given


def _filled_list(given: object) -> object:
    return [] if isinstance(given, ScalarNode) and given.kind is Kind.NULL else given


_SETTINGS_SCHEMA: Final = {
    "type": "object",
    "description": "item: {block: {control: value, lock: [control]}}, what is not default",
    "propertyNames": {"pattern": ID_PATTERN},
    "additionalProperties": {"type": "object"},
}


class ShowFile(_Entry):
    """A show file of the present format."""

    levelhead: Annotated[Whole, WithJsonSchema({"const": FORMAT})]
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
    measured: Annotated[dict[Key, MeasuredEntry], BeforeValidator(_filled)] = {}


_SECTIONS: Final[dict[str, type[_Entry]]] = {
    "show": Head,
    "items": ItemEntry,
    "sources": SourceEntry,
    "links": LinkEntry,
    "supplies": SupplyEntry,
    "room": RoomEntry,
    "areas": AreaEntry,
    "measured": MeasuredEntry,
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
