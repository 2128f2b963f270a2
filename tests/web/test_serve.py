"""Serving on this machine, and ending when told to."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest

from levelhead.errors import LevelheadError
from levelhead.web import address_of, listen

ROOT = Path(__file__).parents[2]
PROGRAM = """
from levelhead.web import address_of, create_app, listen, run
from tests.web.fake_asker import FakeAsker
listener = listen(0)
print(address_of(listener), flush=True)
run(create_app(FakeAsker()), listener)
"""
HALF_SENT = (
    b"POST /ask HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/json\r\n"
    b'Content-Length: 100\r\n\r\n{"from": '
)
LONGEST_END_S = 5.0


def test_the_socket_is_reachable_from_this_machine_only() -> None:
    with listen(0) as listener:
        host, port = listener.getsockname()
        assert host == "127.0.0.1"
        assert address_of(listener) == f"http://127.0.0.1:{port}/"


def test_a_taken_port_is_an_error() -> None:
    with (
        listen(0) as taken,
        pytest.raises(LevelheadError, match=r"port \d+ cannot be used.*0 for any free one"),
    ):
        listen(taken.getsockname()[1])


@pytest.mark.parametrize("port", [-1, 70_000])
def test_what_is_no_port_is_an_error(port: int) -> None:
    with pytest.raises(LevelheadError, match="expected a free port up to 65535"):
        listen(port)


def test_it_answers_and_ends_on_interrupt_while_a_question_is_half_sent() -> None:
    paths = os.pathsep.join([str(ROOT), *filter(None, sys.path)])
    command = [sys.executable, "-c", PROGRAM]
    with subprocess.Popen(
        command,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
        env={**os.environ, "PYTHONPATH": paths},
        cwd=ROOT,
    ) as program:
        assert program.stdout is not None
        address = program.stdout.readline().strip()
        with urllib.request.urlopen(address) as response:  # noqa: S310  # our own server
            assert response.status == 200
            assert "Can I plug this into that?" in response.read().decode()
            assert response.headers["server"] is None
        port = int(address.rstrip("/").rpartition(":")[2])
        with socket.create_connection(("127.0.0.1", port)) as waiting:
            waiting.sendall(HALF_SENT)
            time.sleep(0.3)
            started = time.monotonic()
            program.send_signal(signal.SIGINT)
            try:
                program.wait(timeout=LONGEST_END_S)
            finally:
                program.kill()
            assert time.monotonic() - started < LONGEST_END_S
            assert program.returncode == 0
