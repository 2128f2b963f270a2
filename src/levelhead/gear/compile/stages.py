"""Stages of a path: gains, ceilings and noise in the unit of the point behind each of them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from levelhead.gear.compile.shaping import shaping_plan
from levelhead.gear.compile.standing import Standing
from levelhead.gear.figures import Figure, RawFigure
from levelhead.gear.model import SensitivityEntry, StageEntry
from levelhead.gear.plan import MeterPlan, PointUnit, StagePlan

__all__ = ["linear_full_scale", "stage_plan"]

_LEVEL_UNIT: Final[Mapping[PointUnit, str]] = {"V": "V", "FS": "dBFS", "Pa": "Pa"}


def stage_plan(
    entry: StageEntry, side: str | None, before: PointUnit, standing: Standing
) -> StagePlan:
    """A stage behind a point of the unit ``before``; on a side it is named after it too."""
    read = _StageReader(entry, side, before, standing)
    return StagePlan(
        name=read.name,
        of=entry.stage,
        label=entry.label or entry.stage,
        unit=read.unit,
        control=entry.control,
        gain_db=read.optional(entry.gain, "dB", "gain"),
        ratio=read.ratio(),
        ceiling=read.level(entry.ceiling, "ceiling"),
        noise=read.level(entry.noise, "noise"),
        ein=read.optional(entry.ein, "V", "ein"),
        self_noise=read.optional(entry.self_noise, "Pa", "self-noise"),
        meter=read.meter(),
        set_by=entry.set_by,
        effect=entry.effect,
        curve=entry.curve,
        shaping=shaping_plan(entry, read.names, read.level, standing),
    )


def linear_full_scale(figure: Figure) -> Figure:
    """A level in dBFS as rms where a full-scale sine is 1 (AES17)."""
    value, low, high = (10 ** (db / 20) for db in (figure.value, figure.low, figure.high))
    return Figure(value, low, high, "FS", figure.source)


class _StageReader:
    """Reads the figures of one stage."""

    def __init__(
        self, entry: StageEntry, side: str | None, before: PointUnit, standing: Standing
    ) -> None:
        self.entry = entry
        self.before = before
        self.unit = _unit_after(entry, before)
        self.name = f"{entry.stage}-{side}" if side else entry.stage
        self.standing = standing

    def names(self, figure: str) -> tuple[str, str]:
        """A side may have its own figure; else that of both sides counts."""
        return f"{self.name}.{figure}", f"{self.entry.stage}.{figure}"

    def figure(self, raw: RawFigure, unit: str, name: str) -> Figure:
        return self.standing.figure(raw, unit, *self.names(name))

    def optional(self, raw: RawFigure | None, unit: str, name: str) -> Figure | None:
        return self.standing.optional(raw, unit, *self.names(name))

    def level(self, raw: RawFigure | None, name: str) -> Figure | None:
        """A level behind the stage, as rms in the unit of its point."""
        figure = self.optional(raw, _LEVEL_UNIT[self.unit], name)
        return figure if figure is None or self.unit != "FS" else linear_full_scale(figure)

    def meter(self) -> MeterPlan | None:
        if self.entry.meter is None:
            return None
        zero = self.level(self.entry.meter.zero, "meter.zero")
        return None if zero is None else MeterPlan(self.entry.meter.kind, zero)

    def ratio(self) -> Figure | None:
        """Factor by which the number changes where the unit does."""
        entry = self.entry
        if entry.full_scale is not None:
            volts = self.figure(entry.full_scale, "V", "full-scale")
            return volts if self.before == "FS" else _inverse(volts)
        if isinstance(entry.sensitivity, SensitivityEntry):
            pascals = self.figure(entry.sensitivity.level, "Pa", "sensitivity.level")
            volts = self.figure(entry.sensitivity.at, "V", "sensitivity.at")
            return _scaled(pascals, 1 / volts.value, "Pa/V")
        return self.optional(entry.sensitivity, "V/Pa", "sensitivity")


def _unit_after(entry: StageEntry, before: PointUnit) -> PointUnit:
    """Unit behind a stage: microphones, loudspeakers and converters change it."""
    if entry.full_scale is not None:
        return "V" if before == "FS" else "FS"
    if entry.sensitivity is not None:
        return "V" if before == "Pa" else "Pa"
    return before


def _scaled(figure: Figure, factor: float, unit: str) -> Figure:
    value, low, high = (each * factor for each in (figure.value, figure.low, figure.high))
    return Figure(value, low, high, unit, figure.source)


def _inverse(figure: Figure) -> Figure:
    return Figure(1 / figure.value, 1 / figure.high, 1 / figure.low, "1/V", figure.source)
