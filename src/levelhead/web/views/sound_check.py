"""The page of sound check: the order, limiters, readings, and the gain plan in one press."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Self

from levelhead.exchange.paperwork.work import Paperwork
from levelhead.exchange.seen_words import SeenWords, seen_words
from levelhead.exchange.sheet.plan import filled
from levelhead.exchange.sheet.values import Column, Row
from levelhead.exchange.sheets.gains import moved_words
from levelhead.exchange.sheets.limiters import LIMITERS
from levelhead.exchange.sheets.pack import check_for
from levelhead.exchange.sound_check import Step, sound_check
from levelhead.exchange.tick_keys import step_content, step_keys
from levelhead.gear.book import GearBook
from levelhead.planning.seen import SeenAnswer, answer_seen
from levelhead.show.edits import Edit
from levelhead.show.model import Show

__all__ = ["SoundCheckView", "work_of"]


@dataclass(frozen=True, slots=True)
class StepRow:
    """One step with its number and the key of its tick."""

    number: int
    step: Step
    key: str

    @property
    def content(self) -> str:
        """A hash of what is done: a tick holds for that."""
        return step_content(self.step)


@dataclass(frozen=True, slots=True)
class SoundCheckView:
    """Everything that the page says."""

    title: str
    anchor: str
    moved: str
    is_planned: bool
    order: tuple[tuple[str, tuple[StepRow, ...]], ...]
    limiter_columns: tuple[Column, ...]
    limiters: tuple[Row, ...]
    cautions: tuple[str, ...]
    readings: tuple[SeenWords, ...]
    has_facts: bool

    @classmethod
    def of(cls, work: Paperwork, seen: Sequence[str] = ()) -> Self:
        """The page of a show, with readings that somebody typed in.

        Raises
        ------
        LevelheadError
            A reading cannot be read, or the plan cannot be made.
        """
        plan = work.gain_plan
        order = sound_check(work.planned, plan.meters, plan.positions)
        keys = step_keys(work, order)
        limiters = filled(LIMITERS, work)
        answer = answered(work, seen) if seen else None
        show = work.rig.show
        return cls(
            title=show.name,
            anchor=plan.anchor,
            moved=moved_words(work),
            is_planned=not plan.edits,
            order=tuple(
                (heading, tuple(StepRow(number, step, keys[number - 1]) for number, step in steps))
                for heading, steps in order.by_part()
            ),
            limiter_columns=limiters.columns,
            limiters=limiters.rows,
            cautions=tuple(dict.fromkeys([*order.cautions, *limiters.cautions])),
            readings=() if answer is None else tuple(map(seen_words, answer.readings)),
            has_facts=answer is not None and bool(answer.facts),
        )


def work_of(show: Show, book: GearBook) -> Paperwork:
    """A show as its sheets read it; no remedy is tried."""
    return Paperwork(check_for((), show, book))


def answered(work: Paperwork, seen: Sequence[str]) -> SeenAnswer:
    """What readings say of a show as it is set."""
    return answer_seen(work.check.trial, seen, work.gain_plan.meters)


def facts_of(work: Paperwork, seen: Sequence[str]) -> tuple[Edit, ...]:
    """Edits that write what readings say into the show, and turn the gains."""
    answer = answered(work, seen)
    return (*answer.facts, *answer.turns)
