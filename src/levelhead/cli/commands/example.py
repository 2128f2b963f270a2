"""``levelhead example``, ``levelhead example NAME``, ``levelhead example NAME -o FILE``."""

from __future__ import annotations

import sys
from argparse import Namespace
from pathlib import Path

from levelhead.cli.reports.examples import example_list
from levelhead.cli.typed import Outcome
from levelhead.show.shipped import shipped_example, shipped_examples
from levelhead.show.written.new_file import write_new

__all__ = ["example"]


def example(arguments: Namespace) -> Outcome:
    """The list, or one example printed or written."""
    if arguments.name is None:
        if arguments.output is not None:
            arguments.wrong_use("NAME is missing; which example shall be written?")
        return Outcome(example_list(shipped_examples()))
    one = shipped_example(arguments.name)
    if arguments.output is None:
        return Outcome(one.text.rstrip("\n"))
    write_new(Path(arguments.output), one.text)
    print(
        f"{arguments.output}: {one.title}; now: levelhead check {arguments.output}", file=sys.stderr
    )
    return Outcome("")
