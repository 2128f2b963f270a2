"""Results that follow the steps: solved, judged, mended, in a worker, the newest state only.

Between two tasks it looks whether a newer state waits, and begins again with that; remedies are
given up in the middle. So nothing of a state that nobody sees any more is finished.
"""

from __future__ import annotations

import asyncio
import contextlib
import logging
from collections.abc import Awaitable, Callable
from concurrent.futures import Executor
from typing import Any, Final

from levelhead.errors import LevelheadError
from levelhead.show.model import Show
from levelhead.web.live import tasks as live_tasks
from levelhead.web.live.pool import overtake, turn_of
from levelhead.web.views.pressed import in_the_app

__all__ = ["Results"]

LONGEST_IDLE_S: Final = 2.0
_MOST_STOPPED: Final = 256  # of questions that were answered before they could be stopped
Json = dict[str, Any]
_LOG: Final = logging.getLogger(__name__)
Tell = Callable[[Json], Awaitable[None]]


class Results:
    """What is known of the newest state that was judged, and the loop that finds it out."""

    def __init__(self, key: str, gear: str | None, workers: Executor, tell: Tell) -> None:
        self.key, self.gear = key, gear
        self.latest: Json | None = None  # for pages that come later
        self.judged = asyncio.Event()
        self.progress: Json | None = None
        self._is_stopped = False
        self._stopped: set[str] = set()  # names of questions that pages wait for no longer
        self._workers, self._tell = workers, tell
        self._wanted: tuple[int, Show] | None = None
        self._news = asyncio.Event()
        self._solved = -1
        self._ready = asyncio.Condition()
        self.somebody_came = (
            asyncio.Event()
        )  # the page comes first: the worker needs the machine too

    def want(self, revision: int, show: Show) -> None:
        """Say what stands now; whatever is being done for an older state ends soon."""
        self._wanted = (revision, show)
        self._is_stopped = False
        self._news.set()
        overtake(self._workers)

    async def stop(self) -> None:
        """Try no more ways out of this state: what is known by now stays."""
        self._is_stopped = True
        overtake(self._workers)
        if self.progress is not None:
            await self._at(self.progress["revision"], self.progress["done"], self.progress["of"])

    def go_on(self) -> None:
        """Try the rest after all."""
        self._is_stopped = False
        self._news.set()

    async def run(self) -> None:
        """Follow the steps until cancelled; it begins when the first page is there."""
        # wait_for of Python 3.11 swallows a cancel that comes as the page does
        with contextlib.suppress(TimeoutError):
            async with asyncio.timeout(LONGEST_IDLE_S):
                await self.somebody_came.wait()
        await self._task(live_tasks.warm_up, self.gear)
        while True:
            await self._news.wait()
            self._news.clear()
            if self._wanted is not None:
                await self._follow(*self._wanted)

    async def _follow(self, revision: int, show: Show) -> None:
        try:
            await self._task(live_tasks.solve_show, self.key, show, self.gear)
            await self._is_solved(revision)
            if self._news.is_set():
                return
            found = await self._task(live_tasks.judge, self.key)
            await self._say({"kind": "results", "revision": revision, **found})
            await self._mend(revision, len(found["findings"]))
        except Exception as error:  # noqa: BLE001 - the next state has to be followed all the same
            if not isinstance(error, LevelheadError):
                _LOG.exception("a show could not be judged")
            await self._say(
                {"kind": "results", "revision": revision, "error": in_the_app(str(error))}
            )
            await self._is_solved(revision)

    async def _is_solved(self, revision: int) -> None:
        """Let questions about this state go on."""
        self._solved = revision
        async with self._ready:
            self._ready.notify_all()

    async def _mend(self, revision: int, findings: int) -> None:
        """Remedies one finding after another, worst first; then what nobody knows."""
        of = findings + 1
        for number in range(findings):
            await self._at(revision, number, of)
            mended = await self._unless_overtaken(live_tasks.remedies, number)
            if mended is None:
                return
            await self._say({"kind": "mended", "revision": revision, **mended})
        await self._at(revision, findings, of)
        ends = await self._unless_overtaken(live_tasks.open_ends)
        if ends is not None:
            await self._say({"kind": "open-ends", "revision": revision, **ends})
            await self._at(revision, of, of)

    async def _unless_overtaken(
        self, task: Callable[..., Json | None], *values: Any
    ) -> Json | None:
        """What a task finds that gives way to questions; nothing once nobody wants it."""
        found: Json | None = None
        while found is None:  # a question that came between has been answered first
            if self._news.is_set() or self._is_stopped:
                return None
            found = await self._task(task, self.key, *values, turn_of(self._workers))
        return found

    @property
    def trying(self) -> tuple[int, int] | None:
        """How far the trying of ways out is, of how many; nothing once it is over or stopped."""
        if self._wanted is None or self._is_stopped:
            return None
        revision, at = self._wanted[0], self.progress
        if at is not None and at["revision"] == revision:
            return None if at["done"] >= at["of"] else (at["done"], at["of"])
        latest = self.latest or {}
        has_failed = latest.get("revision") == revision and "error" in latest
        return None if has_failed else (0, 0)

    async def _at(self, revision: int, done: int, of: int) -> None:
        """Tell how far it is: findings whose ways out were tried, then what nobody knows."""
        state: Json = {"revision": revision, "done": done, "of": of, "stopped": self._is_stopped}
        self.progress = {"kind": "progress", **state}
        await self._tell(self.progress)

    async def _say(self, news: Json) -> None:
        self._keep(news)
        await self._tell(news)
        self.judged.set()

    def _keep(self, news: Json) -> None:
        if news["kind"] == "results":
            self.latest = dict(news)
        elif self.latest is not None and "findings" in self.latest:
            if news["kind"] == "mended":
                self.latest["findings"] = [
                    {**each, "remedies": news["remedies"]} if each["id"] == news["id"] else each
                    for each in self.latest["findings"]
                ]
            else:
                self.latest |= {name: news[name] for name in ("verdict", "depends_on")}

    async def ask(self, question: Callable[..., Any], *values: Any, revision: int) -> Any:
        """Ask about the newest state, once it is solved.

        Raises
        ------
        LevelheadError
            The question means nothing.
        """
        async with self._ready:
            await self._ready.wait_for(lambda: self._solved >= revision)
        overtake(self._workers)
        return await self._task(question, self.key, *values)

    async def ask_until_stopped(
        self, question: Callable[..., Any], *values: Any, revision: int, name: str
    ) -> Any:
        """The same of what takes long and gives way: to steps, to other questions, to its page.

        ``name`` is the page's for it. ``{"stopped": true}`` is the answer once it was stopped,
        ``{"stopped": false}`` once a step came after which it has to be asked anew.
        """
        async with self._ready:
            await self._ready.wait_for(lambda: self._solved >= revision)
        overtake(self._workers)
        found = None
        while found is None:  # a question that came between has been answered first
            if name in self._stopped or self._news.is_set():
                is_stopped = name in self._stopped
                self._stopped.discard(name)
                return {"stopped": is_stopped}
            found = await self._task(question, self.key, *values, turn_of(self._workers))
        self._stopped.discard(name)
        return found

    def stop_question(self, name: str) -> None:
        """Let go what a page has asked under a name and waits for no longer."""
        if len(self._stopped) >= _MOST_STOPPED:
            self._stopped.clear()
        self._stopped.add(name)
        overtake(self._workers)

    async def _task(self, task: Callable[..., Any], *values: Any) -> Any:
        return await asyncio.get_running_loop().run_in_executor(self._workers, task, *values)
