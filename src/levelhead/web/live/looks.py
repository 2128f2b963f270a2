"""Looks at an open show that have to come at once: its drawing, what is behind a box, levels.

The worker may be trying remedies for seconds, and a hand on a fader does not wait. So these are
solved beside it, in a thread of this process, each state of the show once and with what is known
of the state before: after a turned gain that is some 10 ms.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from typing import Any

from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.gear.book import GearBook
from levelhead.rig.build import build_rig
from levelhead.show.edits import Edit, apply
from levelhead.show.model import Show
from levelhead.verdicts.told.severity import Severity

__all__ = ["Look", "Looks", "Mark", "solved"]

Json = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Mark:
    """Where something was found, and how bad it is."""

    severity: Severity
    where: str
    ports: tuple[str, ...]


@dataclass(slots=True)
class Look:
    """A state of a show as it is looked at: solved, with the marks of what was judged last.

    ``kept`` holds what looks leave for the next ones, from state to state.
    """

    solution: Solution
    book: GearBook
    marks: tuple[Mark, ...] = ()
    kept: Json = field(default_factory=dict)

    def tried(self, edits: Sequence[Edit]) -> Look:
        """The same after edits that nobody has made yet.

        Raises
        ------
        LevelheadError
            They do not fit.
        """
        show, _ = apply(self.solution.rig.show, edits)
        return Look(solved(show, self.book, self.solution), self.book, self.marks, self.kept)


def solved(show: Show, book: GearBook, before: Solution | None) -> Solution:
    """A show solved, with what is known of a state before it."""
    if before is None:
        return solve(build_rig(show, book))
    return solve(build_rig(show, book, previous=before.rig), before)


class Looks:
    """The thread that looks, and the state that it knows."""

    def __init__(self, book: GearBook) -> None:
        self.book = book
        self._thread = ThreadPoolExecutor(1, "looks")
        self._revision = -1
        self._look: Look | None = None

    async def ask(
        self,
        task: Callable[..., Any],
        *values: Any,
        show: Show,
        revision: int,
        results: Json | None,
    ) -> Any:
        """Look at a state; ``results`` are what was judged last, of this state or one before.

        Raises
        ------
        LevelheadError
            The question means nothing, or the show cannot be solved.
        """

        def looked() -> Any:
            return task(self._at(show, revision, results), *values)

        return await asyncio.get_running_loop().run_in_executor(self._thread, looked)

    def _at(self, show: Show, revision: int, results: Json | None) -> Look:
        if self._look is None or revision > self._revision:
            before = self._look
            solution = solved(show, self.book, None if before is None else before.solution)
            self._look = Look(solution, self.book, (), {} if before is None else before.kept)
            self._revision = revision
        self._look.marks = _marks((results or {}).get("findings", ()))
        return self._look

    def shutdown(self) -> None:
        """No more looks."""
        self._thread.shutdown()


def _marks(findings: Sequence[Json]) -> tuple[Mark, ...]:
    return tuple(
        Mark(Severity(each["severity"]), each["where"], tuple(each["ports"])) for each in findings
    )
