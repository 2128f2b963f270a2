"""What nobody waits for any more is given up between two trials."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

import pytest

from levelhead.show.shipped import shipped_example
from levelhead.web.live import gains as live_gains
from levelhead.web.live import plan as live_plan
from levelhead.web.live import pool as live_pool
from levelhead.web.live import tasks as live_tasks
from levelhead.web.live import worker as live_worker
from levelhead.web.live.pool import SolvingProcess, overtake, turn_of

KEY = "choir"


@dataclass
class Steps:
    """A count that a hand moves on, and how often it was looked at."""

    until: int
    looks: int = field(default=0)

    @property
    def value(self) -> int:
        self.looks += 1
        return 0 if self.looks <= self.until else 1


@pytest.fixture
def worker(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """A worker in this process that has solved the demo."""
    monkeypatch.setattr(live_worker, "_TRIALS", {})
    live_worker.solve_show(KEY, shipped_example("village-hall").document.show, None)
    yield
    live_pool._SEEN.clear()


@pytest.mark.usefixtures("worker")
def test_remedies_are_given_up_between_two_trials() -> None:
    """The first finding has remedies; after the second of its trials somebody takes a step."""
    assert live_worker.remedies(KEY, 0) == live_worker.remedies(KEY, 0, turn=0)
    steps = Steps(until=1)
    live_pool._SEEN[:] = [steps]
    assert live_worker.remedies(KEY, 0, turn=0) is not None  # they are known by now
    live_worker._MENDED.clear()
    assert live_worker.remedies(KEY, 0, turn=0) is None
    assert steps.looks == 2
    live_pool._SEEN[:] = [Steps(until=10_000)]
    assert live_worker.remedies(KEY, 0, turn=0) == live_worker.remedies(KEY, 0)


def test_a_worker_sees_what_its_parent_counts() -> None:
    """Two real processes: at the count that stands work is done, at an older one it is not."""
    with SolvingProcess() as workers:
        workers.submit(
            live_tasks.solve_show, KEY, shipped_example("village-hall").document.show, None
        ).result()
        then = turn_of(workers)
        assert then is not None
        assert workers.submit(live_tasks.remedies, KEY, 0, then).result() is not None
        overtake(workers)
        assert workers.submit(live_tasks.remedies, KEY, 1, then).result() is None


@pytest.mark.usefixtures("worker")
@pytest.mark.parametrize("turns", [1, 3])
def test_a_gain_plan_is_given_up_between_two_goals(turns: int) -> None:
    live_pool._SEEN[:] = [Steps(until=turns)]
    assert live_gains.plan(KEY, False, 0) is None  # noqa: FBT003 -- a question's only word
    live_pool._SEEN[:] = [Steps(until=10_000)]
    assert live_gains.plan(KEY, False, 0) == live_gains.plan(KEY, False)  # noqa: FBT003


@pytest.mark.usefixtures("worker")
def test_moves_before_feedback_are_given_up_between_two_of_them() -> None:
    steps = Steps(until=1)
    live_pool._SEEN[:] = [steps]
    assert live_plan.moves(KEY, 0) is None
    assert steps.looks == 2
    live_pool._SEEN.clear()
    assert live_plan.moves(KEY)
