"""Hum at inputs: what the potentials of the ground network become between the signal pins.

Three ways lead there. The solved network converts what it can: a screen's current drops a voltage
that an unbalanced input takes for signal. A balanced input lets through what both legs share by its
own rejection, a figure. And parts that should be equal are not quite, so that legs differ: their
tolerances act through the same network, each by itself. Fields round the cables add a little.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from levelhead.circuit.ground.islands import GroundIsland, Listening
from levelhead.circuit.ground.network import Ground
from levelhead.circuit.ground.pieces import GroundPiece
from levelhead.circuit.hum.pickup import Pickup
from levelhead.circuit.hum.sums import HumSum
from levelhead.gear.figures import Figure
from levelhead.show.addresses import item_of

__all__ = ["PortHum", "hum_at_inputs"]

Real: TypeAlias = NDArray[np.float64]
Complex: TypeAlias = NDArray[np.complex128]


@dataclass(frozen=True, slots=True, eq=False)
class PortHum:
    """Hum at an input.

    Attributes
    ----------
    address
        The port, with its signal if it is stereo.
    volts : complex, (sources, lines)
        Through the network as it is, with the phase that two inputs may share. [V]
    power
        All of it, as mean squares.
    partner
        The item whose 0 V makes most of it, against that of the input; none for a field.
    """

    address: str
    volts: Complex
    power: HumSum
    partner: str | None

    def __repr__(self) -> str:
        return f"PortHum({self.address!r})"


def hum_at_inputs(
    ground: Ground, before: tuple[Ground, Mapping[str, PortHum]] | None = None
) -> Mapping[str, PortHum]:
    """Hum at every input that is plugged, by its address.

    Where the potentials are those of ``before``, pieces that are the same keep their hum.
    """
    known: Mapping[Hashable, GroundPiece] = {}
    heard: Mapping[str, PortHum] = {}
    if before is not None and before[0].zero_v is ground.zero_v:
        known, heard = before[0].pieces, before[1]
    found: dict[str, PortHum] = {}
    for key, piece in ground.pieces.items():
        places = [each.address for island in piece.islands for each in island.listening]
        if known.get(key) is piece and all(each in heard for each in places):
            found |= {each: heard[each] for each in places}
        else:
            found |= {each.address: each for each in _at_piece(ground, piece)}
    return MappingProxyType(found)


def _at_piece(ground: Ground, piece: GroundPiece) -> Iterator[PortHum]:
    pickup = Pickup(piece, ground.mains)
    for island in piece.islands:
        at_island = _at_island if len(island.items) > 1 else _at_one_zero
        yield from at_island(ground, island, pickup)


def _at_one_zero(ground: Ground, island: GroundIsland, pickup: Pickup) -> Iterator[PortHum]:
    """Inputs of an island that touches one 0 V: nothing lies between two, so only fields are heard.

    Its network, whatever it is, turns a difference that is none into nothing.
    """
    for place in island.listening:
        power = HumSum.of_field(ground.driven.fields, pickup.at(island, place))
        yield PortHum(place.address, power.direct.astype(np.complex128), power, partner=None)


def _at_island(ground: Ground, island: GroundIsland, pickup: Pickup) -> Iterator[PortHum]:
    rows = [ground.row_of[item] for item in island.items]
    # only differences count, those against the first: without what all share no digits are lost
    drop_v = ground.zero_v[rows[1:]] - ground.zero_v[rows[0]]
    for place in island.listening:
        between = np.einsum("tl,tsl->sl", island.reach[place.between, 1:], drop_v)
        yield PortHum(
            address=place.address,
            volts=between,
            power=HumSum(
                of=ground.driven,
                unit="V",
                direct=_square(between),
                shared=_shared(ground, island, place, drop_v),
                unlike=_squares_through(island.unlike(place), drop_v),
                field=pickup.at(island, place),
                cmrr=_cmrr(ground, place),
            ),
            partner=_partner(island, place, drop_v),
        )


def _square(volts: Complex) -> Real:
    power: Real = volts.real**2 + volts.imag**2
    return power


def _squares_through(form: Complex, drop_v: Complex) -> Real:
    """Mean squares of potentials (items, sources, lines) in a form; (sources, lines)."""
    power: Real = (drop_v.conj() * np.einsum("tul,usl->tsl", form, drop_v)).sum(axis=0).real
    return np.maximum(power, 0.0)


def _cmrr(ground: Ground, place: Listening) -> Figure | None:
    if place.common is None:
        return None
    port = ground.rig.ports.get(place.address)
    return None if port is None else port.plan.figures.get("cmrr")


def _shared(ground: Ground, island: GroundIsland, place: Listening, drop_v: Complex) -> Real:
    """What a balanced input fails to reject, at the low, typical and high end."""
    cmrr = _cmrr(ground, place)
    if cmrr is None or place.common is None:
        return np.zeros((3, *drop_v.shape[1:]))
    common = _square(np.einsum("tl,tsl->sl", island.reach[place.common, 1:], drop_v))
    let_through = [10 ** (-db / 10) for db in (cmrr.high, cmrr.value, cmrr.low)]
    return np.multiply.outer(let_through, common)


def _partner(island: GroundIsland, place: Listening, drop_v: Complex) -> str | None:
    """The other item of the island whose 0 V differs most, as the input sees it."""
    own = item_of(place.address)
    row = place.between if place.common is None else place.common
    own_at = island.items.index(own) if own in island.items else 0
    drop_v = np.concatenate([np.zeros_like(drop_v[:1]), drop_v])
    against_v = drop_v - drop_v[own_at]
    seen = np.abs(island.reach[row][:, None] * against_v)
    strength = np.linalg.norm(seen.reshape(len(island.items), -1), axis=1)
    most = int(strength.argmax())
    return island.items[most] if strength[most] > 0 else None
