"""Several devices at one show: how soon they see what one of them did, and what it costs.

A server in a process of its own, as a user starts it, and devices at its sockets in this one. A
device has seen an edit when the message with its row has arrived; painting it takes a browser some
ten milliseconds more (``bench_page.py``). The server solves and judges meanwhile, as always.
"""

from __future__ import annotations

import asyncio
import atexit
import json
import re
import tempfile
import threading
import time
from collections.abc import Coroutine
from contextlib import ExitStack, suppress
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any, Final

from websockets.asyncio.client import ClientConnection, connect
from websockets.exceptions import ConnectionClosed

from benchmarks.bench_page import CHANNELS, GEAR, running
from benchmarks.harness import Benchmark, Call
from benchmarks.shows import show_text

DEMO: Final = Path(__file__).parents[1] / "src" / "levelhead" / "examples" / "village-hall.yaml"
DEVICES: Final = 20
RUNS: Final = 40
BURST: Final = 20  # edits between two readings of the clock of the process
PAUSE_S: Final = 0.05  # between edits: a person's hand is no quicker
REVISION: Final = re.compile(r'"kind":"patch","after":\d+,"revision":(\d+)')


@dataclass(slots=True)
class Device:
    """One end of a socket that notes when each revision arrived."""

    socket: ClientConnection
    seen: dict[int, float] = field(default_factory=dict)
    at: int = 0
    news: asyncio.Event = field(default_factory=asyncio.Event)

    async def follow(self) -> None:
        """Note revisions until the server ends."""
        with suppress(ConnectionClosed):
            async for news in self.socket:
                arrived = time.perf_counter()
                found = REVISION.match(str(news)[:200], 1)
                if found is not None:
                    self.at = int(found[1])
                    self.seen[self.at] = arrived
                    self.news.set()

    async def saw(self, revision: int) -> float:
        """When it saw a revision."""
        while revision not in self.seen:
            self.news.clear()
            await self.news.wait()
        return self.seen[revision]


class Crew:
    """Devices at one server, in an event loop of their own."""

    def __init__(self, show: str, *more: str) -> None:
        self.held = ExitStack()
        atexit.register(self.held.close)
        folder = Path(self.held.enter_context(tempfile.TemporaryDirectory()))
        (folder / "gear").mkdir()
        (folder / "gear" / "desk.yaml").write_text(GEAR)
        gear = [each.replace("GEAR", str(folder / "gear")) for each in more]
        program, self.address = self.held.enter_context(running(folder, show, *gear))
        self.pid = program.pid
        self.devices: list[Device] = []
        self.edits = 0
        self.loop = asyncio.new_event_loop()
        threading.Thread(target=self.loop.run_forever, daemon=True).start()
        self.do(self._come(DEVICES))

    def do(self, work: Coroutine[Any, Any, Any]) -> Any:
        """Wait for something that is done in their loop."""
        return asyncio.run_coroutine_threadsafe(work, self.loop).result(60)

    async def _come(self, devices: int) -> None:
        origin = self.address.split("/show")[0]
        for number in range(devices):
            page = f"{number:08x}"
            socket = await connect(
                f"{origin.replace('http', 'ws')}/show/show.elsewhere/live?page={page}",
                origin=origin,  # type: ignore[arg-type]
                max_size=None,
            )
            await socket.recv()
            device = Device(socket)
            self.devices.append(device)
            asyncio.ensure_future(device.follow())  # noqa: RUF006 - lives as long as the loop

    async def edited(self, devices: int) -> float:
        """Seconds from sending an edit until so many other devices have seen it."""
        sender, *others = self.devices[: devices + 1]
        self.edits += 1
        gain = f"{20 + self.edits % 15} dB"
        edit = {"edit": "set", "address": f"desk.ch{1 + self.edits % 4}.gain", "value": gain}
        message = {"do": "edits", "edits": [edit], "base": 10**6, "ask": f"b-{self.edits}"}
        wanted = sender.at + 1
        began = time.perf_counter()
        await sender.socket.send(json.dumps(message))
        seen = [await each.saw(wanted) for each in others]
        await sender.saw(wanted)
        await asyncio.sleep(PAUSE_S)
        return max(seen) - began

    async def burst(self) -> float:
        """CPU seconds of the server for an edit; its worker, which solves, is another process."""
        before = cpu_s(self.pid)
        for _ in range(BURST):
            await self.edited(DEVICES - 1)
        return (cpu_s(self.pid) - before) / BURST


def cpu_s(pid: int) -> float:
    """Seconds that all threads of a process have had a processor (Linux)."""
    tasks = Path(f"/proc/{pid}/task").glob("*/schedstat")
    return sum(int(each.read_text().split()[0]) for each in tasks) / 1e9


@cache
def crew(show: str) -> Crew:
    """Devices at one of the two shows."""
    if show == "demo":
        return Crew(DEMO.read_text())
    return Crew(show_text(CHANNELS), "--gear", "GEAR")


def measured(show: str) -> list[Benchmark]:
    """What is measured at one show."""
    group = f"several devices, {show}"

    def seen_by(devices: int) -> Call:
        return lambda: crew(show).do(crew(show).edited(devices))

    def cost() -> Call:
        return lambda: crew(show).do(crew(show).burst())

    return [
        Benchmark(
            group=group,
            name="an edit on the second device",
            prepare=lambda: seen_by(1),
            runs=RUNS,
            goal_s=0.12,
            measures=True,
        ),
        Benchmark(
            group=group,
            name=f"an edit on all of {DEVICES} devices",
            prepare=lambda: seen_by(DEVICES - 1),
            runs=RUNS,
            goal_s=0.3,
            measures=True,
        ),
        Benchmark(
            group=group,
            name=f"server CPU of an edit, {DEVICES} devices",
            prepare=cost,
            runs=3,
            measures=True,
        ),
    ]


BENCHMARKS: Final = [*measured("demo"), *measured(f"{CHANNELS} channels")]
