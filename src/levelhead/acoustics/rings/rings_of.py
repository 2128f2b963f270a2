"""How far the system of a show is from ringing, and which microphone and loudspeaker ring first."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from levelhead.acoustics.listening.room import Room
from levelhead.acoustics.loop.feedback import FeedbackMargin, Loop, feedback_margin
from levelhead.acoustics.placed.beyond_walls import beyond_walls
from levelhead.acoustics.placed.boxes import Box, boxes_of
from levelhead.acoustics.placed.ears import CLOSE_M, Ear, any_loop, ears_of, electric_of
from levelhead.acoustics.placed.of_room import Located, locate
from levelhead.acoustics.remarks import INSIDE_LOUDSPEAKER, NO_LOOP, Remark
from levelhead.acoustics.sound.directivity import seen_from
from levelhead.acoustics.sound.near import NEAR_TERMS, NearTerm, together
from levelhead.acoustics.sound.paths import INSIDE_M
from levelhead.chain.solution import Solution
from levelhead.quantity.bands import BANDS, band_labels

__all__ = ["Ringing", "ringing_of"]

ON_FLOOR_M: Final = 0.4  # a loudspeaker so low stands on the floor
NEAR_M: Final = 3.0  # and so near its direct sound counts
NOTHING: Final[Mapping[str, float]] = MappingProxyType({})
USUAL_SPREAD_DB: Final = 2.0  # places, aims, hands: `from memory`

Real = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Ringing:
    """The loop of a show; ``margin`` is nothing where no microphone reaches a loudspeaker."""

    located: Located
    ears: tuple[Ear, ...]
    boxes: tuple[Box, ...]
    margin: FeedbackMargin | None
    terms: tuple[NearTerm, ...]
    remarks: tuple[Remark, ...]

    @property
    def is_possible(self) -> bool:
        """Whether anything can ring: a microphone reaches a loudspeaker, known places or not."""
        return all(each.code != NO_LOOP for each in self.remarks)

    def shares(self) -> tuple[list[tuple[str, float]], list[tuple[str, float]]]:
        """Microphones and loudspeakers in the band that rings first, the largest share first."""
        if self.margin is None:
            return [], []
        band = self.margin.band
        microphones = zip(self.ears, self.margin.microphones[:, band].tolist(), strict=True)
        loudspeakers = zip(self.boxes, self.margin.loudspeakers[:, band].tolist(), strict=True)
        return (
            sorted(((each.name, share) for each, share in microphones), key=_falling),
            sorted(((each.name, share) for each, share in loudspeakers), key=_falling),
        )

    def to_json(self) -> dict[str, Any]:
        """As docs/acoustics.md prints it."""
        margin, (microphones, loudspeakers) = self.margin, self.shares()
        return {
            "margin": None
            if margin is None
            else {
                "mean_loop_gain_db": round(-margin.mean_margin_db, 1),
                "spare_after_6_db": round(margin.stable_margin_db, 1),
                "even_chance_db": round(margin.median_db, 1),
                "nineteen_of_twenty_db": round(margin.sure_db, 1),
                "band": band_labels()[margin.band],
                "bands": list(band_labels()),
                "mean_db": [round(max(float(each), -200.0), 1) for each in margin.mean_db],
                "peak_db": [round(max(float(each), -200.0), 1) for each in margin.peak_db],
            },
            "microphones": [
                {"name": name, "share": round(share, 3)} for name, share in microphones
            ],
            "loudspeakers": [
                {"name": name, "share": round(share, 3)} for name, share in loudspeakers
            ],
            "terms": [
                {"what": each.what, "gain_db": each.gain_db, "spread_db": each.spread_db}
                for each in self.terms
            ],
            "remarks": [each.to_json() for each in self.remarks],
        }


def _falling(named: tuple[str, float]) -> float:
    return -named[1]


def ringing_of(
    solution: Solution,
    *,
    down_db: Mapping[str, float] = NOTHING,
    voiced_m: Mapping[str, float] = NOTHING,
) -> Ringing:
    """The loop of a solved show, every microphone as open as it is set.

    Parameters
    ----------
    down_db : mapping
        By how much microphones are turned down besides, by their item. [dB]
    voiced_m : mapping
        Distances that channels are equalised for, by the item of the microphone, where those are
        not the distances of the show: a mouth that moves leaves the equaliser as it stands. [m]
    """
    located = locate(solution.rig.show)
    boxes, box_remarks = boxes_of(solution)
    ears, ear_remarks = ears_of(solution)
    ears = [replace(each, mouth_m=voiced_m.get(each.item.id, each.mouth_m)) for each in ears]
    places = [(box.name, box.at_m) for box in boxes]
    places += [(ear.name, ear.at_m) for ear in ears]
    beyond = beyond_walls(solution.rig.show, places)
    remarks = [*located.remarks, *beyond, *box_remarks, *ear_remarks]
    gains, delays_s = electric_of(solution, ears, boxes)
    gains = gains * _turned_down(ears, down_db)
    if not gains.size or not gains.any():
        remarks.insert(0, _no_loop(solution))
        return Ringing(
            located=located,
            ears=tuple(ears),
            boxes=tuple(boxes),
            margin=None,
            terms=(),
            remarks=tuple(remarks),
        )
    loop, terms, inside = _loop(located, (ears, boxes), (gains, delays_s))
    remarks += inside
    return Ringing(
        located=located,
        ears=tuple(ears),
        boxes=tuple(boxes),
        margin=feedback_margin(loop),
        terms=terms,
        remarks=tuple(remarks),
    )


def _no_loop(solution: Solution) -> Remark:
    """Why there is no margin: nothing can ring, or nobody knows where things stand."""
    if any_loop(solution):
        what = (
            "microphones reach loudspeakers, and of no such pair it is known where both stand: "
            "whether it rings cannot be told"
        )
        return Remark("acoustics.unknown-loop", "fails", "items", what)
    what = "no microphone reaches a loudspeaker as everything stands: nothing can ring"
    return Remark(NO_LOOP, "care", "items", what)


def _turned_down(ears: list[Ear], down_db: Mapping[str, float]) -> Real:
    """Factor of each microphone, (1, microphones, 1)."""
    by_db = np.array([down_db.get(each.item.id, 0.0) for each in ears])
    return np.asarray(10 ** (-by_db / 20))[None, :, None]


def _loop(
    located: Located,
    placed: tuple[list[Ear], list[Box]],
    electric: tuple[Real, Real],
) -> tuple[Loop, tuple[NearTerm, ...], list[Remark]]:
    """Ways of the air and of the desk; terms that entered, microphones inside a loudspeaker."""
    ears, boxes = placed
    shape = (len(ears), len(boxes))
    direct, late, flight_s = np.zeros((*shape, BANDS)), np.zeros((*shape, BANDS)), np.zeros(shape)
    spread_db = np.zeros(shape)
    used: dict[str, NearTerm] = {}
    remarks: list[Remark] = []
    for m, ear in enumerate(ears):
        for s, box in enumerate(boxes):
            away_m, heard = _straight(ear, box)
            terms = _terms(ear, box, away_m, located, close=ear.mouth_m <= CLOSE_M)
            if away_m <= INSIDE_M:
                what = f"{ear.name} stands inside {box.name}"
                remarks.append(Remark(INSIDE_LOUDSPEAKER, "fails", ear.item.id, what))
            used |= {each.what: each for each in terms}
            response = box.response * ear.far_response
            gain_db, doubt_db = together(terms)
            direct[m, s] = response * heard * 10 ** (gain_db / 10)
            spread_db[m, s] = np.hypot(USUAL_SPREAD_DB, doubt_db)
            late[m, s] = response * _late(located.venue.room, ear, box, away_m)
            flight_s[m, s] = away_m / located.venue.air.speed_m_per_s
    room = located.venue.room
    loop = Loop(
        direct=direct,
        late=late,
        electric=electric[0],
        reverberation_s=np.zeros(BANDS) if room is None else room.reverberation_s,
        flight_s=flight_s,
        latency_s=float(np.median(electric[1][np.abs(electric[0]).sum(-1) > 0])),
        spread_db=spread_db,
    )
    return loop, tuple(used.values()), remarks


def _straight(ear: Ear, box: Box) -> tuple[float, Real]:
    """Distance, and power of the direct sound with both patterns, (31,). [m, ratio]"""
    towards = (ear.at_m - box.at_m)[None]
    distance_m, from_box = seen_from(towards, box.axis)
    _, from_ear = seen_from(-towards, ear.axis)
    away_m = max(float(distance_m[0]), INSIDE_M)
    power = box.coverage.gain(from_box)[0] * ear.pattern.gain(from_ear)[0] / away_m**2
    return away_m, power


def _late(room: Room | None, ear: Ear, box: Box, away_m: float) -> Real:
    """Power of the reverberation that a microphone hears, (31,). [ratio]"""
    if room is None:
        return np.zeros(BANDS)
    return np.asarray(room.reverberant(away_m, box.coverage.q) / ear.pattern.q)


def _terms(ear: Ear, box: Box, away_m: float, located: Located, *, close: bool) -> list[NearTerm]:
    """Heads and floors that stand near this way."""
    floor_m = min(float(each.point_m[2]) for each in located.venue.planes)
    is_low = min(abs(box.at_m[2]), abs(box.at_m[2] - floor_m)) < ON_FLOOR_M
    is_near = away_m < NEAR_M
    looks_at_it = float((ear.at_m - box.at_m) @ box.axis) > 0
    terms = [NEAR_TERMS["floor"]] if is_low and is_near else []
    return [*terms, NEAR_TERMS["head"]] if close and is_near and looks_at_it else terms
