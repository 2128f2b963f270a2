"""Paths of an entry: where a signal begins, the stages it passes, where it leaves."""

from __future__ import annotations

from typing import Literal, TypeAlias

from pydantic import field_validator, model_validator

from levelhead.gear.figures import RawFigure
from levelhead.gear.model.base import Entry, When
from levelhead.gear.model.shaping import CompanderEntry, FilterEntry, LimiterEntry

__all__ = [
    "GeneratorEntry",
    "MeterEntry",
    "MixEntry",
    "MonoEntry",
    "OriginEntry",
    "PathEntry",
    "SensitivityEntry",
    "StageEntry",
]


Curve: TypeAlias = Literal["cut", "played"]
"""What a stage does with the curve of records, IEC 60098: as in the groove, or undone."""


class MeterEntry(Entry):
    """A meter on a stage: its detector, and the level at which it reads zero."""

    kind: Literal["vu", "ppm", "peak", "true-peak"]
    zero: RawFigure


class SensitivityEntry(Entry):
    """A loudspeaker's output: this level at 1 m on axis for this voltage."""

    level: RawFigure
    at: RawFigure


class StageEntry(Entry):
    """One active step of a path; its name names the point behind it.

    ``insert`` names the socket (or the two sockets, send and return) by which the signal leaves
    before this stage and comes back into it; with nothing plugged it passes.

    Behind an ``effect`` there is another sound (reverb, echo) than before it; behind a stage that
    is ``turned`` the same one upside down. Records are cut by a ``curve`` that is played back.
    """

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
    filters: tuple[FilterEntry, ...] = ()
    limiter: LimiterEntry | None = None
    compander: CompanderEntry | None = None
    delay: RawFigure | None = None
    delay_control: str | None = None
    set_by: Literal["meter", "ceiling"] = "meter"
    insert: str | tuple[str, str] | None = None
    effect: bool = False
    turned: bool = False
    curve: Curve | None = None
    when: When | None = None

    @property
    def shapes(self) -> bool:
        """Whether it does more than gain."""
        others = (self.limiter, self.compander, self.delay, self.delay_control)
        return bool(self.filters) or self.turned or any(each is not None for each in others)

    @model_validator(mode="after")
    def _a_link_has_a_ceiling(self) -> StageEntry:
        if self.ceiling is None and (self.compander is not None or self.set_by == "ceiling"):
            raise ValueError(
                "a stage that is set by its ceiling, or has a compander, has a ceiling"
            )
        return self

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
    """Where a path may begin: a port, a generator, a mix. One that ``wins`` if plugged is alone."""

    port: str | None = None
    generator: GeneratorEntry | None = None
    mix: bool = False
    gain: RawFigure | None = None
    wins: Literal["plugged"] | None = None
    when: When | None = None

    @model_validator(mode="after")
    def _one_kind(self) -> OriginEntry:
        if (self.port is not None) + (self.generator is not None) + self.mix != 1:
            raise ValueError("a path begins at a port, at a generator or at a mix")
        return self


class MonoEntry(Entry):
    """What the first side carries while the socket of the other one is empty.

    All sides then go to the first one, each with this gain: the mono sum of a left-only jack.
    """

    empty: str
    gain: RawFigure = "0 dB"


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
    mono: MonoEntry | None = None
    when: When | None = None

    @model_validator(mode="after")
    def _limiters_have_one_input(self) -> PathEntry:
        sums = self.from_ == "mix" or not isinstance(self.from_, str)
        first = self.stages[0] if self.stages else None
        if sums and first is not None and first.limiter is not None:
            raise ValueError("a limiter behind a sum needs a stage before it, where the sum is")
        return self

    @model_validator(mode="after")
    def _sides_to_sum(self) -> PathEntry:
        if self.mono is not None and not self.sides:
            raise ValueError("only a path with sides has a mono sum of them")
        return self

    @model_validator(mode="after")
    def _nothing_to_send(self) -> PathEntry:
        if self.stages and self.stages[0].insert is not None:
            raise ValueError("an insert needs a stage before it, which it sends")
        return self


class MixEntry(Entry):
    """A crossing from one stage (of every strip of a block) into the sums of another block."""

    from_: str
    to: str
    control: str | None = None
    law: str | None = None
    gain: RawFigure | None = None
    when: When | None = None
