"""What the parts of a sound check read in common, worked out once."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from levelhead.exchange.paperwork.turns import Turns, turns_of
from levelhead.exchange.paperwork.work import Paperwork
from levelhead.exchange.sound_check.channels import Channel, channels
from levelhead.exchange.sound_check.heard_ends import HeardEnd, heard_ends

__all__ = ["Sounding"]


@dataclass(frozen=True)
class Sounding:
    """A show that is set as planned: who plays into it, and what is heard of it."""

    work: Paperwork

    @cached_property
    def channels(self) -> tuple[Channel, ...]:
        """Strips with a signal, in the order of sound check."""
        return channels(self.work)

    @cached_property
    def ends(self) -> tuple[HeardEnd, ...]:
        """Loudspeakers and earphones that are heard, each by the way that brings most."""
        return tuple(heard_ends(self.work))

    @cached_property
    def loudspeakers(self) -> tuple[HeardEnd, ...]:
        """Those of them that nobody wears."""
        return tuple(each for each in self.ends if not each.item.plan.is_worn)

    @cached_property
    def turns(self) -> Turns:
        """Who is switched on when."""
        return turns_of(self.work)
