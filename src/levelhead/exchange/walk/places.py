"""Places along a channel in signal order, with all that lies between each and the one before."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from levelhead.exchange.paperwork.flow import Leg
from levelhead.exchange.paperwork.work import Paperwork
from levelhead.exchange.walk.alone import Alone
from levelhead.exchange.walk.model import Kind
from levelhead.exchange.walk.route import Route
from levelhead.planning.desks import Desk
from levelhead.rig.model import RigItem, RigPort
from levelhead.verdicts.read.reach import speaks

__all__ = ["Ground", "Place", "is_loudspeaker", "places"]


@dataclass(frozen=True, slots=True)
class Place:
    """One place. ``points`` lie behind the place before it; at the last one it may be read.

    ``legs`` are the leads that it comes by, the last one in here; ``items`` what is passed,
    ``controls`` what is set on the way, in signal order.
    """

    kind: Kind
    items: tuple[RigItem, ...]
    legs: tuple[Leg, ...]
    points: tuple[str, ...]
    controls: tuple[str, ...]

    @property
    def leg(self) -> Leg | None:
        """The lead that comes in here."""
        return self.legs[-1] if self.legs else None

    @property
    def at(self) -> str:
        """The point of the place; empty where none is known."""
        return self.points[-1] if self.points else ""


@dataclass(frozen=True)
class Ground:
    """What every symptom reads: the show, the way, and the signal alone on it."""

    work: Paperwork
    route: Route

    @cached_property
    def alone(self) -> Alone:
        """Levels of this channel by itself."""
        return Alone(self.work.check.trial, self.route)

    @cached_property
    def desk(self) -> Desk:
        """The mixer (or box) with the input."""
        return Desk(self.work.rig, self.route.port.item)

    @cached_property
    def metered(self) -> str:
        """The point at which the strip has its meter; the input where there is none."""
        strip = self.work.strips.get(self.route.port.address)
        if strip is not None:
            return strip.metered.address
        solution = self.work.check.trial.solution
        within = f"{self.route.port.strip}."
        own = (each for each in self.route.after if each.startswith(within))
        found = (each for each in own if solution.point(each).meter is not None)
        return next(found, self.route.sensed)

    def controls(self, points: Sequence[str], came_from: str | None = None) -> tuple[str, ...]:
        """Controls that a signal passes up to some points, of stages and of crossings."""
        index, found = self.work.check.trial.solution.graph.index, list[str | None]()
        start = () if came_from is None else (came_from,)
        for before, address in pairwise((*start, *points)):
            found.append(self._crossings.get((index[before], index[address])))
            found.append(self.work.check.trial.solution.point(address).control)
        if came_from is None and points:
            found.insert(0, self.work.check.trial.solution.point(points[0]).control)
        return tuple(dict.fromkeys(each for each in found if each))

    @cached_property
    def _crossings(self) -> dict[tuple[int, int], str]:
        return {
            (edge.source, edge.target): edge.control
            for edge in self.work.check.trial.solution.graph.edges
            if edge.control is not None
        }


def places(ground: Ground) -> Iterator[Place]:
    """Source, leads, phantom power, gain, routing, outputs."""
    yield from _before(ground)
    if _is_fed(ground):
        items = tuple(leg.out.item for leg in ground.route.legs)
        yield Place("phantom", items, (), (ground.route.sensed,), ())
    yield from _within(ground)
    yield from _behind(ground)


def _before(ground: Ground) -> Iterator[Place]:
    """Where it begins, then every lead with the box before it."""
    route = ground.route
    if not route.legs:
        return
    own = _of(ground, route.before, route.first)
    first = tuple(each for each in route.before if each in own or "." not in each)
    yield Place("source", (route.first,), (), first, ground.controls(own))
    for number, leg in enumerate(route.legs):
        box = () if number == 0 else (leg.out.item,)
        inside = () if number == 0 else _of(ground, route.before, leg.out.item)
        arriving = tuple(each for each in route.before if each.startswith(leg.into.address))
        yield Place("lead", box, (leg,), (*inside, *arriving), ground.controls(inside))


def _of(ground: Ground, points: Sequence[str], item: RigItem) -> tuple[str, ...]:
    solution = ground.work.check.trial.solution
    return tuple(each for each in points if solution.point(each).item == item.id and "." in each)


def _is_fed(ground: Ground) -> bool:
    """Whether anything before the input lives on phantom power."""
    ways = (way for leg in ground.route.legs for way in leg.out.item.plan.powered_by)
    return any(way.kind == "phantom" for way in ways)


def _within(ground: Ground) -> Iterator[Place]:
    """From the input to its meter, then through the mixers, meter by meter."""
    route, solution = ground.route, ground.work.check.trial.solution
    after = list(route.after)
    cut = after.index(ground.metered) + 1 if ground.metered in after else 0
    gain = tuple(after[:cut])
    sets = ground.desk.gains(route.port.block, route.port.plan.name)
    controls = tuple(dict.fromkeys([*sets, *ground.controls(gain, route.sensed)]))
    yield Place("gain", (route.port.item,), (), gain or (route.sensed,), controls)
    mixers = {route.port.item.id, *ground.work.mixers}
    inside = [n for n, each in enumerate(after) if solution.point(each).item in mixers]
    stop = inside[-1] + 1 if inside else cut
    last, passed = ([route.sensed, *gain])[-1], list[str]()
    for number in range(cut, stop):
        passed.append(after[number])
        held = ground.controls(passed, last)
        is_end = number + 1 == stop and bool(held)
        if solution.point(after[number]).meter is not None or is_end:
            items = tuple(ground.work.rig.items[each] for each in _items(ground, passed))
            yield Place("routing", items, (), tuple(passed), held)
            last, passed = after[number], []


def _items(ground: Ground, points: Sequence[str]) -> list[str]:
    solution, items = ground.work.check.trial.solution, ground.work.rig.items
    found = dict.fromkeys(solution.point(each).item for each in points)
    return [each for each in found if each in items]


def _behind(ground: Ground) -> Iterator[Place]:
    """Every item behind the mixers, each with the lead into it."""
    route, solution = ground.route, ground.work.check.trial.solution
    mixers = {route.port.item.id, *ground.work.mixers}
    after = list(route.after)
    inside = [n for n, each in enumerate(after) if solution.point(each).item in mixers]
    rest = after[inside[-1] + 1 :] if inside else after
    last = after[inside[-1]] if inside else route.sensed
    for item in _items(ground, rest):
        own = [each for each in rest if solution.point(each).item == item]
        legs = _legs_into(ground, own)
        yield Place(
            "output",
            (ground.work.rig.items[item],),
            legs,
            tuple(own),
            ground.controls(own, last),
        )
        last = own[-1]


def _legs_into(ground: Ground, own: Sequence[str]) -> tuple[Leg, ...]:
    """The leads by which an item is reached: more than one where sockets are looped through."""
    work = ground.work
    for address in own:
        port = work.rig.port_at(address)
        if port is not None and port.plan.role != "out" and port.address in work.lead_at:
            return tuple(_looped(work, port))[::-1]
    return ()


def _looped(work: Paperwork, port: RigPort) -> Iterator[Leg]:
    """The lead into a socket, then those before it while it comes from a through socket."""
    seen: set[str] = set()
    while port.address not in seen:
        seen.add(port.address)
        lead = work.lead_at[port.address]
        out = next((each for each in lead.others(port.address) if each.plan.role != "in"), None)
        if out is None:
            return
        yield Leg(lead, out, port)
        wire = out.plan.joined or out.plan.name
        before = (
            each
            for each in work.rig.ports.values()
            if each.item.id == out.item.id
            and each.block is out.block
            and wire in (each.plan.name, each.plan.joined)
            and each.plan.role == "in"
            and each.address in work.lead_at
        )
        port = next(before, port)


def is_loudspeaker(ground: Ground, place: Place) -> bool:
    """Whether sound comes out there."""
    if not place.points:  # a way that ends where nothing arrives
        return False
    return speaks(ground.work.check.trial.solution.point(place.at))
