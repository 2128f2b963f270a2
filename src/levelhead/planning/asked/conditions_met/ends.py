"""The two ends of a question, and what its conditions have done to them so far."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from levelhead.gear.book import GearBook
from levelhead.gear.plan import BlockInstance, ItemPlan, PortPlan
from levelhead.gear.plan.ways import block_of
from levelhead.planning.asked.conditions_met.outcome import Met
from levelhead.planning.typed.candidates import Candidate

__all__ = ["End", "Meeting", "end_of"]


@dataclass(frozen=True, slots=True)
class End:
    """One side of a question: what it is, the socket, and what people call it."""

    side: str
    candidate: Candidate
    plan: ItemPlan
    block: BlockInstance
    port: PortPlan
    name: str

    @property
    def figure_of_port(self) -> str:
        """The socket in the name of a figure: ``in``, or ``ch.in`` of a strip."""
        return f"{self.block.block}.{self.port.name}" if self.block.name else self.port.name


def end_of(book: GearBook, side: str, candidate: Candidate) -> End:
    """The end that a candidate makes of a side, ``from`` or ``to``."""
    plan = candidate.plan(book)
    words = book.entry(candidate.type_id).words
    name = words[0] if words else plan.label
    return End(side, candidate, plan, *block_of(plan, candidate.port), name)


@dataclass(frozen=True, slots=True)
class Meeting:
    """Both ends by their side, and what came of the conditions so far."""

    book: GearBook
    ends: Mapping[str, End]
    met: Met

    @property
    def ports(self) -> tuple[PortPlan, PortPlan]:
        """The sockets of both ends."""
        return self.ends["from"].port, self.ends["to"].port

    @property
    def controls_set(self) -> frozenset[tuple[str, str]]:
        """Controls that were moved, by side and address."""
        found = ((side, each) for side, local in self.met.settings.items() for each in local)
        return frozenset(found)
