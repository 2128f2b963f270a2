"""Damage done to files as people and machines do it: to text, to bytes, and to what a file says."""

from __future__ import annotations

import contextlib
import io
import json
from copy import deepcopy
from dataclasses import dataclass
from random import Random
from typing import Any, Final

from ruamel.yaml import YAML

from levelhead.cli import main
from levelhead.cli.entry import UNREADABLE

__all__ = ["WORDS", "answers_or_refuses", "damaged_tree", "damaged_value", "pasted", "written"]

WORDS: Final = (  # wrong somewhere, or right elsewhere
    "", " ", "unknown", "off", "on", "~", "0", "-1", "1e999", "nan dB", "inf dB", "1e308 V",
    "-inf dB", "1e-320 ohm", "0 ohm", "-5 kohm", "0 m", "1e12 m", "-3 m", "3,5 dB",
    "40 dB dB", "+4 dBu", "+400 dBu", "9999 dB", "94 dB SPL", "\x00", "\u202e", "é" * 40,
    "x" * 300, "desk", "desk.ch1.mic", "a.b.c.d.e", "..", "[1-99999]", "ch[1-4]",
    "cable-xlr -3 m",
    "cable-xlr 1e9 m", "mixer-compact", "levelhead", "in", "out", "12", "xlr-f",
)  # fmt: skip

VALUES: Final[tuple[Any, ...]] = (
    None, True, False, 0, -1, 1, 2**70, 1.5, float("nan"), float("inf"), 1e308, [], {}, [[]], [{}],
    [None], {"a": None}, {"": ""}, {"like": "in"}, [1, 2, 3],
    {"value": "1 V", "range": ["2 V", "1 V"]},
    {"value": "0 ohm"}, {"value": 5}, {"value": "1 ohm", "range": ["0 ohm", "1e300 ohm"]},
    {"value": "1 V", "range": "1 V"}, {"value": "1 V", "source": "a friend"}, "x" * 5000,
)  # fmt: skip


SCRAPS: Final = (
    b"\x00", b"\xff\xfe", b"\xef\xbb\xbf", b"\r", b"\t", b"\x85", b"<<: *a\n", b"&a ", b"*a",
    b"---\n", b"!!python/object:os.system ", b"%YAML 9.9\n", b"? ", b"- - - - ", b"{" * 50,
    b"[" * 200, b"|2\n", b"\xf0\x9f\x8e\xb8", b"0x7fffffffffffffff", b"1e400", b".nan",
)  # fmt: skip


def damaged_value(random: Random) -> Any:
    """Something that does not belong, mostly."""
    return random.choice(WORDS) if random.random() < 0.6 else deepcopy(random.choice(VALUES))


def damaged_tree(random: Random, tree: Any, *, wounds: int = 2) -> Any:
    """A copy of what a file holds with a few parts replaced, lost, moved or doubled."""
    whole = deepcopy(tree)
    for _ in range(random.randint(1, wounds)):
        branch = _branch(random, whole)
        if branch is None:
            continue
        key = random.choice(list(branch) if isinstance(branch, dict) else range(len(branch)))
        _wound(random, whole, branch, key)
    return whole


def _branch(random: Random, tree: Any) -> Any:
    """A mapping or a list somewhere in a tree, deeper ones as likely as others."""
    found = []
    pending = [tree]
    while pending:
        node = pending.pop()
        if isinstance(node, dict | list) and node:
            found.append(node)
            pending.extend(node.values() if isinstance(node, dict) else node)
    return random.choice(found) if found else None


def _wound(random: Random, whole: Any, branch: Any, key: Any) -> None:
    match random.randrange(6):
        case 0:
            del branch[key]
        case 1 if isinstance(branch, dict):
            branch[random.choice(WORDS) or "x"] = branch[key]
        case 2:
            other = _branch(random, whole)
            branch[key] = deepcopy(other)
        case 3 if isinstance(branch, list):
            branch.append(deepcopy(branch[key]))
        case _:
            branch[key] = damaged_value(random)


def pasted(random: Random, content: bytes) -> bytes:
    """Bytes with pieces lost, doubled, or replaced by what editors and disks leave behind."""
    for _ in range(random.randint(1, 3)):
        start = random.randrange(len(content) + 1)
        end = min(len(content), start + random.choice((0, 0, 1, 4, 40, 400)))
        piece = random.choice((*SCRAPS, content[start:end] * 2, b""))
        content = content[:start] + piece + content[end:]
    return content


def written(tree: Any) -> bytes:
    """A tree as YAML; what YAML cannot write is written as JSON, which YAML reads as well."""
    content = io.BytesIO()
    try:
        YAML(typ="safe", pure=True).dump(tree, content)
    except (TypeError, ValueError):
        return json.dumps(tree, default=str).encode()
    return content.getvalue()


@dataclass(frozen=True, slots=True)
class Said:
    """What a command said."""

    status: int
    out: str
    err: str


def answers_or_refuses(*argv: str) -> Said:
    """Run a command: it answers, or says what, where, what was expected and what to do.

    Whatever else it raises goes through and fails the test that asked.
    """
    out, err = io.StringIO(), io.StringIO()
    try:
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            status = main(argv)
    except SystemExit as stop:  # argparse has said what is wrong
        status = stop.code if isinstance(stop.code, int) else 1
    said = Said(status, out.getvalue(), err.getvalue())
    assert "Traceback" not in said.err
    assert len(said.err) < 50_000
    if said.status == UNREADABLE:
        assert "expected" in said.err or said.err.startswith("usage"), said.err
        assert said.out == ""
    elif "--json" in argv:
        json.loads(said.out, parse_constant=_no_number)
    return said


def _no_number(name: str) -> float:
    raise AssertionError(f"{name} in JSON: silence is null, never an infinity")
