"""What a cable joins: pins of one end, and the pins of others that they reach."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Final

from levelhead.gear.connectors import CONNECTORS
from levelhead.gear.plan import CablePlan, PinPlace

__all__ = ["exchanges_legs", "pieces_of_copper", "pins_reached", "resistor_bridges"]

_BOTH_ENDS: Final = 2


def pieces_of_copper(joins: Iterable[tuple[PinPlace, PinPlace]]) -> dict[PinPlace, int]:
    """Each pin that is joined to another, with the number of its piece of copper.

    >>> pieces_of_copper([(("a", "1"), ("b", "1")), (("a", "3"), ("a", "1"))])
    {('a', '1'): 1, ('b', '1'): 1, ('a', '3'): 1}
    """
    copper: dict[PinPlace, int] = {}
    for number, pair in enumerate(joins):
        met = {copper[pin] for pin in pair if pin in copper}
        copper |= {pin: number for pin, piece in copper.items() if piece in met}
        copper |= dict.fromkeys(pair, number)
    return copper


def resistor_bridges(cable: CablePlan, copper: dict[PinPlace, int]) -> frozenset[frozenset[int]]:
    """Pieces of copper that meet in a resistor of a plug."""
    return frozenset(
        frozenset(copper[pin] for pin in part.pins)
        for part in cable.parts
        if part.kind == "resistor" and copper.keys() >= set(part.pins)
    )


def pins_reached(cable: CablePlan, near: str) -> Iterator[tuple[str, PinPlace]]:
    """For each pin of an end the pins of other ends that it reaches, maybe through a resistor."""
    ends = {
        end: [(end, pin) for pin in CONNECTORS[connector].pins]
        for end, connector in cable.ends.items()
    }
    alone = ((pin, pin) for pins in ends.values() for pin in pins)
    copper = pieces_of_copper([*alone, *cable.joins])
    bridges = resistor_bridges(cable, copper)
    for here in ends[near]:
        for end, pins in ends.items():
            for there in pins:
                pieces = frozenset({copper[here], copper[there]})
                if end != near and (len(pieces) == 1 or pieces in bridges):
                    yield here[1], there


def exchanges_legs(cable: CablePlan) -> bool:
    """Whether each leg of a balanced signal arrives on the pin of the other: polarity turns.

    What has more than two ends, or leads a leg nowhere or to both pins, does not count.
    """
    if len(cable.ends) != _BOTH_ENDS:
        return False
    near, far = cable.ends
    legs = {end: CONNECTORS[connector] for end, connector in cable.ends.items()}
    reached = {pin: [met for _, met in each] for pin, each in _by_pin(cable, near).items()}
    return (
        legs[near].is_balanced
        and reached.get(legs[near].plus) == [legs[far].minus]
        and reached.get(legs[near].minus) == [legs[far].plus]
    )


def _by_pin(cable: CablePlan, near: str) -> dict[str, list[PinPlace]]:
    """Pins of other ends that each pin of an end reaches."""
    found: dict[str, list[PinPlace]] = {}
    for pin, there in pins_reached(cable, near):
        found.setdefault(pin, []).append(there)
    return found
