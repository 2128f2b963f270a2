"""The loop that judges ends when it is told to, also as the first page comes."""

from __future__ import annotations

import asyncio
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest

from levelhead.web.live import tasks as live_tasks
from levelhead.web.live.results import Results


async def _nobody(news: Any) -> None:
    del news


async def _ended() -> bool:
    with ThreadPoolExecutor(1) as workers:
        results = Results("a", None, workers, _nobody)
        loop = asyncio.create_task(results.run())
        await asyncio.sleep(0)  # it waits for the first page
        results.somebody_came.set()
        await asyncio.sleep(0)  # the page is there, the loop has not gone on yet
        loop.cancel()
        done, _ = await asyncio.wait([loop], timeout=5.0)
        if not done:
            loop.cancel()
        return bool(done)


def test_an_app_that_is_shut_as_its_first_page_comes_ends(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(live_tasks, "warm_up", lambda _: None)
    assert asyncio.run(_ended())
