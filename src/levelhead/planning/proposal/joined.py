"""One socket of a show into another: which two are meant, and what the show is then."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import islice, product
from typing import Any, Final

from levelhead.planning.proposal.additions import Output
from levelhead.planning.proposal.attempt import attempted
from levelhead.planning.proposal.conditions_in_show import Stated, met_in_show
from levelhead.planning.proposal.fit import strange_sockets
from levelhead.planning.proposal.plugged_in import plug_for
from levelhead.planning.proposal.proposals import Proposal, Proposals
from levelhead.planning.trial import Trial
from levelhead.planning.typed.own_sockets import best_ports, is_taken, says_only_an_item
from levelhead.planning.typed.pairing import is_other_signal
from levelhead.rig.model import Rig, RigPort
from levelhead.show.edits import Edit, Unplug

__all__ = ["join"]

_MOST: Final = 4  # pairs of sockets that are tried; each is a whole show solved

_Pair = tuple[RigPort, RigPort]


def join(trial: Trial, from_text: str, to_text: str, stated: Stated = ()) -> Proposals | None:
    """One socket of a show into another: judged on a copy, with what sat there unplugged.

    Of sockets that fit the words alike those are meant that carry one signal, and of them the two
    that go together best. Where the second text names an item and no socket, those are meant that a
    lead joins already. ``None`` when a text names no socket of the show.
    """
    rig = trial.solution.rig
    starts, ends = best_ports(rig, from_text, "from"), best_ports(rig, to_text, "to")
    if not starts or not ends:
        return None
    asked = f"{from_text} into {to_text}"
    is_any = says_only_an_item(rig, ends[0], to_text)
    pairs = (_plugged(trial, starts, ends) if is_any else ()) or _made_for(rig, starts, ends)
    return min((_joined(trial, asked, pair, stated) for pair in pairs), key=_rank)


def _rank(told: Proposals) -> tuple[bool, Any]:
    """What goes together at all before the rest, then the better one."""
    best = next(iter(told.proposals), None)
    return (True, ()) if best is None else (False, (best.merit, best.fit))


def _plugged(trial: Trial, starts: Sequence[RigPort], ends: Sequence[RigPort]) -> Sequence[_Pair]:
    """The first two that a lead of the show joins."""
    there = {end: link for link in trial.show.links for end in link.ends.values()}
    for start, end in product(starts, ends):
        link = there.get(start.address)
        if link is not None and end.address in link.ends.values():
            return [(start, end)]
    return ()


def _made_for(rig: Rig, starts: Sequence[RigPort], ends: Sequence[RigPort]) -> Sequence[_Pair]:
    """The few that are made for one another, into inputs that are free, the best first."""
    free = [each for each in ends if not is_taken(rig, each)]
    every = list(product(_first_of_each_kind(starts), _first_of_each_kind(free or ends)))
    alike = [pair for pair in every if not is_other_signal(pair[0].plan, pair[1].plan)]
    every = sorted(alike or every, key=lambda pair: strange_sockets([pair[0].plan], (pair[1],)))
    return list(islice(every, _MOST))


def _first_of_each_kind(ports: Sequence[RigPort]) -> Iterator[RigPort]:
    seen: set[tuple[str, str, str]] = set()
    for port in ports:
        kind = (port.item.id, port.block.block, port.plan.name)
        if kind not in seen:
            seen.add(kind)
            yield port


def _joined(trial: Trial, asked: str, pair: _Pair, stated: Stated) -> Proposals:
    """The verdict of one pair, with its lead plugged and those unplugged that sat there."""
    start, end = pair
    labels = (start.label, end.label)
    there = trial.show.link_at(start.address)
    types = [each.item.plan.type_id for each in pair]
    met = met_in_show(trial.book, stated, (start.address, types[0]), (end.address, types[1]))
    is_plugged = there is not None and {start.address, end.address} <= set(there.ends.values())
    if is_plugged and not met.has_lead:
        edits: tuple[Edit, ...] = met.edits
    else:
        output = Output(start.address, start.plan)
        plug = plug_for(trial, output, end, start.item.plan.kind, met)
        if plug is None:
            why = f"no cable of the gear book fits {start.label} and {end.label}"
            return Proposals(asked, labels, (), why)
        links = (trial.show.link_at(each.address) for each in pair)
        pulled = (Unplug(link) for link in dict.fromkeys(links) if link is not None)
        edits = (*pulled, plug, *met.edits)
    sockets = (start.address, end.address)
    attempt = attempted(trial, edits, sockets, is_new=False, held=met.held)
    if attempt is None:
        return Proposals(asked, labels, (), "the plugs do not go together")
    what = f"{start.label} into {end.label}"
    one = Proposal.told(trial.show, what, (end,), attempt, (start.plan,))
    return Proposals(asked, labels, (replace(one, met=met),), met=met)
