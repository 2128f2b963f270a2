"""Fields of an item as edits give them, held to what files have to hold to as well.

Each check raises ``EditError`` where a field is not sound.
"""

from __future__ import annotations

from typing import Final

from levelhead.show import checks, lengths
from levelhead.show.beside import checked_near, near_text
from levelhead.show.edits.base import checked, free_id, known, refuse
from levelhead.show.model import Item, Near, Need, Place, Show

__all__ = [
    "checked_figure",
    "checked_hold",
    "checked_item",
    "checked_nearby",
    "checked_need",
    "checked_place",
    "checked_supply",
    "checked_turn",
    "name_in_errors",
]

_NEEDS: Final = ("must", "nice", None)
_AXES: Final = ("to the right", "into the hall", "up")


def name_in_errors(item: Item) -> str:
    """An item as errors name it."""
    return f"item {item.id!r}"


def checked_item(show: Show, item: Item) -> Item:
    """A new item whose fields are all sound."""
    return Item(
        id=free_id(item.id, show.items, "item", checks.checked_id),
        type=checked(checks.checked_id, item.type, name_in_errors(item)),
        label=checked(checks.checked_label, item.label, name_in_errors(item)),
        need=checked_need(item.need, item),
        at=checked_place(item.at, item),
        aim=checked_place(item.aim, item),
        supply=checked_supply(item.supply, show),
        figures=dict(checked_figure(name, value, item) for name, value in item.figures.items()),
        note=checked(checks.checked_note, item.note, name_in_errors(item)),
        fixings=checked_hold(item.fixings, item),
        switched=checked_turn(item.switched, item),
        near=checked_nearby(item.near, item),
    )


def checked_need(need: Need | None, item: Item) -> Need | None:
    """How badly the show needs it."""
    if need not in _NEEDS:
        refuse(
            f"the need {need!r} is not known",
            where=name_in_errors(item),
            expected="must, nice or nothing",
            remedy="Say must for what the show cannot do without.",
        )
    return need


def checked_hold(fixings: int | None, item: Item) -> int | None:
    """How many fixings hold it over people, or nothing known."""
    if fixings is None:
        return None
    return checked(checks.checked_fixings, fixings, name_in_errors(item))


def checked_turn(switched: int | None, item: Item) -> int | None:
    """Its turn when all is switched on, or nothing known."""
    return (
        None if switched is None else checked(checks.checked_turn, switched, name_in_errors(item))
    )


def checked_nearby(near: tuple[Near, ...], item: Item) -> tuple[Near, ...]:
    """What stands near it."""
    return tuple(checked(checked_near, near_text(each), name_in_errors(item)) for each in near)


def checked_place(place: Place | None, item: Item) -> Place | None:
    """A place of three coordinates [m], or none."""
    if place is None:
        return None
    if not isinstance(place, tuple) or len(place) != len(_AXES):
        refuse(
            f"{place!r} is no place",
            where=name_in_errors(item),
            expected="three numbers in metres: " + ", ".join(_AXES),
            remedy="Write it like (-4, 0, 2.2).",
        )
    right_m, into_hall_m, up_m = (
        checked(lengths.checked_place_m, coordinate, name_in_errors(item)) for coordinate in place
    )
    return right_m, into_hall_m, up_m


def checked_supply(supply: str | None, show: Show) -> str | None:
    """A mains supply that the show has, or none."""
    return None if supply is None else known(supply, show.supplies, "supply")


def checked_figure(name: str, value: str, item: Item) -> tuple[str, str]:
    """A figure of this unit: its name and its value."""
    return (
        checked(checks.checked_figure, name, name_in_errors(item)),
        checked(checks.checked_value, value, name_in_errors(item)),
    )
