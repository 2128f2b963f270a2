"""Gear that is made for what comes: a preamplifier for a cartridge, a box for a loudspeaker line.

None is chosen by its name. What an output asks for as its load, a socket for loudspeakers at the
way into a box, a winding that keeps direct current out: these say that a box is made for it, and
the solved copy says whether it helps (``planning.remedy``).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import islice
from typing import Final

from levelhead.gear.plan import ItemPlan, PortPlan
from levelhead.gear.plan.ways import leaving_port
from levelhead.planning.moves.boxes import PlainBox, between, plain_boxes, ways_of
from levelhead.planning.moves.candidate import COST_OF_CABLE, COST_OF_PURCHASE, Candidate
from levelhead.planning.moves.plugs import LEAST_LINE_LOAD_OHM
from levelhead.planning.trial import Trial
from levelhead.rig.model import RigPort
from levelhead.show.model import Link
from levelhead.verdicts.enough.gain import TOO_LOW
from levelhead.verdicts.harm.direct import BACK_FED, SURGE, VOLTS
from levelhead.verdicts.loading.levels import TONE
from levelhead.verdicts.phantom.arrives import MISSING, TOO_FEW_VOLTS
from levelhead.verdicts.told.finding import Finding
from levelhead.verdicts.told.severity import Severity
from levelhead.verdicts.wiring.curves import CURVE

__all__ = ["boxes_made_for"]

_LIKE: Final = 0.2  # of the load that an output asks for
_DIRECT: Final = frozenset({BACK_FED, VOLTS, SURGE})
_UNFED: Final = frozenset({VOLTS, MISSING, TOO_FEW_VOLTS})
_MOST: Final = 2
_BESIDE_A_SOCKET: Final = COST_OF_CABLE  # a box that people take as soon as another lead


def boxes_made_for(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """Boxes and preamplifiers put into a link, where they are made for its output."""
    for link in _links(trial, finding):
        for start in _givers(trial, link):
            if finding.code in {TOO_LOW, TONE, CURVE}:
                yield from _put(trial, link, _for_its_load(trial, start.plan), COST_OF_PURCHASE)
            elif finding.code == "harm.level" and start.plan.is_for_loudspeakers:
                yield from _put(trial, link, _for_loudspeaker_lines(trial), _BESIDE_A_SOCKET)
            elif finding.code in _UNFED and _lives_on_bias(start):
                yield from _put(trial, link, _that_bias(trial), _BESIDE_A_SOCKET)
            elif finding.code in _DIRECT and finding.severity is Severity.HARM:
                boxes = islice(_that_keep_current_out(trial, start.plan), _MOST)
                yield from _put(trial, link, boxes, _BESIDE_A_SOCKET)


def _links(trial: Trial, finding: Finding) -> list[Link]:
    about = {*finding.ports, finding.where}
    return [link for link in trial.show.links if about & set(link.ends.values())]


def _givers(trial: Trial, link: Link) -> list[RigPort]:
    ports = [trial.solution.rig.ports[each] for each in link.ends.values()]
    return [port for port in ports if port.plan.drives][:1]


def _put(trial: Trial, link: Link, boxes: Iterable[PlainBox], cost: int) -> Iterator[Candidate]:
    for box in boxes:
        for way in islice(ways_of(trial.solution.rig, link), 1):  # into the socket of the link
            if (way.end.plan.figure("impedance") or LEAST_LINE_LOAD_OHM) >= LEAST_LINE_LOAD_OHM:
                yield from between(trial, way, box, cost)


def _for_its_load(trial: Trial, start: PortPlan) -> Iterator[PlainBox]:
    """What loads an output as it asks for: a phono preamplifier for a cartridge."""
    wanted_ohm = start.figure("reference-load")
    if wanted_ohm is None:
        return
    for type_id in trial.book.of_kind("processor", "box"):
        if trial.book.sketch(type_id).special:  # it makes a sound of its own
            continue
        for port, box in _inputs(trial.book.plan(type_id, {}, {})):
            ohm = port.figure("impedance")
            if ohm is not None and abs(ohm - wanted_ohm) <= _LIKE * wanted_ohm:
                yield box
                break


def _inputs(plan: ItemPlan) -> Iterator[tuple[PortPlan, PlainBox]]:
    """Inputs of a type as a whole, each with where it comes out."""
    block = plan.block("") if any(each.name == "" for each in plan.blocks) else None
    for port in block.plan.ports.values() if block is not None else ():
        leaving = leaving_port(plan, port.name) if port.role == "in" else None
        if block is not None and leaving is not None:
            yield port, PlainBox(plan.type_id, port, block.plan.ports[leaving])


def _for_loudspeaker_lines(trial: Trial) -> Iterator[PlainBox]:
    """What takes a loudspeaker line and gives line level."""
    for type_id in trial.book.of_kind("box"):
        for port, box in _inputs(trial.book.plan(type_id, {}, {})):
            if port.is_for_loudspeakers and not box.leaving.is_for_loudspeakers:
                yield box


def _lives_on_bias(start: RigPort) -> bool:
    """Whether an item is fed by plug-in power where a link takes its signal."""
    ways = start.item.plan.powered_by
    return any(each.kind == "bias" and each.port == start.plan.name for each in ways)


def _that_bias(trial: Trial) -> Iterator[PlainBox]:
    """Boxes that make plug-in power of phantom power."""
    for type_id in trial.book.of_kind("box"):
        plan = trial.book.plan(type_id, {}, {})
        is_fed = any(each.kind == "phantom" for each in plan.powered_by)
        yield from (box for port, box in _inputs(plan) if is_fed and port.figure("bias"))


def _that_keep_current_out(trial: Trial, start: PortPlan) -> Iterator[PlainBox]:
    """Boxes of windings alone: nothing but a signal passes them."""
    for box in plain_boxes(trial.book):
        block = trial.book.plan(box.type_id, {}, {}).block("")
        kinds = {part.kind for part in block.plan.parts}
        is_like = box.entry.socket.partition("-")[0] == start.socket.partition("-")[0]
        if "transformer" in kinds and is_like:
            yield box
