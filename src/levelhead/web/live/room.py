"""A show with the pages that look at it: steps in the order in which they come, and who is told.

The event loop only passes messages on. One thread changes the show and writes its journal, another
writes its file, a process of its own solves and judges.
"""

from __future__ import annotations

import asyncio
import contextlib
from collections.abc import AsyncIterator, Awaitable, Callable, Coroutine, Sequence
from concurrent.futures import Executor, ThreadPoolExecutor
from contextlib import asynccontextmanager
from datetime import UTC, datetime
from functools import partial
from types import ModuleType
from typing import TYPE_CHECKING, Any, Final

from levelhead.errors import EditError, LevelheadError
from levelhead.exchange.paperwork.named import Named
from levelhead.show.edit_json import edit_to_json
from levelhead.show.edits import Edit
from levelhead.web.live.day import is_of_day
from levelhead.web.live.hand import Hand, Message
from levelhead.web.live.past import Past
from levelhead.web.live.people import Page, here, tell_all
from levelhead.web.live.questions import answered
from levelhead.web.live.readings import by_reading
from levelhead.web.live.refused import refused
from levelhead.web.live.results import Results
from levelhead.web.live.view import error_json

if TYPE_CHECKING:
    from levelhead.web.live.looks import Looks

__all__ = ["Page", "Room"]

SAVE_PAUSE_S: Final = 0.8  # after the last step the file is written
LOOK_EVERY_S: Final = 2.0  # whether somebody else changed it
WORK: Final = ("stop-work", "go-on")  # what a page may say of the work behind the show
Json = dict[str, Any]
_LOOK_ONLY: Final = EditError(
    "this device may look, not change",
    where="page",
    expected="a pass that may change the show",
    remedy="Scan the other code on the desk's screen, under Other devices.",
)


class Room:
    """The show, its pages, and the tasks behind them."""

    def __init__(self, hand: Hand, workers: Executor, gear: str | None = None) -> None:
        self.hand = hand
        self.workers = workers
        self.pages: list[Page] = []
        self._looks: Looks | None = None
        self.past = Past()
        self.results = Results(str(hand.opened.document.path), gear, workers, self._tell_all)
        self._inbox: asyncio.Queue[tuple[Page, Message | None]] = asyncio.Queue()
        self._hands = ThreadPoolExecutor(1, "steps")
        self._pens = ThreadPoolExecutor(1, "file")
        self._unsaved = asyncio.Event()
        self._asked: set[asyncio.Task[None]] = set()  # held, or they would be forgotten

    # --- life ---

    @asynccontextmanager
    async def open(self) -> AsyncIterator[None]:
        """Run until the app ends; then the file has everything."""
        tasks = [
            asyncio.create_task(each())
            for each in (self._take_turns, self._keep_file, self._watch_file, self.results.run)
        ]
        self._want_results()
        if self.hand.opened.dirty:
            self._unsaved.set()
        try:
            yield
        finally:
            ending = (*tasks, *self._asked)  # questions wait for results that come no more
            for task in ending:
                task.cancel()
            await asyncio.gather(*ending, return_exceptions=True)
            with contextlib.suppress(LevelheadError):
                await self._save()
            self._hands.shutdown()
            self._pens.shutdown()
            if self._looks is not None:
                self._looks.shutdown()

    def came(self, page: Page) -> None:
        """A page that opened its socket; in its turn it gets what it lacks."""
        self._inbox.put_nowait((page, None))

    def went(self, page: Page) -> None:
        """A page whose socket ended."""
        page.is_gone = True
        if page in self.pages:
            self.pages.remove(page)
            self._tell_here()

    def _tell_here(self) -> None:
        tell_all(self.pages, here(self.pages))

    async def edit(self, edits: Sequence[Edit], name: str, by: object = None) -> None:
        """Take edits of somebody without a page here, as one step.

        ``by`` says that they come from a meter's reading, which a locked plan takes.

        Raises
        ------
        EditError
            They do not fit; nothing was changed.
        """
        page = Page("", name)
        given = [edit_to_json(each) for each in edits]
        base = self.hand.opened.revision
        message = {"do": "edits", "edits": given, "base": base, "by": by}
        self._inbox.put_nowait((page, message))
        news = await page.outbox.get()
        if isinstance(news, dict) and news["kind"] == "refused":
            parts = ("what", "where", "expected", "remedy")
            what, *more = (news["error"][part] for part in parts)
            raise EditError(what, **dict(zip(parts[1:], more, strict=True)))

    def submit(self, page: Page, message: Message) -> None:
        """A message of a page, to be taken in its turn; questions are answered beside."""
        if message.get("find") == "hello":  # it wants to know whether anybody is there
            page.tell({"kind": "answer", "ask": message.get("ask"), "found": None})
        elif "find" in message:
            self._keep_task(self._answer(page, message))
        elif not page.may_change:
            page.tell(self._refused(message, _LOOK_ONLY))
        elif message.get("do") == "seen":
            self._keep_task(self._read_back(page, message))
        elif message.get("do") in WORK:
            self._keep_task(self._work(page, message))
        else:
            self._inbox.put_nowait((page, message))

    def _keep_task(self, work: Coroutine[Any, Any, None]) -> None:
        task = asyncio.create_task(work)
        self._asked.add(task)
        task.add_done_callback(self._asked.discard)

    async def _work(self, page: Page, message: Message) -> None:
        """Stop what is being tried, or go on with it; the show stays as it is."""
        if message["do"] == "stop-work":
            await self.results.stop()
        else:
            self.results.go_on()
        page.tell({"kind": "answer", "ask": message.get("ask"), "found": None})

    # --- turns ---

    async def _take_turns(self) -> None:
        while True:
            page, message = await self._inbox.get()
            if message is None:  # it has come
                await self._welcome(page)
                continue
            try:
                if is_of_day(message):
                    await self._note(page, message)
                    continue
                patch = await self._by_hand(self.hand.take, message, page.id, page.name)
            except Exception as error:  # noqa: BLE001 - a mistake of ours must not stop the others
                page.tell(self._refused(message, error))
                continue
            await self._tell_patch(patch, page)
            done = {"kind": "done", "ask": message.get("ask"), "revision": patch["revision"]}
            page.tell({**done, **(page.told or {})})

    async def _note(self, page: Page, message: Message) -> None:
        """A tick, a note, a reading or the lock: told to all, and the plan stays as it is."""
        news = await self._by_hand(self.hand.day.take, message, page.id, page.name)
        await self._tell_all(news)
        if message.get("do") in {"lock", "unlock"}:
            await self._tell_head()
        done = {"kind": "done", "ask": message.get("ask"), "revision": self.hand.opened.revision}
        page.tell({**done, **(page.told or {})})

    async def _read_back(self, page: Page, message: Message) -> None:
        """What a meter read goes into the show, then it is noted."""
        try:
            edit = partial(self.edit, name=page.name)
            await by_reading(message, page.id, self.hand, self.results, edit)
        except Exception as error:  # noqa: BLE001 - the page waits for an answer
            page.tell(self._refused(message, error))
            return
        self._inbox.put_nowait((page, {**message, "do": "reading"}))

    async def _welcome(self, page: Page) -> None:
        """Tell a page that has come what it lacks: what was missed, or everything."""
        snapshot, buttons = await self._by_hand(self._all_for, page.name)
        missed = self.past.since(page.run, page.seen, snapshot["revision"])
        if missed is not None:
            del snapshot["orders"]
            snapshot |= {"kind": "caught-up", "tables": missed}
        may = "change" if page.may_change else "look"
        page.told = buttons
        page.tell({**snapshot, **buttons, "you": page.name, "may": may, "run": self.past.run})
        page.tell(await self._by_hand(self.hand.day.marks))
        for news in (self.results.latest, self.results.progress):
            if news is not None:
                page.tell(news)
        if not page.is_gone:
            self.pages.append(page)
            self._tell_here()
        self.results.somebody_came.set()

    def _all_for(self, person: str) -> tuple[Json, Json]:
        return self.hand.snapshot(), self.hand.buttons([person])[person]

    async def _tell_patch(self, patch: Json, asked: Page | None = None) -> None:
        self.past.keep(patch)
        tell_all(self.pages, patch)
        self._want_results()
        self._unsaved.set()
        await self._tell_buttons(asked)

    async def _tell_buttons(self, asked: Page | None) -> None:
        """Tell everybody what their own undo and redo would speak of, where that has changed.

        The page that asked for the step is told with its answer.
        """
        names = {page.name for page in self.pages}
        buttons = await self._by_hand(self.hand.buttons, names)
        for page in self.pages:
            new = buttons.get(page.name)
            if new is not None and new != page.told:
                page.told = new
                if page is not asked:
                    page.tell({"kind": "buttons", **new})

    def _want_results(self) -> None:
        if self.hand.rig is not None:
            self.results.want(self.hand.opened.revision, self.hand.opened.show)

    async def _tell_all(self, news: Json) -> None:
        tell_all(self.pages, news)

    async def _by_hand(self, task: Callable[..., Any], *values: Any) -> Any:
        return await asyncio.get_running_loop().run_in_executor(self._hands, task, *values)

    # --- questions ---

    async def _answer(self, page: Page, message: Message) -> None:
        try:
            looking = await asyncio.to_thread(_what_looks)  # is loaded when somebody looks
            if looking.is_shown(message):
                looks = self._looks = self._looks or looking.Looks(self.hand.book)
                found = await looking.shown(message, self.hand, looks, self.results.latest)
            else:
                found = await answered(message, self.hand, self._by_hand, self.results)
        except Exception as error:  # noqa: BLE001 - the page waits for an answer
            page.tell(self._refused(message, error))
            return
        page.tell({"kind": "answer", "ask": message.get("ask"), "found": found})

    # --- the file ---

    async def _keep_file(self) -> None:
        """Write the file a while after the last step."""
        while True:
            await self._unsaved.wait()
            while self._unsaved.is_set():
                self._unsaved.clear()
                await asyncio.sleep(SAVE_PAUSE_S)
            await self._or_told(self._save)

    async def _save(self) -> None:
        await self._look()
        job = await self._by_hand(self.hand.to_save)
        if job is None:
            return
        loop = asyncio.get_running_loop()
        document = await loop.run_in_executor(self._pens, lambda: job.write(at=datetime.now(UTC)))
        await self._by_hand(self.hand.opened.saved, job, document)
        await self._tell_head()

    async def _watch_file(self) -> None:
        while True:
            await asyncio.sleep(LOOK_EVERY_S)
            await self._or_told(self._look)

    async def _or_told(self, task: Callable[[], Awaitable[None]]) -> None:
        """Work on the file; what stands against it is told on every page, and tried again later."""
        try:
            await task()
        except LevelheadError as error:
            await self._tell_all({"kind": "unsaved", "error": error_json(error)})

    def _refused(self, message: Message, given: Exception) -> Json:
        return refused(message, given, Named(self.hand.opened.show, self.hand.rig))

    async def _look(self) -> None:
        patch = await self._by_hand(self.hand.look)
        if patch is not None:
            await self._tell_patch(patch)

    async def _tell_head(self) -> None:
        head = await self._by_hand(self.hand.head)
        await self._tell_all({"kind": "head", "head": head})


def _what_looks() -> ModuleType:
    from levelhead.web.live import shown as live_shown

    return live_shown
