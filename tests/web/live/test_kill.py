"""A real server ends, killed or told to: nothing that was acknowledged is lost."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

import pytest
from websockets.sync.client import connect

from levelhead.show.history.journal import History
from levelhead.show.opened.open_show import OpenShow
from tests.web.hall import TEXT

ROOT = Path(__file__).parents[3]
PROGRAM = "import sys; from levelhead.cli import main; sys.exit(main(sys.argv[1:]))"
EDITS = 1000


@contextmanager
def served(path: Path) -> Iterator[subprocess.Popen[str]]:
    """The program with a show, as a user starts it."""
    paths = os.pathsep.join([str(ROOT / "src"), *filter(None, sys.path)])
    with subprocess.Popen(
        [sys.executable, "-c", PROGRAM, "open", str(path), "--no-browser"],
        stderr=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONPATH": paths},
    ) as program:
        yield program


def where(program: subprocess.Popen[str]) -> tuple[str, str]:
    """Origin of its pages, and the socket of the show."""
    assert program.stderr is not None
    words = program.stderr.readline()
    address = next(word for word in words.split() if word.startswith("http"))
    origin = address.removesuffix("/show")
    return origin, f"{origin.replace('http', 'ws')}/show/hall.elsewhere/live?page=aaaaaaaa"


@pytest.mark.parametrize("answers_before_the_end", [5, 400])
def test_no_acknowledged_edit_is_lost_by_a_kill(
    tmp_path: Path, answers_before_the_end: int
) -> None:
    """A thousand edits are sent without waiting; after some answers the process is killed."""
    path = tmp_path / "hall.yaml"
    path.write_text(TEXT, encoding="utf-8")
    with served(path) as program:
        origin, socket = where(program)
        acknowledged = 0
        with connect(socket, origin=origin, max_size=None) as line:  # type: ignore[arg-type]
            for number in range(EDITS):
                edit = {"edit": "annotate", "item": "vox", "note": f"note {number}"}
                line.send(
                    json.dumps({"do": "edits", "edits": [edit], "base": 0, "ask": f"k-{number}"})
                )
            while acknowledged < answers_before_the_end:
                acknowledged += json.loads(line.recv())["kind"] == "done"
            program.send_signal(signal.SIGKILL)
        program.wait()
    with History.at(path) as history:
        opened = OpenShow.at(path, history, at=datetime.now(UTC))
        asked = [step.ask for step in history.steps_after(0)]
        assert len(asked) >= acknowledged
        assert asked == [f"aaaaaaaa k-{number}" for number in range(len(asked))]
        assert opened.show.items["vox"].note == f"note {len(asked) - 1}"
        opened.save(at=datetime.now(UTC))
    assert f"note {len(asked) - 1}" in path.read_text()


def test_told_to_end_it_puts_everything_away(tmp_path: Path) -> None:
    """SIGTERM ends it like Ctrl+C: the file holds the last step, no warning of what was left."""
    path = tmp_path / "hall.yaml"
    path.write_text(TEXT, encoding="utf-8")
    with served(path) as program:
        origin, socket = where(program)
        with connect(socket, origin=origin, max_size=None) as line:  # type: ignore[arg-type]
            edit = {"edit": "annotate", "item": "vox", "note": "the last word"}
            line.send(json.dumps({"do": "edits", "edits": [edit], "base": 0, "ask": "k-0"}))
            while json.loads(line.recv())["kind"] != "results":
                pass  # the process that solves is there
            program.send_signal(signal.SIGTERM)
        assert program.stderr is not None
        said = program.stderr.read()
    assert said == "Stopped; every step that was acknowledged is kept.\n"
    assert program.returncode == 0
    assert "the last word" in path.read_text()
