"""Paper of the app is set in a process of its own: it ends, can be stopped, leaves nothing."""

from __future__ import annotations

import os
import pickle
import subprocess
import sys
import time
from collections.abc import Callable
from typing import Any

import pytest

from levelhead.cli.press import Press, apart
from levelhead.errors import PaperError, ShowError
from levelhead.exchange.sheets.pack import paper_pack
from levelhead.show.document import load_show
from tests.paper.shows import checked

MOST_GROWTH_MB = 8  # one pack in the process itself takes 100 and more
MEASURE = """
import sys
from levelhead.cli.press import Press
from levelhead.exchange.sheets.pack import paper_pack
from tests.paper.shows import checked

def taken_mb():
    with open("/proc/self/status") as status:
        return next(int(line.split()[1]) / 1024 for line in status if line.startswith("VmRSS"))

if __name__ == "__main__":
    sheets = paper_pack(checked("church-band.yaml"), ["input-list", "patch", "cable-list"])
    Press().pdf(Press().prepared(sheets[:1], "a4"), {})
    before = taken_mb()
    for _ in range(2):
        Press().pdf(Press().prepared(sheets, "a4"), {})
    print(taken_mb() - before, "typst" in sys.modules)
"""


def test_what_runs_apart_gives_its_answer_or_its_error() -> None:
    assert apart(sum, (1, 2, 3)) == 6
    with pytest.raises(ShowError, match="nowhere"):
        apart(load_show, "/nowhere.yaml")


@pytest.mark.parametrize(
    ("task", "value", "given", "said"),
    [
        (time.sleep, 30, {"longest_s": 0.3}, "more than 0.3 s"),
        (time.sleep, 30, {"is_wanted": lambda: False}, "was stopped"),
        (os._exit, 3, {}, "ended without a word"),
    ],
)
def test_what_runs_apart_ends_in_any_case(
    task: Callable[..., object], value: int, given: dict[str, Any], said: str
) -> None:
    began = time.monotonic()
    with pytest.raises(PaperError, match=said):
        apart(task, value, **given)
    assert time.monotonic() - began < 10


def test_pages_are_told_as_they_are_printed() -> None:
    """The same pages, whether they are only told or printed; drawings are made before they go."""
    names = ["input-list", "patch", "flow", "wiring", "levels", "stage"]
    sheets = paper_pack(checked("church-band.yaml"), names)
    assert pickle.dumps(Press().prepared(sheets, "a4"))
    pdf, pages = Press().pdf(Press().prepared(sheets, "a4"), {})
    assert pdf.startswith(b"%PDF")
    assert Press().pages(sheets, "a4") == pages


def test_the_app_does_not_grow_with_packs() -> None:
    ran = subprocess.run(
        [sys.executable, "-c", MEASURE], capture_output=True, text=True, check=True
    )
    grown_mb, has_typesetter = ran.stdout.split()
    assert float(grown_mb) < MOST_GROWTH_MB
    assert has_typesetter == "False"
