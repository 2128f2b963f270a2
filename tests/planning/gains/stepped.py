"""A small rig whose every gain is a switch, so that all settings can be tried one by one."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.gear.book import GearBook
from levelhead.rig.build import build_rig
from levelhead.show.edits import Set, apply
from levelhead.show.model import Show
from tests.chain.bench import Items, bench_show, entries

_STEPS: Final = ("-20", "0", "20")


def _steps(stage: str, steps: Sequence[str] = _STEPS) -> dict[str, Any]:
    options = {f"g{step.replace('-', 'm')}": {f"{stage}.gain": f"{step} dB"} for step in steps}
    return {"options": options, "default": "g0"}


def _high() -> dict[str, Any]:
    return {
        "socket": "xlr-f",
        "role": "in",
        "circuit": "balanced-input",
        "impedance": "1 Gohm",
        "common-mode": "1 Gohm",
        "current-noise": "0 A/rtHz",
    }


def _out() -> dict[str, Any]:
    return {
        "socket": "xlr-m",
        "role": "out",
        "circuit": "symmetrical-output",
        "impedance": "1 mohm",
    }


STAGES: Final[dict[str, Any]] = {
    "stepped": {
        "label": "Two inputs with stepped gains, mixed",
        "kind": "mixer",
        "source": "standard",
        "earth": "mains",
        "blocks": {
            "ch": {
                "repeat": 2,
                "ports": {"line": _high()},
                "controls": {"pad": _steps("pre"), "trim": _steps("post")},
                "path": {
                    "from": "line",
                    "stages": [
                        {
                            "stage": "pre",
                            "gain": "0 dB",
                            "ein": "-110 dBu",
                            "noise": "-80 dBu",
                            "ceiling": "+21 dBu",
                            "meter": {"kind": "peak", "zero": "+4 dBu"},
                        },
                        {"stage": "post", "gain": "0 dB", "noise": "-85 dBu", "ceiling": "+21 dBu"},
                    ],
                },
            },
            "main": {
                "ports": {"out": _out()},
                "controls": {"output": _steps("send")},
                "path": {
                    "from": "mix",
                    "stages": [
                        {"stage": "sum", "noise": "-80 dBu", "ceiling": "+21 dBu"},
                        {"stage": "send", "gain": "0 dB", "noise": "-90 dBu", "ceiling": "+22 dBu"},
                    ],
                    "to": "out",
                },
            },
        },
        "mix": [{"from": "ch.post", "to": "main"}],
    },
    "speaker": {
        "label": "Loudspeaker with a stepped level",
        "kind": "loudspeaker",
        "source": "standard",
        "earth": "mains",
        "ports": {"in": _high()},
        "controls": {"level": _steps("attenuator", ("-30", "-20", "-10", "0"))},
        "path": {
            "from": "in",
            "stages": [
                {"stage": "attenuator", "gain": "0 dB", "noise": "-95 dBu"},
                {
                    "stage": "driver",
                    "sensitivity": {"level": "100 dB SPL", "at": "0 dBu"},
                    "ceiling": "110 dB SPL",
                },
            ],
            "to": "air",
        },
    },
}

BOOK: Final = GearBook(entries() | STAGES)
LINKS: Final = (("a.out", "m.ch1.line"), ("b.out", "m.ch2.line"), ("m.main.out", "s.in"))


def stepped_show(a_dbu: float, b_dbu: float, settings: Mapping[str, str] | None = None) -> Show:
    """Two tones of some level into the mixer, and that into the loudspeaker."""
    items: Items = {
        "a": ("tone", {"generator.level": f"{a_dbu:.2f} dBu", "output.ceiling": "+60 dBu"}),
        "b": ("tone", {"generator.level": f"{b_dbu:.2f} dBu", "output.ceiling": "+60 dBu"}),
        "m": "stepped",
        "s": "speaker",
    }
    return bench_show(items, LINKS, settings=settings)


@dataclass(frozen=True, slots=True, order=True)
class Worth:
    """How good settings are, goal by goal: the smaller, the better."""

    clipped_db: float
    reserve_db: float
    loudness_db: float
    meters_db: float
    noise_db: float


POINTS: Final = (
    "m.ch1.pre",
    "m.ch2.pre",
    "m.ch1.post",
    "m.ch2.post",
    "m.main.sum",
    "m.main.send",
    "s.driver",
)


def every_setting(show: Show) -> Iterator[tuple[tuple[Set, ...], Solution]]:
    """The rig solved with every combination of its switches."""
    rig = build_rig(show, BOOK)
    switches = {
        address: plan.options for address, plan in rig.controls.items() if plan.kind == "switch"
    }
    before = solve(rig)
    for chosen in itertools.product(*switches.values()):
        edits = tuple(Set(each, value) for each, value in zip(switches, chosen, strict=True))
        after, _ = apply(show, edits)
        yield edits, solve(build_rig(after, BOOK, previous=rig), before)


def worth(solution: Solution, wanted_db: Mapping[str, float], reserve_db: float) -> Worth:
    """Of a solved rig, read off its levels; ``wanted_db`` is what each source should bring."""
    excess = [max(reserve_db - _headroom(solution, each), 0.0) for each in POINTS]
    clipped = [max(each - reserve_db, 0.0) for each in excess]
    loud = sum(abs(level - wanted_db[name]) for name, level in _alone(solution).items())
    meters = 0.0
    for channel in ("ch1", "ch2"):
        nominal = solution.levels(f"m.{channel}.pre").nominal
        assert nominal is not None
        meters += max(nominal - 4.0, 0.0) + max(1.0 - nominal, 0.0)
    noise = solution.levels("s.driver").floor_a
    assert noise is not None
    return Worth(sum(clipped), sum(excess), loud, meters, noise)


def _headroom(solution: Solution, address: str) -> float:
    headroom = solution.levels(address).headroom
    return math.inf if headroom is None else headroom


def _alone(solution: Solution) -> dict[str, float]:
    """Level of each source alone at the loudspeaker: what its channel has, and the gain behind."""
    found = {}
    total = solution.levels("m.main.sum").nominal
    end = solution.levels("s.driver").nominal
    assert total is not None
    assert end is not None
    for name, channel in (("a", "ch1"), ("b", "ch2")):
        own = solution.levels(f"m.{channel}.post").nominal
        assert own is not None
        found[name] = own + end - total
    return found
