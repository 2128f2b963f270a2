"""What is looked for: the words that were typed, the side, and the conditions said besides."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from levelhead.gear.book import GearBook
from levelhead.gear.plan import BlockInstance, ItemPlan
from levelhead.planning.typed.candidates import Side
from levelhead.planning.typed.conditions import Condition
from levelhead.planning.typed.fitting import switch_settings
from levelhead.planning.typed.phrases import is_number, numbered, vocabulary
from levelhead.planning.typed.words import words_in_turn

__all__ = ["Wanted"]


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is looked for."""

    book: GearBook
    in_turn: tuple[str, ...]
    side: Side
    conditions: tuple[Condition, ...]

    @classmethod
    def of(
        cls, book: GearBook, text: str, side: Side, conditions: Sequence[Condition] = ()
    ) -> Wanted:
        """What a text looks for, of which the conditions were taken out."""
        in_turn = tuple(token for token, _ in words_in_turn(text))
        return cls(book, in_turn, side, tuple(conditions))

    @property
    def asked(self) -> frozenset[str]:
        """The words, in no order."""
        return frozenset(self.in_turn)

    def known(self, label: str, phrases: tuple[str, ...]) -> frozenset[str]:
        """Words by which a type goes; a number only before the word that it counts there."""
        counted = {number for number, _ in numbered(label, phrases) & set(pairwise(self.in_turn))}
        words = vocabulary(label, phrases)
        return frozenset(each for each in words if each in counted or not is_number(each))

    def counted(self, words: frozenset[str]) -> frozenset[str]:
        """Words of a socket, numbers only where the next word that was typed is one as well."""
        pairs = (pair for pair in pairwise(self.in_turn) if is_number(pair[0]))
        strange = {number for number, behind in pairs if behind not in words}
        return words - strange

    def settings(self, plan: ItemPlan, block: BlockInstance) -> dict[str, str]:
        """Settings that conditions name, where the gear has such a switch."""
        found: dict[str, str] = {}
        for each in self.conditions:
            found |= switch_settings(self.book, plan, block, each)
        return found
