"""What is set for a source goes along when a move takes it to another strip of a mixer.

Sends, pan, switches of routing, fader and mute belong to the source, and so does what shapes its
sound. What brings a socket to its meter (gain, phantom power, a pad, the input that is chosen)
belongs to the socket. Which is which the strip tells: no control goes by its name.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TypeAlias

from levelhead.gear.plan import BlockInstance, BlockPlan, StagePlan
from levelhead.planning.moves.candidate import Candidate
from levelhead.planning.trial import Trial
from levelhead.rig.model import Rig, RigPort
from levelhead.show.addresses import item_of, strip_of
from levelhead.show.brought import settings_brought
from levelhead.show.edits import Edit, Lock, Plug, Set, Unplug
from levelhead.show.model import Link, Show

__all__ = ["Brought", "brought_along", "own_edits", "strips_moved", "with_settings"]

Brought: TypeAlias = Mapping[tuple[str, str], Sequence[Set | Lock]]
"""By a strip and the one that its source comes from, what is set as it was there."""


def strips_moved(edits: Sequence[Edit]) -> dict[str, str]:
    """By each strip into which edits put a plug, the strip of its item that the plug came from."""
    pulled = [edit.link for edit in edits if isinstance(edit, Unplug)]
    found: dict[str, str] = {}
    for link in (edit.link for edit in edits if isinstance(edit, Plug)):
        for old in pulled:
            if {*old.ends.values()} & {*link.ends.values()}:
                found |= _moved(old, link)
    return found


def _moved(old: Link, new: Link) -> dict[str, str]:
    """Strips of the ends that are elsewhere now; of two sides each by its own, if it had one."""
    found = {}
    for name, end in new.ends.items():
        if end in old.ends.values():
            continue
        beside = [each for each in old.ends.values() if item_of(each) == item_of(end)]
        own = [each for each in beside if old.ends.get(name) == each]
        for was in (*own, *beside)[:1]:
            if strip_of(was) != strip_of(end):
                found[strip_of(end)] = strip_of(was)
    return found


def brought_along(edits: Sequence[Edit], show: Show) -> Brought:
    """By strips new and old, what edits set in the new one as it was in the old one."""
    found: dict[tuple[str, str], list[Set | Lock]] = {}
    for new, old in strips_moved(edits).items():
        there = [each for each in edits if isinstance(each, Set | Lock)]
        brought = [each for each in there if _is_as_it_was(each, new, old, show)]
        if brought:
            found[new, old] = brought
    return found


def own_edits(edits: Sequence[Edit], show: Show) -> tuple[Edit, ...]:
    """Edits without what goes along with a source: its mute there shuts nothing that was open."""
    along = [edit for each in brought_along(edits, show).values() for edit in each]
    return tuple(edit for edit in edits if edit not in along)


def _is_as_it_was(edit: Set | Lock, new: str, old: str, show: Show) -> bool:
    was = f"{old}.{edit.address.rpartition('.')[2]}"
    if strip_of(edit.address) != new:
        return False
    return was in show.locks if isinstance(edit, Lock) else show.settings.get(was) == edit.value


def with_settings(trial: Trial, move: Candidate) -> Candidate | None:
    """A move with what is set for each source that it takes to another strip of a mixer.

    ``None`` where somebody has locked one of these controls elsewhere than it would have to stand.
    """
    if not any(isinstance(edit, Plug) for edit in move.edits):
        return move
    rig = trial.solution.rig
    origins = {
        new: old
        for new, old in strips_moved(move.edits).items()
        if _takes_a_source(rig, new, old, move.edits)
    }
    if not origins:
        return move
    own = {edit.address for edit in move.edits if isinstance(edit, Set)}
    along = [
        edit
        for edit in settings_brought(trial.show, origins, _Along(rig, origins).goes)
        if not isinstance(edit, Set) or edit.address not in own
    ]
    addresses = (getattr(edit, "address", "") for edit in along)
    if any(address in trial.show.locks for address in addresses):
        return None
    last = max(n for n, edit in enumerate(move.edits) if isinstance(edit, Plug)) + 1
    return replace(move, edits=(*move.edits[:last], *along, *move.edits[last:]))


def _takes_a_source(rig: Rig, new: str, old: str, edits: Sequence[Edit]) -> bool:
    """Whether both strips lead into sums, and nothing but what comes stands in the new one."""
    pulled = [edit.link for edit in edits if isinstance(edit, Unplug)]
    plugged = (
        link.link for port in _ports(rig, new) for link in rig.links_at.get(port.address, ())
    )
    return all(_is_mixed(rig, each) for each in (new, old)) and all(
        each in pulled for each in plugged
    )


def _is_mixed(rig: Rig, strip: str) -> bool:
    """Whether a strip has inputs and leads into sums, as its switches stand by themselves."""
    item, _, name = strip.partition(".")
    if not _ports(rig, strip):
        return False
    return bool(rig.book.plan(rig.show.items[item].type, {}, {}).block(name).mixes)


def _ports(rig: Rig, strip: str) -> list[RigPort]:
    """Inputs of a strip."""
    ports = (port for _, port in rig.ports_of.get(item_of(strip), ()))
    return [port for port in ports if port.strip == strip and port.plan.role == "in"]


class _Along:
    """Which controls go from strips to others."""

    def __init__(self, rig: Rig, origins: Mapping[str, str]) -> None:
        self.rig = rig
        self.ways = [*origins.items()]

    def goes(self, address: str) -> bool:
        """Whether a control belongs to the source in every strip that takes part."""
        strip, _, name = address.rpartition(".")
        return all(
            self._is_alike(f"{new}.{name}", f"{old}.{name}")
            and self._is_of_the_source(new, name, f"{old}.{name}")
            for new, old in self.ways
            if strip in (new, old)
        )

    def _is_alike(self, new: str, old: str) -> bool:
        """Whether the same can be set at both; what the old strip has not goes to its default."""
        there, here = self.rig.controls.get(new), self.rig.controls.get(old)
        if there is None or here is None:
            return there is not None
        fields = ("kind", "unit", "low", "high", "default", "options")
        return all(getattr(there, each) == getattr(here, each) for each in fields)

    def _is_of_the_source(self, strip: str, name: str, old: str) -> bool:
        """Whether it neither sets what comes before the meter nor changes that by its position."""
        address, rig = f"{strip}.{name}", self.rig
        block = _ports(rig, strip)[0].block
        if rig.controls[address].kind != "switch":
            return name not in {stage.control for stage in _before_meter(block.plan)}
        if address in rig.facts:
            return False
        wanted = rig.setting(old) if old in rig.controls else rig.controls[address].default
        return wanted == rig.setting(address) or _is_same_input(
            block.plan, self._switched(block, address, str(wanted))
        )

    def _switched(self, block: BlockInstance, address: str, option: str) -> BlockPlan:
        """The strip with one of its switches in another position."""
        item, _, local = address.partition(".")
        known = self.rig.show.items[item]
        chosen = {**self.rig.chosen.get(item, {}), local: option}
        return self.rig.book.plan(known.type, chosen, known.figures).block(block.name).plan


def _before_meter(plan: BlockPlan) -> list[StagePlan]:
    """Stages of a strip up to its meter; without one up to the first that has a control."""
    return [stage for path in plan.paths for stage in path.stages[: _first(path.stages)]]


def _first(stages: Sequence[StagePlan]) -> int:
    metered = [n for n, stage in enumerate(stages) if stage.meter is not None]
    controlled = [n for n, stage in enumerate(stages) if stage.control is not None]
    return next(iter((*metered, *controlled)), -1) + 1


def _is_same_input(one: BlockPlan, other: BlockPlan) -> bool:
    """Whether sockets, where the ways begin, and all that comes up to the meter are the same."""
    origins = [[path.origins for path in each.paths] for each in (one, other)]
    return (
        one.ports == other.ports
        and origins[0] == origins[1]
        and _before_meter(one) == _before_meter(other)
    )
