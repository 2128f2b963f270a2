"""Ways of a signal through a gear type: where they begin, their stages, where they leave."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

from levelhead.gear.figures import Figure
from levelhead.gear.plan.ports import Target
from levelhead.gear.shaping import PLAIN, ShapingPlan

__all__ = [
    "AirPlan",
    "GeneratorPlan",
    "InsertPlan",
    "MeterPlan",
    "MixPlan",
    "MonoPlan",
    "OriginPlan",
    "PathPlan",
    "PointUnit",
    "StagePlan",
]

PointUnit: TypeAlias = Literal["V", "FS", "Pa"]
"""Unit of a point: rms volts, rms where a full-scale sine is 1, or rms pascals."""


@dataclass(frozen=True, slots=True)
class MeterPlan:
    """A meter: detector, and the level (in the unit of its point) where it reads zero."""

    kind: Literal["vu", "ppm", "peak", "true-peak"]
    zero: Figure


@dataclass(frozen=True, slots=True)
class InsertPlan:
    """Where a signal leaves before a stage, and where it comes back into it."""

    send: Target
    back: Target


@dataclass(frozen=True, slots=True)
class StagePlan:
    """A stage. Levels are rms, in the unit of its output point.

    ``name`` is that of its point; ``of`` that of its entry, which both sides of stereo share.
    ``ratio`` multiplies where units change: V/Pa of a microphone, Pa/V of a loudspeaker, V per
    full scale of a converter or its inverse. ``set_by`` says where its control belongs: by the
    meter behind it, or by its own ceiling (a transmitter). Behind an ``effect`` there is another
    sound than before it. ``curve`` is what it does with that of records: cut as in the groove, or
    played. ``shaping`` is what it does beside its gain.
    """

    name: str
    of: str
    label: str
    unit: PointUnit
    control: str | None
    gain_db: Figure | None
    ratio: Figure | None
    ceiling: Figure | None
    noise: Figure | None
    ein: Figure | None
    self_noise: Figure | None
    meter: MeterPlan | None
    set_by: Literal["meter", "ceiling"] = "meter"
    effect: bool = False
    curve: Literal["cut", "played"] | None = None
    shaping: ShapingPlan = PLAIN
    insert: InsertPlan | None = None


@dataclass(frozen=True, slots=True)
class GeneratorPlan:
    """A signal born inside an item; ``shared`` is the part of its power common to all its sides."""

    level: Figure
    unit: PointUnit
    peak_to_rms_db: Figure
    spectrum: str
    shared: float


@dataclass(frozen=True, slots=True)
class AirPlan:
    """A voice or instrument: level at ``at_m``, usual distance of its microphone.

    ``within_db`` is how far one performance strays, either way; the range of the level holds it.
    ``under_zero_db`` is how far below the zero of a meter it is loud enough.
    """

    level_pa: Figure
    at_m: float
    peak_to_rms_db: Figure
    spectrum: str
    distance_m: float
    within_db: Figure | None = None
    under_zero_db: Figure | None = None


@dataclass(frozen=True, slots=True)
class OriginPlan:
    """Where a path begins: ``port`` or ``generator`` is set, or ``kind`` says air or mix."""

    kind: Literal["port", "generator", "air", "mix"]
    port: Target | None = None
    generator: GeneratorPlan | None = None
    gain_db: Figure | None = None
    wins_when_plugged: bool = False


@dataclass(frozen=True, slots=True)
class MonoPlan:
    """All sides summed into the first one, each with a gain, while a socket is empty."""

    empty: str
    gain_db: Figure


@dataclass(frozen=True, slots=True)
class PathPlan:
    """A path of one side: origins, stages in signal order, and where it leaves."""

    side: str | None
    origins: tuple[OriginPlan, ...]
    stages: tuple[StagePlan, ...]
    to_port: Target | None
    to_air: bool
    mono: MonoPlan | None = None


@dataclass(frozen=True, slots=True)
class MixPlan:
    """A crossing of a mixer: a stage of every strip of a block into another block's sum."""

    from_block: str
    from_stage: str
    to_block: str
    control: str | None
    law: str | None
    gain_db: float
