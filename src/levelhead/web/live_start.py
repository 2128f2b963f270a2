"""Open a show for the browser: its file, its history, and a process that solves it."""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
from collections.abc import Iterator
from concurrent.futures import Executor, ProcessPoolExecutor
from contextlib import contextmanager
from datetime import UTC, datetime
from multiprocessing.connection import wait
from pathlib import Path
from typing import TYPE_CHECKING, Final

from levelhead.show.history import History
from levelhead.show.open_show import OpenShow

if TYPE_CHECKING:
    from levelhead.web.live_room import Room

__all__ = ["opened_room", "opened_show", "room_of"]

WORKER_NICE: Final = 5


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
    from levelhead.web.live_hand import Hand
    from levelhead.web.live_room import Room

    pool = workers or _processes()
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


def _processes() -> ProcessPoolExecutor:
    context = multiprocessing.get_context("spawn")
    return ProcessPoolExecutor(1, mp_context=context, initializer=_begin_worker)


def _begin_worker() -> None:
    """A worker ends with the program, not by Ctrl+C before it, and never outlives it.

    Where the machine is short, whoever types comes before what is being worked out.
    """
    if hasattr(os, "nice"):  # not on Windows
        os.nice(WORKER_NICE)
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    parent = multiprocessing.parent_process()
    if parent is not None:
        threading.Thread(target=_end_with, args=(parent.sentinel,), daemon=True).start()


def _end_with(sentinel: int) -> None:
    wait([sentinel])
    os._exit(0)
