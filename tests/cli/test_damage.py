"""Damaged shows, wild figures, damaged gear and any words, through the real commands.

An answer or a clear refusal each time, in good time; never a traceback, never infinity in JSON.
"""

from __future__ import annotations

import json
import tempfile
import time
from copy import deepcopy
from pathlib import Path
from random import Random
from typing import Any, Final

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ruamel.yaml import YAML

from levelhead.cli.entry import UNREADABLE
from levelhead.gear.book import load_book
from levelhead.gear.store import shipped_entries
from tests.damage import answers_or_refuses, damaged_tree, pasted, written
from tests.show.random_shows import randoms

EXAMPLES: Final = Path(__file__).parents[2] / "src" / "levelhead" / "examples"
IN_GOOD_TIME_S: Final = 20.0

SMALL: Final = """
levelhead: 1
show: {name: Small}
items:
  vox: {type: mic-vocal-condenser}
  keys: {type: keyboard-stereo}
  desk: {type: mixer-compact}
  amp: {type: amplifier-two-channel}
  pa: {type: loudspeaker-passive-12}
sources: {anna: {type: voice-singer, at: vox, distance: 5 cm}}
links:
  - {from: vox.out, to: desk.ch1.mic, via: [cable-xlr 10 m]}
  - {from: keys.out-left, to: desk.ch2.line, pins: {b.sleeve: open}}
  - {from: desk.main-left.out, to: amp.ch1.in, via: [cable-xlr 10 m, cable-xlr 3 m]}
  - {from: amp.ch1.out, to: pa.in, via: [cable-loudspeaker 15 m]}
settings:
  desk: {main: -6 dB, phantom: "on", ch1: {gain: unknown, fader: 0 dB, lock: [gain]}}
  amp: {ch1: {level: -10 dB}}
"""
FIGURES: Final = {
    "vox": ("out.impedance ohm", "capsule.sensitivity V/Pa", "powered-by.current A",
            "powered-by.minimum V", "capsule.ceiling Pa", "capsule.self-noise Pa"),
    "keys": ("generator.level V", "output.ceiling V", "out-left.impedance ohm",
             "generator.peak-to-rms dB"),
    "desk": ("ch.preamp.gain dB", "ch.mic.impedance ohm", "ch.mic.cmrr dB", "ch.mic.damage V",
             "ch.mic.clip V", "ch.mic.phantom V", "ch.mic.phantom-feed ohm", "ch.preamp.ein V",
             "ch.mic.common-mode ohm", "ch.preamp.ceiling V", "main.sum.noise V",
             "ch.preamp.meter.zero V"),
    "amp": ("ch.power.gain dB", "ch.power.ceiling V", "ch.out.impedance ohm", "ch.in.clip V"),
    "pa": ("in.impedance ohm", "driver.sensitivity.level Pa", "driver.sensitivity.at V"),
}  # fmt: skip
NUMBERS: Final = (
    "0", "1", "1e-15", "1e-12", "1e-9", "1e-3", "1e4", "1e5", "-1", "-1e-3", "-60", "-100", "100",
    "1e300", "-1e300", "nan", "inf", "1e-320",
)  # fmt: skip


def tree_of(text: str) -> Any:
    return YAML(typ="safe", pure=True).load(text)


def shown(content: bytes, *command: str) -> None:
    """A file of this content through a command."""
    with tempfile.TemporaryDirectory() as folder:
        show = Path(folder) / "show.yaml"
        show.write_bytes(content)
        answers_or_refuses(command[0], str(show), *command[1:])


commands = st.sampled_from(
    [("levels",), ("levels", "--json"), ("check",), ("check", "--json"), ("check", "--all")]
)


def check_damaged_show(random: Random, command: tuple[str, ...]) -> None:
    example = random.choice(("village-hall.yaml", "duo-in-a-pub.yaml", "", "", ""))
    text = (EXAMPLES / example).read_text(encoding="utf-8") if example else SMALL
    content = written(damaged_tree(random, tree_of(text)))
    shown(pasted(random, content) if random.random() < 0.2 else content, *command)


@settings(max_examples=30)
@given(random=randoms, command=commands)
def test_a_damaged_show_is_answered_or_refused(random: Random, command: tuple[str, ...]) -> None:
    check_damaged_show(random, command)


@pytest.mark.long
@settings(max_examples=5000)
@given(random=randoms, command=commands)
def test_a_damaged_show_is_answered_or_refused_many_times(
    random: Random, command: tuple[str, ...]
) -> None:
    check_damaged_show(random, command)


def wild_show(random: Random) -> bytes:
    """A show that is well written, with figures, lengths and settings that nobody has."""
    tree = deepcopy(tree_of(SMALL))
    for _ in range(random.randint(1, 3)):
        number = random.choice(NUMBERS)
        match random.randrange(5):
            case 0:
                link = random.choice(tree["links"])
                link["via"] = [f"{random.choice(('cable-xlr', 'cable-jack'))} {number} m"]
            case 1:
                tree["sources"]["anna"]["distance"] = f"{number} m"
            case 2:
                control = random.choice(("gain", "fader", "pan", "aux"))
                value = random.choice((f"{number} dB", number, "off", "unknown"))
                tree["settings"]["desk"]["ch1"][control] = value
            case _:
                item = random.choice(list(FIGURES))
                figure, unit = random.choice(FIGURES[item]).split()
                tree["items"][item].setdefault("figures", {})[figure] = f"{number} {unit}"
    return written(tree)


@settings(max_examples=15)
@given(random=randoms, command=commands)
def test_wild_figures_are_answered_or_refused(random: Random, command: tuple[str, ...]) -> None:
    shown(wild_show(random), *command)


@pytest.mark.long
@settings(max_examples=1500)
@given(random=randoms, command=commands)
def test_wild_figures_are_answered_or_refused_many_times(
    random: Random, command: tuple[str, ...]
) -> None:
    shown(wild_show(random), *command)


# ---------------------------------------------------------------- gear


def geared(content: bytes, *command: str) -> int:
    """A folder with one file of gear, given to a command; its exit status."""
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "own.yaml").write_bytes(content)
        if command[0] == "check":
            (Path(folder) / "show").write_text(SMALL, encoding="utf-8")
            command = ("check", str(Path(folder) / "show"), *command[1:])
        try:
            return answers_or_refuses(*command, "--gear", folder).status
        finally:
            load_book.cache_clear()


def check_damaged_gear(random: Random) -> None:
    raw = shipped_entries()
    used = [each["type"] for each in tree_of(SMALL)["items"].values()]
    type_id = random.choice([*used, *used, "voice-singer", "cable-xlr", random.choice(list(raw))])
    content = written({type_id: damaged_tree(random, raw[type_id])})
    if random.random() < 0.1:
        content = pasted(random, content)
    into = ("ask", type_id.replace("-", " "), "mixer mic input")
    geared(content, *random.choice((("gear", type_id), into, ("check",), ("check", "--json"))))


@settings(max_examples=25)
@given(random=randoms)
def test_a_damaged_entry_is_used_or_refused(random: Random) -> None:
    check_damaged_gear(random)


@pytest.mark.parametrize("level", ["{}", "{range: [1 V, 2 V]}"])
def test_a_level_that_is_no_figure_is_refused(level: str) -> None:
    """It ended in a traceback: nobody had looked whether a figure has a value."""
    text = f"""{HEAD}
  ports: {{out: {{socket: xlr-m, role: out, circuit: single-ended-output, impedance: 1 ohm}}}}
  path:
    from: [{{generator: {{level: {level}, peak-to-rms: 3 dB, spectrum: programme}}}}]
    stages: [{{stage: output, gain: 0 dB}}]
    to: out
"""
    assert geared(text.encode(), "gear", "own") == UNREADABLE


@pytest.mark.long
@settings(max_examples=3000)
@given(random=randoms)
def test_a_damaged_entry_is_used_or_refused_many_times(random: Random) -> None:
    check_damaged_gear(random)


HEAD: Final = "own:\n  label: x\n  kind: box\n  source: typical\n"
HOSTILE: Final = {
    "mappings that double": "x0: &x0 {a: b}\n"
    + "".join(f"x{n}: &x{n} {{a: *x{n - 1}, b: *x{n - 1}}}\n" for n in range(1, 40))
    + HEAD
    + "  ports: *x39\n",
    "lists that double": HEAD
    + "  words: &w0 [a]\n"
    + "".join(f"  x{n}: &w{n} [*w{n - 1}, *w{n - 1}]\n" for n in range(1, 40)),
    "an entry inside itself": "own: &o {label: x, kind: box, source: typical, ports: {in: *o}}\n",
    "deep mappings": "own: " + "{a: " * 5000 + "x" + "}" * 5000 + "\n",
    "deep lists": "own:\n" + "- " * 3000 + "x\n",
    "a number without end": "own: {label: " + "9" * 10_000 + "}\n",
    "a name without end": "x" * 1_000_000 + ": {label: x, kind: box, source: typical}\n",
    "more errors than a screen": "own: {label: x, words: [" + ",".join(["1"] * 20_000) + "]}\n",
    "a thousand million channels": HEAD + "  blocks: {ch: {repeat: 1000000000}}\n",
    "a thousand million knobs": HEAD
    + "  controls: {g: {repeat: 900000000, range: [off, 0 dB], default: off}}\n",
    "no channel": HEAD + "  blocks: {ch: {repeat: 0}}\n",
    "an object of a program": "own: !!python/object/apply:os.system ['true']\n",
    "a key twice": "own: {label: x, label: y, kind: box, source: typical}\n",
    "a key that is a list": "own: {? [a, b] : c}\n",
    "two documents": "own: {}\n---\nother: {}\n",
    "a list": "- a\n- b\n",
    "like itself": "own: {like: own}\n",
    "like each other": "own: {like: other}\nother: {like: own}\n",
    "six megabytes": "#" + "x" * 6_000_000,
}


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_gear_is_refused_in_good_time(name: str) -> None:
    started_s = time.perf_counter()
    assert geared(HOSTILE[name].encode(), "gear", "own") == UNREADABLE
    assert time.perf_counter() - started_s < IN_GOOD_TIME_S


@pytest.mark.parametrize(
    "content",
    [
        b"own: {label: a\x00b}",
        "own: {label: x, kind: box, source: typical}\n".encode("utf-16"),
        "own: {label: é, kind: box, source: typical}\n".encode("latin-1"),
        b"\x80" * 100,
    ],
)
def test_gear_in_another_encoding_is_refused(content: bytes) -> None:
    assert geared(content, "gear", "own") == UNREADABLE


@pytest.mark.parametrize(
    "figure",
    ["0 ohm", "-5 ohm", "1e300 ohm", "nan ohm", "inf ohm", "5", "ohm", "", "5 V", "unknown"],
)
def test_no_port_has_an_impedance_of_nothing(figure: str) -> None:
    """Of nothing, less than nothing, without end, without or with another unit."""
    entry = {"like": "mic-vocal-dynamic", "label": "x", "ports": {"out": {"impedance": figure}}}
    assert geared(json.dumps({"own": entry}).encode(), "gear", "own") == UNREADABLE


def test_joined_in_a_ring_is_one_copper() -> None:
    """A through socket of a through socket: odd, and no reason to hang."""
    port = "{{socket: xlr-f, role: through, joined: {}}}"
    ports = f"{{a: {port.format('b')}, b: {port.format('a')}}}"
    assert geared(f"{HEAD}  ports: {ports}\n".encode(), "gear", "own") == 0


# ---------------------------------------------------------------- shows


def small_with(**parts: str) -> bytes:
    """The small show with a part replaced by other text."""
    tree = tree_of(SMALL)
    for part, text in parts.items():
        tree[part] = tree_of(text)
    return written(tree)


@pytest.mark.parametrize(
    "links",
    [
        "[{from: desk.main-left.out, to: desk.ch1.mic}]",
        "[{from: desk.main-left.out, to: desk.main-left.out}]",
        "[{from: amp.ch1.out, to: amp.ch1.in}, {from: amp.ch1.link, to: amp.ch2.in}]",
        "[{from: vox.out, to: desk.ch1.mic}, {from: vox.out, to: desk.ch2.mic}]",
        "[{from: vox.out, to: desk.ch1.mic}, {from: vox.out, to: desk.ch1.mic}]",
        "[{from: vox.nowhere, to: desk.ch9.mic}, {from: nobody.out, to: desk}]",
        "[{from: desk.ch1.mic, to: vox.out}, {ends: {a: keys.out-left}}]",
        "[{from: pa.in, to: pa.in}, {from: desk.aux.out, to: desk.main-left.out}]",
    ],
)
@pytest.mark.parametrize("command", ["levels", "check"])
def test_rings_and_plugs_that_cannot_be_are_answered_or_refused(links: str, command: str) -> None:
    shown(small_with(links=links), command)


# ---------------------------------------------------------------- questions


@settings(max_examples=10)
@given(first=st.text(max_size=60), second=st.text(max_size=60), setting=st.text(max_size=30))
def test_any_words_in_a_question_are_answered_or_refused(
    first: str, second: str, setting: str
) -> None:
    answers_or_refuses("ask", "--", first, second)
    answers_or_refuses("ask", f"--set=laptop.volume={setting}", "laptop", "mixer")
    answers_or_refuses("ask", f"--at={setting}", f"--length={setting}", "laptop", "mixer line in")


@pytest.mark.long
@settings(max_examples=1000)
@given(
    words=st.lists(
        st.sampled_from(
            [
                "mixer",
                "mic",
                "line",
                "in",
                "out",
                "laptop",
                "phones",
                "di",
                "box",
                "bass",
                "amp",
                "speaker",
                "xlr",
                "phantom",
                "on",
                "off",
                "4",
                "ch1",
                "passive",
                "active",
                "keyboard",
                "to",
                "from",
                "left",
                "pad",
                "guitar",
                "splitter",
                "with",
                "the",
                "a",
                "of",
                "-",
                ",",
                "/",
                "(",
                ")",
            ]
        ),
        max_size=8,
    ),
    cut=st.integers(0, 8),
)
def test_any_words_of_the_trade_are_answered_or_refused(words: list[str], cut: int) -> None:
    answers_or_refuses("ask", "--", " ".join(words[:cut]), " ".join(words[cut:]))


@pytest.mark.parametrize("words", ["x" * 1_000_000, "mixer " * 100_000, "\x00", "\ud800", ""])
def test_words_without_end_are_answered_in_good_time(words: str) -> None:
    started_s = time.perf_counter()
    answers_or_refuses("ask", words, "mixer mic in")
    assert time.perf_counter() - started_s < IN_GOOD_TIME_S
