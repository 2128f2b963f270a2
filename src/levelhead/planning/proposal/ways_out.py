"""Where an output may go: sockets that are free, or gear that is brought for it, each tried.

Sends, mains, amplifiers, loudspeakers that pass on what they get: whatever a lead fits. Every way
is a list of edits that was applied to a copy of the show, solved and judged.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from typing import Any, Final

from levelhead.errors import AskError
from levelhead.planning.proposal.attempt import Attempt, attempted
from levelhead.planning.stock import lacking, taken
from levelhead.planning.trial import Trial
from levelhead.planning.typed.names import find_candidates
from levelhead.rig.model import Rig, RigPort
from levelhead.rig.usual import usual_cable
from levelhead.show.edit_json import edit_to_json
from levelhead.show.edits import AddItem, Edit, Plug, Unplug
from levelhead.show.model import Item, Link

__all__ = ["WayOut", "ways_out"]

_MOST: Final = 8  # that are tried; each is a whole show solved
_MOST_TYPES: Final = 4
_LATE: Final = frozenset({"mixer", "box"})  # what sums or passes on: last, and by free strips


@dataclass(frozen=True, slots=True)
class WayOut:
    """One socket that an output may go into, and what the show is then."""

    address: str
    label: str
    attempt: Attempt
    lacks: tuple[str, ...]
    is_here: bool
    is_new: bool

    def to_json(self) -> dict[str, Any]:
        """As a page takes it; in the words of a proposal."""
        return {
            "address": self.address,
            "into": [{"address": self.address, "label": self.label}],
            "verdict": self.attempt.verdict.value,
            "why": self.attempt.why,
            "needs": list(self.attempt.needs),
            "not_in_stock": list(self.lacks),
            "edits": [edit_to_json(each) for each in self.attempt.edits],
            "worse_elsewhere": [each.to_json() for each in self.attempt.elsewhere],
            "is_here": self.is_here,
            "is_new": self.is_new,
        }


def ways_out(trial: Trial, output: str, text: str = "") -> tuple[WayOut, ...]:
    """Ways for an output, the best first.

    Parameters
    ----------
    trial : Trial
        The show, solved.
    output : str
        Address of the output.
    text : str
        Words for gear that is to be brought: ``powered speaker``. Without them only what is there.

    Raises
    ------
    AskError
        There is no such output, or no gear that the words mean takes it.
    """
    port = trial.solution.rig.ports.get(output)
    if port is None or port.plan.role == "in":
        raise AskError(
            f"no output {output[:60]!r}",
            where="output",
            expected="an output of the show",
            remedy="Look at the list of outputs again.",
        )
    found = list(_brought(trial, port, text) if text.strip() else _there(trial, port))
    if text.strip() and not found:
        raise AskError(
            f"nothing called '{text[:60]}' takes {port.label}",
            where="output",
            expected="gear with an input that a lead from there fits",
            remedy="Try other words: powered speaker, amplifier, wedge, recorder.",
        )
    return tuple(sorted(found, key=_rank))


def _rank(way: WayOut) -> tuple[bool, int, bool, int]:
    attempt = way.attempt
    worse = bool(attempt.elsewhere)
    return (not way.is_here, attempt.verdict.rank, worse, len(way.lacks))


def _there(trial: Trial, port: RigPort) -> Iterator[WayOut]:
    """Where it is plugged, then the first free input of each kind that a lead fits."""
    rig = trial.solution.rig
    link = trial.show.link_at(port.address)
    for end in link.ends.values() if link is not None else ():
        if end != port.address and end in rig.ports:
            attempt = _tried(trial, (), (port.address, end))
            if attempt is not None:
                yield WayOut(end, rig.ports[end].label, attempt, (), is_here=True, is_new=False)
    fitting = (each for each in _free(rig, port) if usual_cable(trial.book, port.plan, each.plan))
    for each in islice(fitting, _MOST):
        way = _way(trial, port, each, ())
        if way is not None:
            yield way


def _free(rig: Rig, port: RigPort) -> list[RigPort]:
    """Inputs without a plug, each kind of each item once, gear that plays before gear that takes.

    What stands on the same side is meant: a left output goes rather into a left input.
    """
    seen: dict[tuple[str, str, str], RigPort] = {}
    taken_ = {
        (each.item.id, each.block.name) for each in rig.ports.values() if each.link is not None
    }
    for each in rig.ports.values():
        is_free = each.plan.role == "in" and not rig.plugged(each.sibling(each.plan.hole))
        is_beside = (each.item.id, each.block.name) in taken_ and each.item.plan.kind in _LATE
        if is_free and not is_beside and each.item.id != port.item.id:
            seen.setdefault((each.item.id, each.block.block, each.plan.name), each)
    side = _side(port)
    return sorted(
        seen.values(), key=lambda each: (each.item.plan.kind in _LATE, _side(each) != side)
    )


def _side(port: RigPort) -> str:
    words = f"{port.block.name} {port.plan.name}"
    return next((side for side in ("left", "right") if side in words), "")


def _brought(trial: Trial, port: RigPort, text: str) -> Iterator[WayOut]:
    """Gear that the words mean, its first input that a lead fits; each type once."""
    done: set[str] = set()
    for candidate in find_candidates(trial.book, text, "to"):
        if candidate.type_id in done or len(done) == _MOST_TYPES:
            continue
        item = Item(trial.show.next_id(candidate.type_id), candidate.type_id)
        with_it = trial.after([AddItem(item)])
        end = (
            None
            if with_it is None
            else with_it.solution.rig.ports.get(f"{item.id}.{candidate.port}")
        )
        if end is None or usual_cable(trial.book, port.plan, end.plan) is None:
            continue
        done.add(candidate.type_id)
        way = _way(trial, port, end, [AddItem(item)])
        if way is not None:
            yield way


def _tried(trial: Trial, edits: Sequence[Edit], ports: Sequence[str]) -> Attempt | None:
    """As it is plugged: whoever chooses a socket has not asked for a switch elsewhere."""
    return attempted(trial, edits, ports, is_new=False, may_switch=False)


def _way(trial: Trial, port: RigPort, end: RigPort, before: Sequence[Edit]) -> WayOut | None:
    cable = usual_cable(trial.book, port.plan, end.plan)
    link = trial.show.link_at(port.address)
    if cable is None:
        return None
    via = taken(trial.show, cable.type_id, cable.usual_length_m)
    plug = Plug(Link({"a": port.address, "b": end.address}, (via,)))
    edits: list[Edit] = [*([] if link is None else [Unplug(link)]), *before, plug]
    attempt = _tried(trial, edits, (port.address, end.address))
    if attempt is None:
        return None
    lacks = lacking(trial.show, attempt.edits)
    label = f"{end.item.plan.label}: {end.plan.label}" if before else end.label
    return WayOut(end.address, label, attempt, lacks, is_here=False, is_new=bool(before))
