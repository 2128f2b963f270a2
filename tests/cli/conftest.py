"""The command as a person types it, run in this process."""

from __future__ import annotations

import io
import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import pytest

from levelhead.cli import main

ROOT: Final = Path(__file__).parents[2]
EXAMPLES: Final = ROOT / "src" / "levelhead" / "examples"


@dataclass(frozen=True, slots=True)
class Ran:
    """What a command left behind."""

    status: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        """The output as JSON."""
        return json.loads(self.out)


Levelhead = Callable[..., Ran]


@pytest.fixture
def levelhead(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Levelhead:
    """``levelhead("ask", "di", "mixer")`` runs the command; ``stdin=`` is what it may read."""
    monkeypatch.setenv("COLUMNS", "80")

    def run(*argv: str, stdin: bytes = b"") -> Ran:
        monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(stdin), encoding="utf-8"))
        capsys.readouterr()
        try:
            status = main(argv)
        except SystemExit as stop:  # argparse, after it has said what is wrong or printed its help
            status = stop.code if isinstance(stop.code, int) else 1
        captured = capsys.readouterr()
        return Ran(status, captured.out, captured.err)

    return run


@pytest.fixture(scope="session")
def village_hall() -> str:
    """Path of the demo show, with its mistakes."""
    return str(EXAMPLES / "village-hall.yaml")


@pytest.fixture(scope="session")
def duo() -> str:
    """Path of the show without mistakes."""
    return str(EXAMPLES / "duo-in-a-pub.yaml")
