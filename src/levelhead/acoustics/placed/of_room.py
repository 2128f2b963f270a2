"""From the room of a show, as it was typed, to numbers: its size, its air, what comes back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.acoustics.listening.room import (
    DECAY_NEPERS,
    Room,
    Surface,
    of_octaves,
    room_of_surfaces,
)
from levelhead.acoustics.listening.seats import Area, Venue
from levelhead.acoustics.remarks import NO_AREAS, Remark
from levelhead.acoustics.sound.air import DB_PER_NEPER_OF_POWER, Air, absorption_db_per_m
from levelhead.acoustics.sound.paths import Plane
from levelhead.errors import QuantityError
from levelhead.quantity.bands import BANDS, mid_hz
from levelhead.quantity.decibels import power_sum_db
from levelhead.quantity.parsing import parse_si
from levelhead.quantity.weighting import a_weighting_db
from levelhead.show import rooms
from levelhead.show.model import Show

__all__ = ["Located", "crossing_walls", "locate"]

USUAL_ABSORPTION: Final = 0.2  # of a hall with people in it: typical
BOX_SURFACE: Final = 6.5  # surface of a usual box, in V ** (2 / 3): a cube has 6
# people on chairs, by octaves from 31.5 Hz: handbook tables of absorption, rounded; typical
FLOOR: Final = (0.1, 0.15, 0.25, 0.4, 0.55, 0.65, 0.7, 0.7, 0.7, 0.7)
VOLUMES_M3: Final = (5.0, 1e6)  # as of a volume that is typed
NOISE_FALLS_DB: Final = 5.0  # of a quiet room, each octave: `from memory`, near NC curves
DOWN_THE_HALL_M: Final = (3.0, 6.0, 9.0, 12.0)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Located:
    """Where a show takes place, as the acoustics have it; what was assumed stands in remarks."""

    venue: Venue
    areas: tuple[Area, ...]
    spacings_m: Mapping[str, float]
    stays_s: Mapping[str, float]
    remarks: tuple[Remark, ...]


def locate(show: Show) -> Located:
    """The venue and areas of a show."""
    remarks: list[Remark] = []
    told = show.room or rooms.Room()
    air = Air(
        temperature_k=_quantity(told.temperature, "K", 293.15),
        humidity=_quantity(told.humidity, "1", 0.5),
    )
    room = _room(show, told, air, remarks)
    floor = Plane(
        point_m=np.array([0.0, 0.0, told.floor]),
        normal=np.array([0.0, 0.0, 1.0]),
        absorption=of_octaves(FLOOR),
    )
    noise = None if told.noise is None else _noise_db(told.noise)
    venue = Venue(room=room, outdoor_air=air, planes=(floor,), noise_db=noise)
    areas = _areas(show, told.floor, remarks)
    return Located(
        venue=venue,
        areas=areas,
        spacings_m={name: _quantity(each.spacing, "m", 1.0) for name, each in show.areas.items()},
        stays_s={name: _quantity(each.stay, "s", 3 * 3600.0) for name, each in show.areas.items()},
        remarks=tuple(remarks),
    )


def _quantity(text: str | None, unit: str, otherwise: float) -> float:
    """A typed quantity, or what is usual."""
    return otherwise if text is None else parse_si(text, unit)


# ---------------------------------------------------------------- the room


def _room(show: Show, told: rooms.Room, air: Air, remarks: list[Remark]) -> Room | None:
    """The room, or nothing: outdoors, nothing told, or walls that cannot be."""
    if told.where == "outdoors":
        return None
    if show.room is None:
        what = "no room is given: only sound that comes straight and off the floor is counted"
        remarks.append(Remark("acoustics.no-room", "care", "room", what))
        return None
    if crossing_walls(told.corners):
        what = "walls cross each other: write the corners one after another, round the floor"
        remarks.append(Remark("acoustics.overlapping-walls", "fails", "room.corners", what))
        return None
    size = _size(told)
    if size is None:
        what = "no size is given: write corners and height, or the volume"
        remarks.append(Remark("acoustics.no-size", "care", "room", what))
        return None
    if not VOLUMES_M3[0] <= size[0] <= VOLUMES_M3[1]:
        what = f"the room has {size[0]:.3g} m3: look at its corners and its height, in metres"
        remarks.append(Remark("acoustics.volume", "fails", "room.corners", what))
        return None
    try:
        return _room_of(told, size, air, remarks)
    except QuantityError as error:
        what = f"{error.what}; expected {error.expected}"
        remarks.append(Remark("acoustics.zero-absorption", "fails", "room", what))
        return None


def _size(told: rooms.Room) -> tuple[float, float] | None:
    """Volume and surface. [m3, m2]"""
    area_m2, round_m = _outline(told.corners)
    height_m = _quantity(told.height, "m", 0.0)
    volume_m3 = _quantity(told.volume, "m3", area_m2 * height_m)
    if volume_m3 <= 0:
        return None
    walls_m2 = 2.0 * area_m2 + round_m * height_m
    box_m2 = BOX_SURFACE * volume_m3 ** (2 / 3)
    has_walls = area_m2 > 0 and height_m > 0
    return volume_m3, _quantity(told.surface, "m2", walls_m2 if has_walls else box_m2)


def _outline(corners: tuple[rooms.Corner, ...]) -> tuple[float, float]:
    """Area and length of a polygon. [m2, m]"""
    if not corners:
        return 0.0, 0.0
    here = np.array(corners)
    after = np.roll(here, -1, axis=0)
    area_m2 = 0.5 * abs(float((here[:, 0] * after[:, 1] - after[:, 0] * here[:, 1]).sum()))
    return area_m2, float(np.linalg.norm(after - here, axis=1).sum())


def crossing_walls(corners: tuple[rooms.Corner, ...]) -> bool:
    """Whether walls cross or lie on each other, or too few make no room.

    >>> crossing_walls(((0, 0), (4, 0), (4, 3), (0, 3)))
    False
    >>> crossing_walls(((0, 0), (4, 3), (4, 0), (0, 3)))
    True
    """
    if not corners:
        return False
    count = len(corners)
    if count < 3 or _outline(corners)[0] == 0:  # noqa: PLR2004 - a triangle
        return True
    walls = [(corners[i], corners[(i + 1) % count]) for i in range(count)]
    pairs = ((i, j) for i in range(count) for j in range(i + 2, count) if (j + 1) % count != i)
    return any(_cross(walls[i], walls[j]) for i, j in pairs)


Wall = tuple[rooms.Corner, rooms.Corner]


def _cross(one: Wall, other: Wall) -> bool:
    """Whether two walls have a point in common."""
    turns = [
        _turn(*one, other[0]),
        _turn(*one, other[1]),
        _turn(*other, one[0]),
        _turn(*other, one[1]),
    ]
    if turns[0] != turns[1] and turns[2] != turns[3]:
        return True
    ends = zip((one, one, other, other), (*other, *one), turns, strict=True)
    return any(turn == 0 and _lies_on(wall, end) for wall, end, turn in ends)


def _turn(a: rooms.Corner, b: rooms.Corner, c: rooms.Corner) -> int:
    """Left, right or straight on at ``b``."""
    return int(np.sign((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])))


def _lies_on(wall: Wall, point: rooms.Corner) -> bool:
    """Whether a point in line with a wall is between its ends."""
    (ax, ay), (bx, by) = wall
    return min(ax, bx) <= point[0] <= max(ax, bx) and min(ay, by) <= point[1] <= max(ay, by)


def _room_of(told: rooms.Room, size: tuple[float, float], air: Air, remarks: list[Remark]) -> Room:
    """A room by its time, by its surfaces, or by what walls usually swallow."""
    volume_m3, surface_m2 = size
    if told.reverberation is not None:
        times = _with_air(_bands(told.reverberation, "s"), told.reverberation, air)
        return Room(volume_m3=volume_m3, surface_m2=surface_m2, reverberation_s=times, air=air)
    if told.surfaces:
        parts = [
            Surface(area_m2=parse_si(each.area, "m2"), absorption=_bands(each.absorption, "1"))
            for each in told.surfaces.values()
        ]
        return room_of_surfaces(volume_m3, parts, air=air)
    if told.absorption is None:
        what = f"reverberation is not known: walls that swallow {USUAL_ABSORPTION:.0%} are assumed"
        remarks.append(Remark("acoustics.no-reverberation", "care", "room", what))
    mean = np.full(BANDS, USUAL_ABSORPTION)
    if told.absorption is not None:
        mean = _bands(told.absorption, "1")
    walls = Surface(area_m2=surface_m2, absorption=mean)
    return room_of_surfaces(volume_m3, [walls], air=air)


def _with_air(times_s: NDArray[np.float64], told: rooms.ByOctave, air: Air) -> NDArray[np.float64]:
    """Reverberation times above the last that was told (1 kHz if it is one): air takes its part.

    ``1 / T`` grows by ``m c / 13.8``, whatever the volume.
    """
    last_hz = 1000.0 if isinstance(told, str) else max(float(hertz) for hertz in told)
    taken = absorption_db_per_m(mid_hz(), air) - absorption_db_per_m(last_hz, air)
    faster = taken / DB_PER_NEPER_OF_POWER * air.speed_m_per_s / DECAY_NEPERS
    return np.asarray(1.0 / (1.0 / times_s + np.where(mid_hz() > last_hz * 1.01, faster, 0.0)))


def _bands(told: rooms.ByOctave, unit: str) -> NDArray[np.float64]:
    """A quantity in the 31 bands, straight over the logarithm of frequency between octaves."""
    if isinstance(told, str):
        return np.full(BANDS, parse_si(told, unit))
    known = sorted((float(hertz), parse_si(value, unit)) for hertz, value in told.items())
    hertz, values = zip(*known, strict=True)
    return np.asarray(np.interp(np.log(mid_hz()), np.log(hertz), values))


def _noise_db(told: str) -> NDArray[np.float64]:
    """Noise of a place in bands: it falls by 5 dB an octave, and has the A level that was typed."""
    weighted_db = float(told.split("dB", maxsplit=1)[0].replace("\u2212", "-"))
    shape = -NOISE_FALLS_DB * np.log2(mid_hz() / 1000.0)
    return np.asarray(shape + weighted_db - float(power_sum_db(shape + a_weighting_db(mid_hz()))))


# ---------------------------------------------------------------- areas


def _areas(show: Show, floor_m: float, remarks: list[Remark]) -> tuple[Area, ...]:
    """Areas of a show; places down the hall where it has none, and the desk."""
    areas = [_area(each, floor_m) for each in show.areas.values()]
    for told in show.areas.values():
        if len(told.corners) > 3 and crossing_walls(told.corners):  # noqa: PLR2004 - a triangle
            what = f"edges of {told.label or told.id} cross: write its corners one after another"
            remarks.append(Remark("acoustics.overlapping-edges", "fails", told.id, what))
    if not areas:
        what = "no area is given: places down the middle of the hall are taken"
        remarks.append(Remark(NO_AREAS, "care", "areas", what))
        ear_m = floor_m + 1.2
        areas = [
            Area(name=f"{into:g} m into the hall", corners_m=((0.0, into),), ear_m=ear_m)
            for into in DOWN_THE_HALL_M
        ]
    return tuple(areas)


def _area(told: rooms.Area, floor_m: float) -> Area:
    """An area, or one place as an area with one corner."""
    if told.at is not None:
        name = told.label or told.id
        return Area(name=name, corners_m=(told.at[:2],), ear_m=told.at[2], id=told.id)
    ear_m = floor_m + _quantity(told.ears, "m", 1.2)
    back_m = None if told.back_ears is None else floor_m + parse_si(told.back_ears, "m")
    return Area(
        name=told.label or told.id,
        corners_m=told.corners,
        ear_m=ear_m,
        back_ear_m=back_m,
        id=told.id,
    )
