"""Readers of the numbers that the figures of cases are about, one module a family.

A module of this folder offers ``READERS``: names as ``reads:`` has them, each with a function of
the solved case, what stands behind the name, and what stands behind ``at``. Readers that serve
every family are in ``general``.
"""

from __future__ import annotations

import importlib
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, Final

from levelhead.planning.trial import Trial

__all__ = ["READERS", "Reader"]

Reader = Callable[[Trial, Any, Any], float]


def _all_readers() -> Mapping[str, Reader]:
    found: dict[str, Reader] = {}
    for file in sorted(Path(__file__).parent.glob("[!_]*.py")):
        offered = importlib.import_module(f"tests.cases.readers.{file.stem}").READERS
        twice = found.keys() & offered.keys()
        assert not twice, f"{file.name} reads {sorted(twice)}, which another module reads"
        found |= offered
    return found


READERS: Final = _all_readers()
