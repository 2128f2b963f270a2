"""Paths of an entry: where a signal begins, the stages it passes, where it leaves."""

from __future__ import annotations

from typing import Literal

from pydantic import field_validator, model_validator

from levelhead.gear.figures import RawFigure
from levelhead.gear.model.base import Entry, When

__all__ = [
    "GeneratorEntry",
    "MeterEntry",
    "MixEntry",
    "OriginEntry",
    "PathEntry",
    "SensitivityEntry",
    "StageEntry",
]


class MeterEntry(Entry):
    """A meter on a stage: its detector, and the level at which it reads zero."""

    kind: Literal["vu", "ppm", "peak"]
    zero: RawFigure


class SensitivityEntry(Entry):
    """A loudspeaker's output: this level at 1 m on axis for this voltage."""

    level: RawFigure
    at: RawFigure


class StageEntry(Entry):
    """One active step of a path; its name names the point behind it."""

    stage: str
    label: str | None = None
    control: str | None = None
    gain: RawFigure | None = None
    sensitivity: RawFigure | SensitivityEntry | None = None
    full_scale: RawFigure | None = None
    ceiling: RawFigure | None = None
    noise: RawFigure | None = None
    ein: RawFigure | None = None
    self_noise: RawFigure | None = None
    meter: MeterEntry | None = None
    when: When | None = None

    @field_validator("sensitivity", mode="before")
    @classmethod
    def _of_a_loudspeaker(cls, value: object) -> object:
        return SensitivityEntry(**value) if isinstance(value, dict) and "at" in value else value


class GeneratorEntry(Entry):
    """A signal made inside the item: level of its loud passage, crest, spectrum.

    ``shared`` is the part of its power that left and right have in common.
    """

    level: RawFigure
    peak_to_rms: RawFigure
    spectrum: str = "programme"
    shared: RawFigure = "0"


class OriginEntry(Entry):
    """Where a path may begin: a port or a generator. One that ``wins`` when plugged is alone."""

    port: str | None = None
    generator: GeneratorEntry | None = None
    gain: RawFigure | None = None
    wins: Literal["plugged"] | None = None
    when: When | None = None

    @model_validator(mode="after")
    def _one_kind(self) -> OriginEntry:
        if (self.port is None) == (self.generator is None):
            raise ValueError("a path begins at a port or at a generator")
        return self


class PathEntry(Entry):
    """A path from ``air``, ``mix``, a port or a list of origins, to a port or ``air``.

    With ``sides`` it stands once for each side, and takes the port of that side. ``sums`` says in
    what a ``mix`` adds up: volts, or numbers where full scale is 1.
    """

    from_: str | tuple[OriginEntry, ...]
    stages: tuple[StageEntry, ...]
    to: str | None = None
    sums: Literal["V", "FS"] = "V"
    sides: tuple[str, ...] = ()
    when: When | None = None


class MixEntry(Entry):
    """A crossing from one stage (of every strip of a block) into the sums of another block."""

    from_: str
    to: str
    control: str | None = None
    law: str | None = None
    gain: RawFigure | None = None
    when: When | None = None
