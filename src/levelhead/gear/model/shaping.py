"""What a stage of an entry does beside its gain: filters, limiters, companders, delay."""

from __future__ import annotations

from typing import Final, Literal

from pydantic import model_validator

from levelhead.gear.figures import RawFigure
from levelhead.gear.model.base import Entry, When

__all__ = ["CompanderEntry", "FilterEntry", "LimiterEntry"]

_HIGHEST_ORDER: Final = 4
_LINKWITZ_RILEY_ORDER: Final = 4
_CUTS: Final = frozenset({"high-pass", "low-pass"})
_SHELVES: Final = frozenset({"low-shelf", "high-shelf"})


class FilterEntry(Entry):
    """A filter or an equaliser.

    A high-pass or low-pass has an ``order`` (6 dB an octave each) and a ``corner``, a shelf or
    peaking band a ``corner``, a ``gain`` and a ``q``; a shelf of ``order`` 1 has no ``q``. A
    ``graphic`` one has 31 bands at the frequencies of ISO 266, each with a control:
    ``gain-control`` names one with 31 of it.
    """

    filter: Literal["high-pass", "low-pass", "low-shelf", "high-shelf", "peaking", "graphic"]
    shape: Literal["butterworth", "linkwitz-riley"] = "butterworth"
    order: int | None = None
    corner: RawFigure | None = None
    corner_control: str | None = None
    gain: RawFigure | None = None
    gain_control: str | None = None
    q: RawFigure | None = None
    when: When | None = None

    @model_validator(mode="after")
    def _complete(self) -> FilterEntry:
        if self.filter != "graphic" and self.corner is None:
            raise ValueError(f"a {self.filter} filter has a corner")
        if self.filter in _CUTS:
            self._check_order()
        elif self.filter in _SHELVES and self.order is not None:
            self._check_shelf()
        elif self.order is not None or self.shape != "butterworth":
            raise ValueError(f"a {self.filter} filter has neither order nor shape")
        if self.filter in _CUTS and (self.gain is not None or self.gain_control is not None):
            raise ValueError(f"a {self.filter} filter has no gain")
        if self.filter == "graphic" and self.gain_control is None:
            raise ValueError(
                "a graphic equaliser has a gain-control with one control for each band"
            )
        return self

    def _check_shelf(self) -> None:
        if self.order not in (1, 2):
            raise ValueError(f"a {self.filter} filter has order 1 or 2")
        if self.order == 1 and self.q is not None:
            raise ValueError(f"a {self.filter} filter of order 1 has no q")
        if self.shape != "butterworth":
            raise ValueError(f"a {self.filter} filter has no shape")

    def _check_order(self) -> None:
        if self.order is None or not 1 <= self.order <= _HIGHEST_ORDER:
            raise ValueError(f"a {self.filter} filter has an order from 1 to {_HIGHEST_ORDER}")
        if self.shape == "linkwitz-riley" and self.order != _LINKWITZ_RILEY_ORDER:
            raise ValueError("a linkwitz-riley filter has order 4, which is 24 dB an octave")


class LimiterEntry(Entry):
    """A limiter, or with a ``ratio`` a compressor; the threshold in the unit of its point."""

    threshold: RawFigure
    threshold_control: str | None = None
    ratio: RawFigure | None = None
    detector: Literal["peak", "rms"] = "peak"
    when: When | None = None


class CompanderEntry(Entry):
    """A compander on a wireless link; ``link_noise`` stands under the ceiling of the stage."""

    ratio: RawFigure = "2"
    link_noise: RawFigure
