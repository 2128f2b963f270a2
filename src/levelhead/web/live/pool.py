"""The process that solves and judges, and the sign by which it gives up what nobody waits for.

Remedies of one finding may take seconds, and who has just turned a knob waits for none of an older
state. Both processes see one number, the count of steps and questions: work that was begun at
another one ends between two trials.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
from collections.abc import Callable
from concurrent.futures import Executor, ProcessPoolExecutor
from multiprocessing.connection import wait
from typing import Final, Protocol

__all__ = [
    "OvertakenError",
    "SolvingProcess",
    "begin_worker",
    "is_overtaken",
    "overtake",
    "turn_of",
    "unless_overtaken",
]


WORKER_NICE: Final = 5


class _Count(Protocol):
    value: int


_SEEN: Final[list[_Count]] = []  # of a worker: the count that it shares with its parent


class SolvingProcess(ProcessPoolExecutor):
    """A pool of one process; what is queued behind it may overtake what it can give up."""

    def __init__(self) -> None:
        context = multiprocessing.get_context("spawn")
        self.turn: _Count = context.Value("Q", 0, lock=False)  # only the parent writes
        super().__init__(1, mp_context=context, initializer=begin_worker, initargs=(self.turn,))


def turn_of(workers: Executor) -> int | None:
    """The number at which work is begun; ``None`` where nothing is ever given up."""
    return workers.turn.value if isinstance(workers, SolvingProcess) else None


def overtake(workers: Executor) -> None:
    """Let go what can be begun again; what is asked for next comes at once."""
    if isinstance(workers, SolvingProcess):
        workers.turn.value += 1


def is_overtaken(turn: int | None) -> bool:
    """In the worker: whether what was begun at this number is no longer waited for."""
    return turn is not None and bool(_SEEN) and _SEEN[0].value != turn


class OvertakenError(Exception):
    """In the worker: what was begun is no longer waited for."""


def unless_overtaken(turn: int | None) -> Callable[[], None]:
    """What long work calls between two steps: it ends there once nobody waits for it."""

    def go_on() -> None:
        if is_overtaken(turn):
            raise OvertakenError

    return go_on


def begin_worker(turn: _Count) -> None:
    """A worker ends with the program, not by Ctrl+C before it, and never outlives it.

    Where the machine is short, whoever types comes before what is being worked out.
    """
    _SEEN[:] = [turn]
    if hasattr(os, "nice"):  # not on Windows
        os.nice(WORKER_NICE)
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    parent = multiprocessing.parent_process()
    if parent is not None:
        threading.Thread(target=_end_with, args=(parent.sentinel,), daemon=True).start()


def _end_with(sentinel: int) -> None:
    wait([sentinel])
    os._exit(0)
