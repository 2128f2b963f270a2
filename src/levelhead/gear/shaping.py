"""What a stage does beside its gain, with figures in SI: filters, limiters, companders, delay.

Names of controls are those that the entry gives; where a control stands is known only in a rig.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from levelhead.gear.figures import Figure

__all__ = ["PLAIN", "CompanderPlan", "DelayPlan", "FilterPlan", "LimiterPlan", "ShapingPlan"]

FilterName = Literal["high-pass", "low-pass", "low-shelf", "high-shelf", "peaking", "graphic"]


@dataclass(frozen=True, slots=True)
class FilterPlan:
    """A filter of a stage. A graphic equaliser has a control for each of the 31 bands.

    ``corner_hz``, ``gain_db`` and ``q`` as in ``chain.stages.responses``; a control takes the place
    of its figure.
    """

    kind: FilterName
    shape: Literal["butterworth", "linkwitz-riley"]
    order: int
    corner_hz: Figure | None
    corner_control: str | None
    gain_db: Figure | None
    gain_controls: tuple[str, ...]
    q: Figure | None


@dataclass(frozen=True, slots=True)
class LimiterPlan:
    """A limiter or compressor; the threshold is a rms in the unit of its point."""

    threshold: Figure
    threshold_control: str | None
    ratio: float  # infinite for a limiter
    detector: Literal["peak", "rms"]


@dataclass(frozen=True, slots=True)
class CompanderPlan:
    """A compander on a link; ``link_noise_db`` stands under the ceiling of the stage."""

    ratio: Figure
    link_noise_db: Figure


@dataclass(frozen=True, slots=True)
class DelayPlan:
    """By how much a signal comes later behind a stage: a figure, and a control on top of it. [s]"""

    fixed: Figure | None
    control: str | None


@dataclass(frozen=True, slots=True)
class ShapingPlan:
    """All of it; a plain stage has none."""

    filters: tuple[FilterPlan, ...] = ()
    limiter: LimiterPlan | None = None
    compander: CompanderPlan | None = None
    delay: DelayPlan | None = None
    is_turned: bool = False  # what leaves is upside down

    @property
    def is_plain(self) -> bool:
        """Whether the stage does nothing but gain, as its switches stand."""
        return self == PLAIN

    @property
    def controls(self) -> tuple[str, ...]:
        """Names of all controls that it hangs on."""
        named = [each.corner_control for each in self.filters]
        named += [name for each in self.filters for name in each.gain_controls]
        named.append(None if self.limiter is None else self.limiter.threshold_control)
        named.append(None if self.delay is None else self.delay.control)
        return tuple(name for name in named if name is not None)


PLAIN = ShapingPlan()
