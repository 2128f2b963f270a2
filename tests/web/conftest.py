"""The app in process, as its own page and as anybody else would reach it."""

from __future__ import annotations

import warnings
from collections.abc import Iterator
from typing import Any

import pytest

from levelhead.web import create_app
from tests.web.fake_asker import FakeAsker

with warnings.catch_warnings():  # it prefers httpx2 and says so; httpx does the same for us
    warnings.simplefilter("ignore", DeprecationWarning)
    warnings.simplefilter("ignore", UserWarning)
    from starlette.testclient import TestClient

OWN = "http://127.0.0.1:8000"


@pytest.fixture
def asker() -> FakeAsker:
    return FakeAsker()


@pytest.fixture
def client(asker: FakeAsker) -> Iterator[TestClient]:
    with TestClient(create_app(asker), base_url=OWN, client=("127.0.0.1", 50_000)) as client:
        yield client


@pytest.fixture
def question() -> dict[str, Any]:
    return {"from": "mic-vocal-dynamic.out", "to": "mixer-compact.ch1.mic"}
