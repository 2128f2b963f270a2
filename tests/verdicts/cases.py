"""Shows of bench gear for the rules: one number of each decides."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any, Final

from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.gear.book import GearBook
from levelhead.rig.build import build_rig
from levelhead.show.model import Cable, Link, Show, Source
from levelhead.verdicts.judge import Judgement, judge
from levelhead.verdicts.told.finding import Finding
from tests.chain.bench import BOOK, POWERED, Items, bench_show

MORE: Final[dict[str, Any]] = {
    "frail": {
        "label": "Recorder of which nobody knows what it stands",
        "kind": "processor",
        "source": "typical",
        "earth": "mains",
        "ports": {
            "in": {
                "socket": "xlr-f",
                "role": "in",
                "label": "line input",
                "circuit": "balanced-input",
                "impedance": "1 Gohm",
                "common-mode": "1 Gohm",
                "damage": {"value": "10 V", "range": ["7 V", "14 V"]},
            }
        },
        "path": {"from": "in", "stages": [{"stage": "input"}]},
    },
    "powered": {**POWERED, "source": "typical"},
    "phantom-desk": {
        "label": "Desk with phantom power",
        "kind": "mixer",
        "source": "standard",
        "earth": "mains",
        "controls": {
            "phantom": {
                "options": {
                    "off": {},
                    "on": {
                        "ch.mic.phantom": {
                            "value": "48 V", "range": ["44 V", "52 V"], "source": "standard",
                        }
                    },
                },
                "default": "off",
            }
        },
        "blocks": {
            "ch": {
                "repeat": 4,
                "ports": {
                    "mic": {
                        "socket": "xlr-f",
                        "role": "in",
                        "label": "mic input",
                        "circuit": "balanced-input",
                        "impedance": "13.6 kohm",
                        "common-mode": "6.8 kohm",
                    }
                },
                "path": {"from": "mic", "stages": [{"stage": "preamp"}]},
            }
        },
    },
    "amp": {
        "label": "Amplifier with a link output",
        "kind": "amplifier",
        "source": "standard",
        "earth": "mains",
        "ports": {
            "in": {
                "socket": "xlr-f",
                "role": "in",
                "circuit": "balanced-input",
                "impedance": "1 Gohm",
                "common-mode": "1 Gohm",
            },
            "link": {"socket": "xlr-m", "role": "through", "joined": "in"},
            "out": {
                "socket": "xlr-m",
                "role": "out",
                "circuit": "symmetrical-output",
                "impedance": "1 mohm",
            },
        },
        "path": {
            "from": "in",
            "stages": [{"stage": "power", "gain": "30 dB", "ceiling": "+30 dBu"}],
            "to": "out",
        },
    },
    "join": {
        "label": "Y lead that joins two outputs",
        "kind": "cable",
        "source": "standard",
        "ends": {"one": "xlr-f", "two": "xlr-f", "out": "xlr-m"},
        "wire": {"core": "0.001 mohm/m", "screen": "0.001 mohm/m"},
        "map": {
            "one.1": ["two.1", "out.1"],
            "one.2": ["two.2", "out.2"],
            "one.3": ["two.3", "out.3"],
        },
        "usual-length": "1 m",
    },
    "jack-box": {
        "label": "Box with a jack",
        "kind": "processor",
        "source": "standard",
        "earth": "mains",
        "ports": {
            "in": {
                "socket": "jack-ts",
                "role": "in",
                "label": "input",
                "circuit": "unbalanced-input",
                "impedance": "10 kohm",
            }
        },
        "path": {"from": "in", "stages": [{"stage": "input"}]},
    },
}  # fmt: skip

CASES: Final[GearBook] = BOOK.extended(MORE)


def case(
    items: Items,
    links: list[tuple[str, str]],
    *,
    settings: Mapping[str, str] | None = None,
    sources: tuple[Source, ...] = (),
    locks: Collection[str] = (),
) -> Solution:
    """A show of bench gear and the gear above, solved."""
    show = bench_show(items, links, settings=settings, sources=sources, locks=locks)
    return solved(show)


def solved(show: Show) -> Solution:
    """A show against the book of these cases."""
    return solve(build_rig(show, CASES))


def found(solution: Solution, code: str) -> list[Finding]:
    """Findings of one code."""
    return [finding for finding in judge(solution).findings if finding.code == code]


def the(solution: Solution, code: str) -> Finding:
    """The one finding of a code."""
    (finding,) = found(solution, code)
    return finding


def judged(show: Show) -> Judgement:
    """A show, solved and judged."""
    return judge(solved(show))


def by_wire(one: str, other: str, cable: str = "wire") -> Link:
    """A link of bench gear."""
    return Link({"a": one, "b": other}, (Cable(cable, 1.0),))
