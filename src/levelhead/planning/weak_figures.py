"""Figures of the gear book that most often turn a verdict: those to look up or measure first.

A figure turns a finding if a value that is not out of the question (within three standard
deviations of its range) brings the margin to nothing, all else as taken. It is the heaviest doubt
of a finding if nothing else of the gear book spreads the margin more. What performers do is no
figure of gear.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from levelhead.gear.book import GearBook
from levelhead.gear.compile.addresses import figure_addresses
from levelhead.gear.compile.parts import pin_place
from levelhead.gear.figures import Figure
from levelhead.gear.model import BlockEntry
from levelhead.gear.plan import BlockInstance, CablePlan, ItemPlan, PathPlan, PinPlace, StagePlan
from levelhead.planning.trial import Trial
from levelhead.rig.model import Rig
from levelhead.verdicts.told.finding import Finding
from levelhead.verdicts.told.limit_state import Doubt, figure_text

__all__ = ["WeakFigure", "named_figures", "weak_figures"]

FigureName = tuple[str, str]
"""Type of the gear book, and the address of the figure in it."""

PartNames = Mapping[tuple[str, tuple[PinPlace, ...]], str]


@dataclass(frozen=True, slots=True)
class WeakFigure:
    """A figure with the findings that hang on it.

    Attributes
    ----------
    turns, heaviest : tuple of (show, code, where)
        Findings that it alone would turn, and those whose heaviest doubt it is.
    expected
        How many findings it turns on average, all else as taken.
    """

    type_id: str
    address: str
    figure: Figure
    turns: tuple[tuple[str, str, str], ...]
    heaviest: tuple[tuple[str, str, str], ...]
    expected: float

    @property
    def rank(self) -> tuple[int, float, int, str, str]:
        """The most turned findings first, by number, then by chance, then the most doubted."""
        chance = -round(self.expected, 6)
        return -len(self.turns), chance, -len(self.heaviest), self.type_id, self.address

    @property
    def texts(self) -> tuple[str, str, str]:
        """Value and both ends of its range, as people write them."""
        each = self.figure
        value, low, high = (figure_text(n, each.unit) for n in (each.value, each.low, each.high))
        return value, low, high

    def to_json(self) -> dict[str, Any]:
        """For programs; not frozen, as all of ``levelhead gear --json``."""
        value, low, high = self.texts
        return {
            "type": self.type_id,
            "figure": self.address,
            "value": value,
            "range": [low, high],
            "source": self.figure.source,
            "expected": round(self.expected, 4),
            "turns": [_finding_to_json(each) for each in self.turns],
            "heaviest": [_finding_to_json(each) for each in self.heaviest],
        }


def _finding_to_json(finding: tuple[str, str, str]) -> dict[str, str]:
    return dict(zip(("show", "code", "where"), finding, strict=True))


@dataclass(slots=True)
class _Tally:
    """What was found of one figure so far."""

    figure: Figure
    turns: dict[tuple[str, str, str], None] = field(default_factory=dict)
    heaviest: dict[tuple[str, str, str], None] = field(default_factory=dict)
    expected: float = 0.0

    def count(self, key: tuple[str, str, str], doubt: Doubt, margin: float) -> None:
        """One finding that hangs on the figure."""
        if doubt.flip(margin) is not None:
            self.turns[key] = None
        if doubt.weight > 0:
            self.expected += 0.5 * math.erfc(abs(margin) / doubt.weight / math.sqrt(2))


def weak_figures(trials: Iterable[Trial]) -> tuple[WeakFigure, ...]:
    """Figures that turn a finding of these shows or weigh most in it, the weakest first."""
    tallies: dict[FigureName, _Tally] = {}
    for trial in trials:
        names = dict(_figures_of(trial.solution.rig))
        for finding in trial.judgement.findings:
            key = (trial.show.name, finding.code, finding.where)
            doubts = [doubt for doubt in _facts(finding) if id(doubt.figure) in names]
            for place, doubt in enumerate(doubts):
                tally = tallies.setdefault(names[id(doubt.figure)], _Tally(doubt.figure))
                tally.count(key, doubt, finding.margin or 0.0)
                if place == 0:
                    tally.heaviest[key] = None
    weak = (
        WeakFigure(*name, tally.figure, tuple(tally.turns), tuple(tally.heaviest), tally.expected)
        for name, tally in tallies.items()
        if tally.turns or tally.heaviest
    )
    return tuple(sorted(weak, key=lambda each: each.rank))


def _facts(finding: Finding) -> list[Doubt]:
    """Doubts about gear, the heaviest first; what was measured on the unit is none of the book."""
    if finding.state is None:
        return []
    facts = [doubt for doubt in finding.state.doubts if doubt.kind == "fact"]
    return [doubt for doubt in facts if doubt.figure.source != "measured"]


# ---------------------------------------------------------------- whose figure it is


def _figures_of(rig: Rig) -> Iterator[tuple[int, FigureName]]:
    """Name of every figure that the rig was made of. Circuits and stages hold the very objects."""
    for item in rig.items.values():
        for address, figure in named_figures(item.plan, rig.book):
            yield id(figure), (item.plan.type_id, address)
    for link in rig.links:
        for segment in link.segments:
            for address, figure in _of_cable(segment.cable):
                yield id(figure), (segment.cable.type_id, address)


def named_figures(plan: ItemPlan, book: GearBook) -> Iterator[tuple[str, Figure]]:
    """Figures of an item by the addresses at which a show may give its own."""
    entry = book.entry(plan.type_id)
    known = frozenset(figure_addresses(entry))
    for block in plan.blocks:
        strip = entry.blocks[block.block] if block.block else entry
        for address, figure in _of_block(block, _names_of_parts(strip)):
            yield _shortest(f"{block.block}.{address}" if block.block else address, known), figure
    for power in plan.powered_by:
        yield from _present({"current": power.current, "minimum": power.minimum}, "powered-by")


def _names_of_parts(strip: BlockEntry) -> PartNames:
    """What each part is called, by what it is and where it stands."""
    drawn = ((part.called, *part.drawn) for part in strip.parts)
    return {(kind, tuple(map(pin_place, pins))): called for called, kind, pins in drawn}


def _shortest(address: str, known: frozenset[str]) -> str:
    """The address of both sides, where a stage has two: ``converter.full-scale``."""
    stage, _, figure = address.rpartition(".")
    for side in ("-left", "-right"):
        both = f"{stage.removesuffix(side)}.{figure}"
        if stage.endswith(side) and both in known:
            return both
    return address


def _of_block(block: BlockInstance, part_names: PartNames) -> Iterator[tuple[str, Figure]]:
    for port in block.plan.ports.values():
        yield from _present(port.figures, port.name)
    for part in block.plan.parts:
        yield from _present(part.figures, part_names.get((part.kind, part.pins), part.kind))
    for path in block.plan.paths:
        yield from _of_path(path)


def _of_path(path: PathPlan) -> Iterator[tuple[str, Figure]]:
    for origin in path.origins:
        if origin.port is not None:
            yield from _present({"gain": origin.gain_db}, origin.port.port)
        if origin.generator is not None:
            made = {"level": origin.generator.level, "gain": origin.gain_db}
            peak = {"peak-to-rms": origin.generator.peak_to_rms_db}
            yield from _present({**made, **peak}, "generator")
    for stage in path.stages:
        yield from _present(_of_stage(stage), stage.name)


def _of_stage(stage: StagePlan) -> Mapping[str, Figure | None]:
    return {
        "gain": stage.gain_db,
        _ratio_name(stage): stage.ratio,
        "ceiling": stage.ceiling,
        "noise": stage.noise,
        "ein": stage.ein,
        "self-noise": stage.self_noise,
        "meter.zero": None if stage.meter is None else stage.meter.zero,
    }


def _ratio_name(stage: StagePlan) -> str:
    """What the figure is called that changes the unit."""
    unit = None if stage.ratio is None else stage.ratio.unit
    if unit == "Pa/V":
        return "sensitivity.level"
    return "sensitivity" if unit == "V/Pa" else "full-scale"


def _of_cable(cable: CablePlan) -> Iterator[tuple[str, Figure]]:
    figures = {
        "contact": cable.contact_ohm,
        "core": cable.core_ohm_per_m,
        "screen": cable.screen_ohm_per_m,
        "core-core": cable.core_core_f_per_m,
        "core-screen": cable.core_screen_f_per_m,
    }
    yield from ((name, figure) for name, figure in figures.items() if figure is not None)
    for part in cable.parts:
        yield from _present(part.figures, part.kind)


def _present(figures: Mapping[str, Figure | None], owner: str) -> Iterator[tuple[str, Figure]]:
    for name, figure in figures.items():
        if figure is not None:
            yield f"{owner}.{name}", figure
