"""A small hall on the disk, its app in process, and people at pages of it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from tests.web.hall import TEXT
from tests.web.live_show import Line, live, page


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Where the show lies."""
    path = tmp_path / "hall.yaml"
    path.write_text(TEXT, encoding="utf-8")
    return path


@pytest.fixture
def client(path: Path) -> Iterator[TestClient]:
    """The app with that show open."""
    with live(path) as client:
        yield client


@pytest.fixture
def anna(client: TestClient) -> Iterator[Line]:
    """The first page."""
    with page(client, "a", "Anna") as line:
        yield line


@pytest.fixture
def ben(client: TestClient, anna: Line) -> Iterator[Line]:
    """A second one, that came later."""
    assert anna.snapshot
    with page(client, "b", "Ben") as line:
        yield line
