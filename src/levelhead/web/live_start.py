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

from levelhead.gear.book import load_book
from levelhead.show.history import History
from levelhead.show.open_show import OpenShow
from levelhead.web.live_hand import Hand
from levelhead.web.live_room import Room

__all__ = ["opened_room"]


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
    pool = workers or _processes()
    try:
        with History.at(path) as history:
            opened = OpenShow.at(path, history, at=datetime.now(UTC))
            book = load_book() if gear is None else load_book(Path(gear))
            yield Room(Hand(opened, book), pool, gear)
    finally:
        if workers is None:
            pool.shutdown(wait=False, cancel_futures=True)


def _processes() -> ProcessPoolExecutor:
    context = multiprocessing.get_context("spawn")
    return ProcessPoolExecutor(1, mp_context=context, initializer=_begin_worker)


def _begin_worker() -> None:
    """A worker ends with the program, not by Ctrl+C before it, and never outlives it."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    parent = multiprocessing.parent_process()
    if parent is not None:
        threading.Thread(target=_end_with, args=(parent.sentinel,), daemon=True).start()


def _end_with(sentinel: int) -> None:
    wait([sentinel])
    os._exit(0)
