"""Figures that a type has, by the addresses at which a unit or a switch may set them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Final

from levelhead.errors import GearError
from levelhead.gear.circuits import figure_rules
from levelhead.gear.compile.controls import instance_names
from levelhead.gear.compile.parts import part_figures
from levelhead.gear.compile.shaping import filter_names
from levelhead.gear.model import (
    BlockEntry,
    OriginEntry,
    PathEntry,
    SensitivityEntry,
    StageEntry,
    TypeEntry,
)
from levelhead.gear.names import did_you_mean

__all__ = ["check_figures", "figure_addresses", "strip_figures", "unknown_figure"]

_AIR: Final = ("air.level", "air.within", "air.at", "air.peak-to-rms", "air.distance")
_POWER: Final = ("powered-by.current", "powered-by.minimum", "powered-by.full")
_GENERATOR: Final = (
    "generator.level",
    "generator.peak-to-rms",
    "generator.shared",
    "generator.gain",
)
_OF_ITEM: Final = (
    "leakage",
    "draws",
    "thump",
    "pickup-area",
    "phantom-supply",
)  # of whatever supplies a unit has
_RATE: Final = "sample-rate"  # of its numbers
_NO_PORT: Final = frozenset({"air", "mix"})  # words for where a path may begin besides
_STAGE: Final = ("gain", "ceiling", "noise", "ein", "self-noise")


def check_figures(entry: TypeEntry, addresses: Iterable[str], where: str) -> None:
    """Refuse figures that the type does not have.

    Raises
    ------
    GearError
        Naming the nearest figures that there are; all such errors at once.
    """
    known = frozenset(figure_addresses(entry))
    errors = [unknown_figure(each, known, where) for each in addresses if each not in known]
    if errors:
        raise GearError.collected(errors, where=where)


def unknown_figure(address: str, known: Iterable[str], where: str) -> GearError:
    """The error for a figure that is not there."""
    return GearError(
        f"no figure '{address}'",
        where=where,
        expected="a figure of a port, stage or part of this type",
        remedy=did_you_mean(address, known) or "Write it like out.impedance or ch.preamp.gain.",
    )


def figure_addresses(entry: TypeEntry) -> Iterator[str]:
    """Every figure of a type: of the item, of all strips of a block, of one of them."""
    yield from strip_figures(entry)
    yield from _OF_ITEM
    if entry.sample_rate is not None:
        yield _RATE
    if entry.air is not None:
        yield from _AIR
    if entry.powered_by:
        yield from _POWER
    for name, block in entry.blocks.items():
        figures = tuple(strip_figures(block))
        for owner in dict.fromkeys((name, *instance_names(name, block))):
            yield from (f"{owner}.{figure}" for figure in figures)


def strip_figures(block: BlockEntry) -> Iterator[str]:
    """Figures of one strip, below it."""
    for name, port in block.ports.items():
        yield from (f"{name}.{figure}" for figure in figure_rules(port.circuit))
    for part in block.parts:
        yield from (f"{part.called}.{figure}" for figure in part_figures(part))
    if block.path is not None:
        yield from _of_path(block.path)


def _of_path(path: PathEntry) -> Iterator[str]:
    yield from _of_origins(path.from_)
    if path.mono is not None:
        yield "mono.gain"
    for stage in path.stages:
        for side in ("", *(f"-{each}" for each in path.sides)):
            yield from (f"{stage.stage}{side}.{figure}" for figure in _of_stage(stage))


def _of_origins(origins: str | tuple[OriginEntry, ...]) -> Iterator[str]:
    """Gains before the first stage, and what a generator makes."""
    if isinstance(origins, str):
        if origins not in _NO_PORT:
            yield f"{origins}.gain"
        return
    for origin in origins:
        if origin.port is not None:
            yield f"{origin.port}.gain"
        if origin.generator is not None:
            yield from _GENERATOR


def _of_stage(stage: StageEntry) -> Iterator[str]:
    """Figures of a stage; those that make it what it is only where it has them."""
    yield from _STAGE
    if stage.full_scale is not None:
        yield "full-scale"
    if stage.meter is not None:
        yield "meter.zero"
    yield from _of_shaping(stage)
    if isinstance(stage.sensitivity, SensitivityEntry):
        yield from ("sensitivity.level", "sensitivity.at")
    elif stage.sensitivity is not None:
        yield "sensitivity"


def _of_shaping(stage: StageEntry) -> Iterator[str]:
    """Figures of what a stage does beside its gain."""
    for name in filter_names(stage) if stage.filters else ():
        yield from (f"{name}.{figure}" for figure in ("corner", "gain", "q"))
    if stage.limiter is not None:
        yield from ("limiter.threshold", "limiter.ratio")
    if stage.compander is not None:
        yield from ("compander.ratio", "compander.link-noise")
    if stage.delay is not None:
        yield "delay"
