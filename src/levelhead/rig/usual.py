"""The cable that an engineer takes between two sockets when nobody says which.

Read off the copper: which pins of one socket each cable joins to which of the other, straight or
through resistors, is held against the signals that stand on them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final, TypeAlias

from levelhead.gear.book import GearBook
from levelhead.gear.connectors import CONNECTORS, SignalPins, mates
from levelhead.gear.plan import CablePlan, PinPlace, PortPlan
from levelhead.gear.wiring import pieces_of_copper, resistor_bridges

__all__ = ["BESIDE_M", "fitting_cables", "is_taken_unasked", "usual_cable"]

BESIDE_M: Final = 3.0  # lead between things that stand beside each other, common practice
_PLAIN_ENDS: Final = 2
_EITHER_PLUG: Final = "combo"  # a combined socket takes each of its plugs alike
_START, _END = "start socket", "end socket"

_Rank: TypeAlias = tuple[int, bool, int]


def usual_cable(book: GearBook, start: PortPlan, end: PortPlan) -> CablePlan | None:
    """The two-ended cable that is taken between two ports; ``None`` when no cable fits both."""
    return next(iter(fitting_cables(book, start, end)), None)


def fitting_cables(
    book: GearBook, start: PortPlan, end: PortPlan, *, with_special: bool = False
) -> tuple[CablePlan, ...]:
    """Every two-ended cable that is taken without being told and fits, the usual one first.

    ``with_special`` adds those that are made for one purpose only.

    First comes what leads each signal where it belongs, then plain copper before leads with parts,
    then what has the plugs that the sockets are made for, then what stands first in the book.
    """
    found = []
    for type_id in book.of_kind("cable"):
        is_known = with_special or not book.sketch(type_id).special
        if is_known and len(book.sketch(type_id).ends) == _PLAIN_ENDS:
            cable = book.cable(type_id)
            rank = min(_ranks(cable, start, end), default=None)
            if rank is not None:
                found.append((rank, cable))
    return tuple(cable for _, cable in sorted(found, key=lambda each: each[0]))


def is_taken_unasked(book: GearBook, type_id: str) -> bool:
    """Whether it is a cable that may be proposed: no adaptor, and not for one purpose only."""
    sketch = book.sketch(type_id)
    return sketch.kind == "cable" and not sketch.special


def _ranks(cable: CablePlan, start: PortPlan, end: PortPlan) -> Iterator[_Rank]:
    """For each way round that fits: mistakes, whether there are parts, strangeness of its plugs."""
    ends = list(cable.ends)
    for near, far in (ends, ends[::-1]):
        near_place = _place(start.socket, cable.ends[near])
        far_place = _place(end.socket, cable.ends[far])
        if near_place is not None and far_place is not None and not cable.sockets:
            touches = _touches(start, near, cable) | _touches(end, far, cable, at=_END)
            wiring = _Wiring.of(cable, touches)
            mistakes = _mistakes(wiring, _signals(start, "send"), _signals(end, "return"))
            mistakes += _is_wrong_copper(cable, start, end) + (cable.carries != start.carries)
            yield mistakes, bool(cable.parts), near_place + far_place


def _place(socket: str, plug: str) -> int | None:
    """Where a plug stands among those that a socket takes, its own kind first."""
    fits = CONNECTORS[socket].fits
    if plug not in fits:
        return None
    return 0 if socket == _EITHER_PLUG else fits.index(plug)


def _is_wrong_copper(cable: CablePlan, start: PortPlan, end: PortPlan) -> bool:
    """A screened lead for a loudspeaker, or loudspeaker cable for anything else."""
    is_power = start.role == "loudspeaker" or end.is_load
    return is_power == (cable.screen_ohm_per_m is not None)


# --- copper ---


def _touches(
    port: PortPlan, end: str, cable: CablePlan, at: str = _START
) -> dict[PinPlace, PinPlace]:
    """Pins of a socket, each with the pin of the plug in it."""
    pins = mates(port.socket, cable.ends[end]) or {}
    return {(at, own): (end, met) for own, met in pins.items()}


@dataclass(frozen=True, slots=True)
class _Wiring:
    """Which pins of two sockets are one piece of copper, and which pieces meet in a resistor."""

    copper: Mapping[PinPlace, int]
    resistors: frozenset[frozenset[int]]

    @classmethod
    def of(cls, cable: CablePlan, touches: Mapping[PinPlace, PinPlace]) -> _Wiring:
        """Copper of a cable in its sockets."""
        copper = pieces_of_copper([*touches.items(), *cable.joins])
        return cls(copper, resistor_bridges(cable, copper))

    def is_one(self, one: PinPlace, other: PinPlace) -> bool:
        """Whether two pins are one piece of copper."""
        return one in self.copper and self.copper[one] == self.copper.get(other)

    def leads(self, one: str, other: str) -> bool:
        """Whether a pin of the first socket reaches one of the second, maybe through a resistor."""
        start, end = (_START, one), (_END, other)
        if start not in self.copper or end not in self.copper:
            return False
        pieces = frozenset({self.copper[start], self.copper[end]})
        return len(pieces) == 1 or pieces in self.resistors


# --- signals ---


def _signals(port: PortPlan, of_insert: str) -> tuple[SignalPins, ...]:
    """Pins of each signal; of an insert only that on which a lead begins, or ends."""
    if of_insert in port.signals:
        return (port.pins_of(of_insert),)
    return tuple(port.pins_of(name) for name in port.signals or (None,))


def _mistakes(wiring: _Wiring, given: Sequence[SignalPins], taken: Sequence[SignalPins]) -> int:
    """How often a signal ends in the wrong place, or against another one."""
    found = _shorts(wiring, given)
    for number, to in enumerate(taken):
        own = given if len(taken) == 1 else given[min(number, len(given) - 1) :][:1]
        for each in given:
            found += wiring.leads(each.plus, to.plus) != (each in own)  # lost, or a stranger
            found += wiring.leads(each.plus, to.minus)  # taken away instead of added
            if each.minus != each.ground:
                found += wiring.leads(each.minus, to.plus)  # upside down
    return found


def _shorts(wiring: _Wiring, given: Sequence[SignalPins]) -> int:
    """Outputs that the lead joins to their own ground, or (worse) to one another."""
    grounded = [wiring.is_one((_START, each.plus), (_START, each.ground)) for each in given]
    together = [
        wiring.is_one((_START, one.plus), (_START, other.plus)) for one, other in pairwise(given)
    ]
    return sum(grounded) + 2 * sum(together)
