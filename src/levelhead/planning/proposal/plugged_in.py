"""What is added, plugged into what is free: each chain into each kind of strip, then judged."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from statistics import median
from typing import Final

from levelhead.planning.moves.boxes import fans
from levelhead.planning.proposal.additions import Chain, Output
from levelhead.planning.proposal.attempt import Attempt, attempted
from levelhead.planning.proposal.conditions_in_show import MetInShow, Stated, met_in_show
from levelhead.planning.proposal.fit import MIDDLE, strange_sockets
from levelhead.planning.proposal.free_inputs import Inputs, free_inputs, free_pairs
from levelhead.planning.proposal.proposals import Proposal
from levelhead.planning.stock import taken
from levelhead.planning.trial import Trial
from levelhead.rig.model import Rig, RigPort
from levelhead.rig.usual import usual_cable
from levelhead.show.addresses import item_of
from levelhead.show.edits import Plug, Set
from levelhead.show.model import Cable, Link
from levelhead.verdicts.told.severity import Severity

__all__ = ["places", "plug_for", "strip_kinds", "tried"]

_PAIR: Final = 2


def places(rig: Rig, wanted: set[str] | None) -> list[Inputs]:
    """Free inputs, in pairs and alone."""
    every = [*free_pairs(rig), *((port,) for port in free_inputs(rig))]
    if wanted is None:
        return every
    return [each for each in every if {port.address for port in each} & wanted]


def tried(
    trial: Trial,
    chains: Iterable[Chain],
    into: Sequence[Inputs],
    go_on: Callable[[], None] = lambda: None,
    stated: Stated = (),
) -> Iterator[Proposal]:
    """Each chain into each kind of strip, where plugs fit and somebody hears it.

    Of a chain what its sockets are made for goes first.
    """
    for chain in chains:
        yield from sorted(_tried(trial, chain, into, go_on, stated), key=lambda each: each.fit)


def _tried(
    trial: Trial, chain: Chain, into: Sequence[Inputs], go_on: Callable[[], None], stated: Stated
) -> Iterator[Proposal]:
    """A chain into each kind of strip, the sockets first that are made for its plugs.

    What is fine in one socket of a strip, with the gain near the middle of its travel, is not tried
    in another one.
    """
    outputs = [each.plan for each in chain.outputs]
    done: set[tuple[str, ...]] = set()
    for inputs in sorted(into, key=lambda each: strange_sockets(outputs, each)):
        go_on()
        kind = strip_kinds(inputs)
        if kind in done:
            continue
        met = _met(trial, chain, inputs, stated)
        attempt = _attempt(trial, chain, inputs, met)
        if attempt is None:
            continue
        brought = met.with_figures(chain.brought, item_of(chain.outputs[0].address))
        told = Proposal.told(trial.show, chain.what, inputs, attempt, outputs, brought)
        is_fine = told.verdict is Severity.FINE and not attempt.needs
        if is_fine and told.fit.off_middle <= MIDDLE:
            done.add(kind)
        yield replace(told, met=met)


def strip_kinds(inputs: Inputs) -> tuple[str, ...]:
    """Which kinds of strips inputs belong to."""
    return tuple(f"{port.item.id} {port.block.block}" for port in inputs)


def _met(trial: Trial, chain: Chain, inputs: Inputs, stated: Stated) -> MetInShow:
    """What was said of the sockets, for each input."""
    found = MetInShow()
    for number, port in enumerate(inputs if stated else ()):
        output = chain.outputs[min(number, len(chain.outputs) - 1)].address
        end = (port.address, port.item.plan.type_id)
        met = met_in_show(trial.book, stated, (output, chain.types[-1]), end, added=chain.types)
        found = found.together(met) if number else met
    return found


def _attempt(trial: Trial, chain: Chain, inputs: Inputs, met: MetInShow) -> Attempt | None:
    """The chain plugged into inputs of a copy; none where no lead fits, or nobody hears it.

    As it was said it may be dead: then that is the answer.
    """
    plugs = _plugs(trial, chain, inputs, met)
    if plugs is None:
        return None
    ends = [end for plug in plugs for end in plug.link.ends.values()]
    added = met.with_figures(chain.edits, item_of(chain.outputs[0].address))
    edits = (*added, *plugs, *_panned(inputs), *met.edits)
    attempt = attempted(trial, edits, ends, held=met.held)
    if attempt is None and met.held:
        return attempted(trial, edits, ends, is_new=False, held=met.held)
    return attempt


def _plugs(trial: Trial, chain: Chain, inputs: Inputs, met: MetInShow) -> list[Plug] | None:
    """Left to left and right to right, a stereo socket by a lead of three ends, or one to one.

    Sockets that carry different things are not tried: no switch mends that.
    """
    carried = {each.plan.carries for each in chain.outputs} | {each.plan.carries for each in inputs}
    if len(carried) > 1:
        return None
    if len(chain.outputs) == len(inputs):
        pairs = zip(chain.outputs, inputs, strict=True)
        plugs = [plug_for(trial, output, port, chain.kind, met) for output, port in pairs]
        found = [plug for plug in plugs if plug is not None]
        return found if len(found) == len(plugs) else None
    if len(inputs) == _PAIR and len(chain.outputs[0].plan.signals) == _PAIR:
        return _fanned(trial, chain.outputs[0], inputs)
    return None


def _fanned(trial: Trial, output: Output, inputs: Inputs) -> list[Plug] | None:
    """A stereo output by a lead of three ends into two inputs."""
    left, right = inputs
    lead = next(fans(trial.book, output.plan, left.plan, right.plan), None)
    if lead is None:
        return None
    ends = {"a": output.address, "left": left.address, "right": right.address}
    return [Plug(Link(ends, (taken(trial.show, lead.type_id, lead.usual_length_m),)))]


def plug_for(trial: Trial, output: Output, port: RigPort, kind: str, met: MetInShow) -> Plug | None:
    """The lead that was said, or the usual one, as long as was said or as such leads are here."""
    cable = usual_cable(trial.book, output.plan, port.plan)
    if met.cable is not None:
        cable = trial.book.cable(met.cable)
    if cable is None:
        return None
    length_m = met.length_m or _length_m(trial.solution.rig, port, kind) or cable.usual_length_m
    via: Cable = taken(trial.show, cable.type_id, length_m)
    return Plug(Link({"a": output.address, "b": port.address}, (via,)))


def _length_m(rig: Rig, port: RigPort, kind: str) -> float | None:
    """How long the leads of such gear to this item are in the show. [m]"""
    lengths = []
    for link in rig.links:
        ends = [rig.ports[each] for each in link.ports if each in rig.ports]
        if any(each.item.id == port.item.id for each in ends) and any(
            each.item.plan.kind == kind and each.item.id != port.item.id for each in ends
        ):
            lengths.append(sum(segment.length_m for segment in link.segments))
    return median(lengths) if lengths else None


def _panned(inputs: Inputs) -> Iterator[Set]:
    """Left and right on two strips stand left and right."""
    if len(inputs) == _PAIR and inputs[0].block.name != inputs[1].block.name:
        for port, side in zip(inputs, ("left", "right"), strict=True):
            for name, control in port.block.plan.controls.items():
                if control.kind == "pan":
                    yield Set(port.sibling(name), side)
