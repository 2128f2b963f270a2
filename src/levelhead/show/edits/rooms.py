"""Edits of the room and of the areas in which people listen."""

from __future__ import annotations

from dataclasses import dataclass, replace

from levelhead.show import checks, lengths, rooms
from levelhead.show.edits.base import Applied, Edit, checked, with_entry, without
from levelhead.show.model import Show
from levelhead.show.rooms import Area, Corner, Room

__all__ = ["SetArea", "SetRoom"]


@dataclass(frozen=True, slots=True)
class SetRoom(Edit):
    """Say what the place is like; ``None`` where nobody knows."""

    room: Room | None

    def applied(self, show: Show) -> Applied:
        """The show in that room."""
        back = SetRoom(show.room)
        if self.room is None or self.room == Room():
            return replace(show, room=None), (back,)
        room = checked(rooms.checked_room, self.room, "room")
        room = replace(
            room,
            corners=_checked_corners(room.corners, "room"),
            surfaces={
                checked(checks.checked_id, name, "room"): surface
                for name, surface in room.surfaces.items()
            },
            floor=checked(lengths.checked_place_m, room.floor, "room"),
            note=checked(checks.checked_note, room.note, "room"),
        )
        return replace(show, room=room), (back,)


@dataclass(frozen=True, slots=True)
class SetArea(Edit):
    """Say where people listen, by the id of the area; ``None`` takes it away."""

    id: str
    area: Area | None

    def applied(self, show: Show) -> Applied:
        """The show with that area."""
        name = checked(checks.checked_id, self.id, "area")
        back = SetArea(name, show.areas.get(name))
        if self.area is None:
            return replace(show, areas=without(show.areas, name)), (back,)
        where = f"area {name}"
        area = checked(rooms.checked_area, replace(self.area, id=name), where)
        area = replace(
            area,
            label=checked(checks.checked_label, area.label, where),
            corners=_checked_corners(area.corners, where),
            note=checked(checks.checked_note, area.note, where),
        )
        return replace(show, areas=with_entry(show.areas, name, area)), (back,)


def _checked_corners(corners: tuple[Corner, ...], where: str) -> tuple[Corner, ...]:
    """Corners of numbers that a place may have."""
    return tuple(
        (
            checked(lengths.checked_place_m, right, where),
            checked(lengths.checked_place_m, into, where),
        )
        for right, into in corners
    )
