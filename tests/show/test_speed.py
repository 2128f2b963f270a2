"""A large show is opened and changed without a wait."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Final

from ruamel.yaml import YAML

from levelhead.show.document import parse_show
from levelhead.show.edits import Set, apply

CHANNELS: Final = 128


def large_show() -> str:
    """128 channels, each with a microphone, a source, a link and seven settings."""
    numbers = range(1, CHANNELS + 1)
    items = "".join(
        f'  vox-{n}: {{type: mic, label: "Voice {n}", need: must, at: [1, 2, 0]}}\n'
        for n in numbers
    )
    sources = "".join(
        f"  s-{n}: {{type: voice-singer, at: vox-{n}, distance: 5 cm}}\n" for n in numbers
    )
    links = "".join(
        f"  - {{from: vox-{n}.out, to: desk.ch{n}.mic, via: [cable-xlr 10 m]}}\n" for n in numbers
    )
    strip = "{gain: 35 dB, fader: 0 dB, send1: -6 dB, send2: off, pan: left, lock: [gain]}"
    settings = "".join(f"    ch{n}: {strip}\n" for n in numbers)
    return (
        "levelhead: 1\nshow: {name: Large}\nitems:\n  desk: {type: mixer}\n"
        f"{items}sources:\n{sources}links:\n{links}settings:\n  desk:\n{settings}"
    )


def shortest_s(work: Callable[[], object], times: int = 5) -> float:
    """The quickest of some runs: what the work takes when nothing else runs."""
    spent = []
    for _ in range(times):
        started_s = time.perf_counter()
        work()
        spent.append(time.perf_counter() - started_s)
    return min(spent)


def test_checking_costs_little_beside_the_parser() -> None:
    """A ratio within one run, so that slow machines may run it too."""
    text = large_show()
    parser_s = shortest_s(lambda: list(YAML(typ="safe", pure=True).parse(text)))
    assert shortest_s(lambda: parse_show(text, "f")) < 2.5 * parser_s


def test_an_edit_costs_nothing_beside_a_load() -> None:
    text = large_show()
    show = parse_show(text, "f").show
    load_s = shortest_s(lambda: parse_show(text, "f"), 2)
    assert shortest_s(lambda: apply(show, [Set("desk.ch7.gain", "30 dB")])) < load_s / 50
