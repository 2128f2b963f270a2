"""Open a show for the browser: its file, its history, and a process that solves it."""

from __future__ import annotations

import os
from collections.abc import Iterator
from concurrent.futures import Executor
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from levelhead.show.history.journal import History
from levelhead.show.opened.open_show import OpenShow
from levelhead.web.live.pool import SolvingProcess

if TYPE_CHECKING:
    from levelhead.web.live.room import Room

__all__ = ["opened_room", "opened_show", "room_of"]


@contextmanager
def opened_show(path: str | os.PathLike[str]) -> Iterator[OpenShow]:
    """A show file with its history, which is closed at the end.

    Raises
    ------
    ShowError
        The file or its history cannot be read.
    """
    with History.at(path) as history:
        yield OpenShow.at(path, history, at=datetime.now(UTC))


@contextmanager
def room_of(
    opened: OpenShow, gear: str | None = None, workers: Executor | None = None
) -> Iterator[Room]:
    """The pages of an open show; arguments as for ``opened_room``."""
    from levelhead.gear.book import load_book
    from levelhead.web.live.hand import Hand
    from levelhead.web.live.room import Room

    pool = workers or SolvingProcess()
    try:
        book = load_book() if gear is None else load_book(Path(gear))
        yield Room(Hand(opened, book), pool, gear)
    finally:
        if workers is None:
            pool.shutdown(wait=False, cancel_futures=True)


@contextmanager
def opened_room(
    path: str | os.PathLike[str], gear: str | None = None, workers: Executor | None = None
) -> Iterator[Room]:
    """A show with its pages; its history is closed at the end.

    Parameters
    ----------
    path : path
        The show file.
    gear : str or None
        Folder with the user's own gear entries.
    workers : Executor or None
        A pool of one that solves and judges; a process of its own if left out.

    Raises
    ------
    ShowError
        The file or its history cannot be read.
    """
    with opened_show(path) as opened, room_of(opened, gear, workers) as room:
        yield room
