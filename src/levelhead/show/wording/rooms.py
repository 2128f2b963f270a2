"""Edits of the room and of the areas in which people listen in the crew's words."""

from __future__ import annotations

from levelhead.show.edits import SetArea, SetRoom
from levelhead.show.model import Room, Show
from levelhead.show.wording.base import edit_words, metres_words

__all__: list[str] = []


@edit_words.register
def _(edit: SetRoom, show: Show) -> str:
    del show
    return "Leave the room open" if edit.room is None else f"Note the room: {_room(edit.room)}"


def _room(room: Room) -> str:
    """What is known of a room, in few words."""
    size = f"{len(room.corners)} corners" if room.corners else (room.volume or "")
    time = room.reverberation
    known = [
        "outdoors" if room.where == "outdoors" else "",
        size,
        "" if room.height is None else f"{room.height} high",
        "" if time is None else time if isinstance(time, str) else "reverberation by octaves",
    ]
    return ", ".join(each for each in known if each) or "details"


@edit_words.register
def _(edit: SetArea, show: Show) -> str:
    if edit.area is None:
        area = show.areas.get(edit.id)
        return f"Take the listening area {(area and area.label) or edit.id} away"
    place = (
        f"{len(edit.area.corners)} corners" if edit.area.at is None else metres_words(edit.area.at)
    )
    return f"Note the listening area {edit.area.label or edit.id}: {place}"
