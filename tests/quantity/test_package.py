"""The package offers what it lists, and loads quickly."""

from __future__ import annotations

import subprocess
import sys

from levelhead import quantity


def test_everything_listed_is_there_once_and_sorted() -> None:
    assert len(set(quantity.__all__)) == len(quantity.__all__)
    for name in quantity.__all__:
        assert getattr(quantity, name) is not None


def test_loading_quantities_loads_no_science_library() -> None:
    """`--help` stays quick: numpy is all that is needed."""
    code = (
        "import sys, levelhead.quantity; print('scipy' in sys.modules, 'pydantic' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["False", "False"]
