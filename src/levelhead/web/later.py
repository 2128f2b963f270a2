"""Pages that are not wanted first: what answers them is loaded when one of them is asked for.

A show stands on the screen before the program has loaded what judges, plans and reads lists; that
follows while the page is looked at.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from functools import cached_property
from typing import TYPE_CHECKING

from starlette.routing import BaseRoute, Router

if TYPE_CHECKING:
    from starlette.types import Receive, Scope, Send

__all__ = ["LaterPages"]


class LaterPages:
    """Routes that are made at the first request, or when there is time for it."""

    def __init__(self, routes: Callable[[], list[BaseRoute]]) -> None:
        self._routes = routes
        self._turn = asyncio.Lock()

    @cached_property
    def _router(self) -> Router:
        return Router(self._routes())

    async def load(self) -> None:
        """Load them, in another thread: other pages go on."""
        async with self._turn:
            await asyncio.to_thread(lambda: self._router)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request, as part of an app."""
        if "_router" not in self.__dict__:
            await self.load()
        await self._router(scope, receive, send)
