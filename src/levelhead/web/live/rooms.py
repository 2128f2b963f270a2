"""Shows that are open in this program: each has a room of its own, opened when it is asked for.

A room stays open until the program ends; every step of its pages is in the history beside its file
before it is acknowledged, so going from one show to another leaves nothing behind.
"""

from __future__ import annotations

import asyncio
import re
from collections.abc import AsyncIterator
from contextlib import AsyncExitStack, asynccontextmanager
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Final

from levelhead.errors import ShowError
from levelhead.show.opened.open_show import OpenShow
from levelhead.web.live.start import opened_room, room_of

if TYPE_CHECKING:
    from levelhead.web.files.shelf import Shelf
    from levelhead.web.live.room import Room

__all__ = ["Rooms"]

_STRANGE: Final = re.compile(r"[^a-z0-9]+")
_ELSEWHERE: Final = ".elsewhere"  # no name on a shelf has a full stop


class Rooms:
    """Rooms by the name that stands in their address.

    Parameters
    ----------
    first : Room, OpenShow or None
        What ``levelhead open SHOW`` names: a room that is open already, or a show that was read
        and gets its room while its page is being fetched.
    shelf : Shelf or None
        The folder whose shows may be opened.
    gear : str or None
        Folder with the user's own gear entries.
    """

    def __init__(
        self, first: Room | OpenShow | None, shelf: Shelf | None, gear: str | None = None
    ) -> None:
        self._rooms: dict[str, Room] = {}
        self._coming: dict[str, OpenShow] = {}
        self._shelf, self._gear = shelf, gear
        self._held = AsyncExitStack()
        self._turn = asyncio.Lock()
        self.latest = ""
        if isinstance(first, OpenShow):
            self.latest = self._name_of(first)
            self._coming[self.latest] = first
        elif first is not None:
            self.latest = self._name_of(first.hand.opened)
            self._rooms[self.latest] = first

    @asynccontextmanager
    async def open(self) -> AsyncIterator[None]:
        """Run until the app ends; then every file has everything."""
        async with self._held:
            for room in self._rooms.values():
                await self._held.enter_async_context(room.open())
            making = [asyncio.create_task(self.room(name)) for name in self._coming]
            yield
            await asyncio.gather(*making, return_exceptions=True)

    async def first_verdict(self) -> None:
        """Wait until what is open is judged."""
        for name in self.names:
            await (await self.room(name)).results.judged.wait()

    @property
    def names(self) -> tuple[str, ...]:
        """What is open, the latest first."""
        known = (*self._rooms, *self._coming)
        return tuple(sorted(known, key=lambda name: name != self.latest))

    def known(self, name: str) -> OpenShow | None:
        """A show that is open, whether its room is there yet or not."""
        room = self._rooms.get(name)
        return self._coming.get(name) if room is None else room.hand.opened

    async def room(self, name: str) -> Room:
        """The room of a show; it is opened if it is not yet.

        Raises
        ------
        ShowError
            It is no show of the folder, or cannot be read.
        """
        async with self._turn:
            if name not in self._rooms:
                self._rooms[name] = await self._opened(name)
                self._coming.pop(name, None)
            self.latest = name
            return self._rooms[name]

    async def _opened(self, name: str) -> Room:
        """A show with its worker: that of the others, if there is one."""
        workers = next((room.workers for room in self._rooms.values()), None)
        coming = self._coming.get(name)
        if coming is None:
            opening = opened_room(self._path_of(name), self._gear, workers)
        else:
            opening = room_of(coming, self._gear, workers)
        room = await asyncio.to_thread(opening.__enter__)
        self._held.callback(partial(opening.__exit__, None, None, None))
        return await self._running(room)

    async def _running(self, room: Room) -> Room:
        await self._held.enter_async_context(room.open())
        return room

    def _path_of(self, name: str) -> Path:
        if self._shelf is None:
            raise ShowError(
                "no other show can be opened here",
                where="address",
                expected="the show that is open",
                remedy="Start the program in the folder of the shows.",
            )
        path = self._shelf.path_of(name)
        if not path.is_file():
            raise ShowError(
                f"there is no {path.name} in this folder",
                where="address",
                expected="a show file of the folder",
                remedy="Go to the first page and pick one.",
            )
        return path

    def _name_of(self, opened: OpenShow) -> str:
        """Its name on the shelf; a file from elsewhere is never taken for one of the same name."""
        path = Path(opened.document.path or "show")
        stem = _STRANGE.sub("-", path.stem.lower()).strip("-")[:60] or "show"
        if self._shelf is None:
            return stem
        own = self._shelf.folder / path.name
        is_own = path.stem == stem and own.exists() and own.samefile(path)
        return stem if is_own else stem + _ELSEWHERE
