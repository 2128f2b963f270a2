"""A small hall in a file, and the same while it is open."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from levelhead.show.history.journal import History
from levelhead.show.opened.open_show import OpenShow
from tests.show.hall import NOON, SMALL_HALL


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Where the show lies."""
    path = tmp_path / "hall.yaml"
    path.write_text(SMALL_HALL, encoding="utf-8")
    return path


@pytest.fixture
def history(path: Path) -> Iterator[History]:
    """Its journal."""
    with History.at(path) as history:
        yield history


@pytest.fixture
def hall(path: Path, history: History) -> OpenShow:
    """The show, open."""
    return OpenShow.at(path, history, at=NOON)
