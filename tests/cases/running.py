"""A connection case run: its show solved, what it leaves free put at its place, its figure read.

``reads`` names the number that ``expect.figure`` is about, in the words of this module.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, Final

from ruamel.yaml import YAML

from levelhead.gear.book import load_book
from levelhead.gear.scales import SCALES
from levelhead.planning.settle import settled
from levelhead.planning.trial import Trial, try_show
from levelhead.show.document import parse_show
from levelhead.show.edits import Set
from levelhead.verdicts.finding import Finding, Severity
from levelhead.verdicts.severity import worst
from levelhead.verdicts.strips import Strip

__all__ = ["FAMILIES", "cases_of", "figure_of", "run_case", "severity_of"]

FOLDER: Final = Path(__file__).parent
FAMILIES: Final[Mapping[str, str]] = {  # of the cases, and of our codes
    "harm-by-level": "harm",
    "enough-or-too-much": "enough",
    "phantom-and-bias": "phantom",
}
_LINE_LEVEL_DBU: Final = 4.0

Case = Mapping[str, Any]


def cases_of(file: str) -> dict[str, Case]:
    """Cases of a family's file, by id."""
    listed = YAML(typ="safe", pure=True).load((FOLDER / file).read_text(encoding="utf-8"))
    return {case["id"]: case for case in listed}


def run_case(case: Case) -> Trial:
    """Solve a case's show; controls that it does not set are free."""
    head = {"levelhead": 1, "show": {"name": case["id"]}}
    body = {key: part for key, part in case["show"].items() if key != "reads"}
    show = parse_show(_as_text(head | body), case["id"]).show
    return settled(try_show(show, load_book()), frozenset(show.settings))


def _as_text(content: Mapping[str, Any]) -> str:
    import json

    return json.dumps(content, ensure_ascii=False)  # JSON is YAML


def findings_of(case: Case, trial: Trial) -> list[Finding]:
    """Findings of the family that has to report the case."""
    family = FAMILIES[case["expect"]["family"]]
    return [each for each in trial.judgement.findings if each.family == family]


def severity_of(case: Case, trial: Trial) -> Severity:
    """What that family says."""
    return worst(each.severity for each in findings_of(case, trial))


# ---------------------------------------------------------------- figures


def figure_of(case: Case, trial: Trial) -> float | None:
    """The number that the case's figure is about; ``None`` where it cannot be read."""
    reads = case["show"].get("reads")
    if reads is None:
        return None
    (name,) = set(reads) - {"at"}
    return READERS[name](trial, reads[name], reads.get("at"))


def _nominal(trial: Trial, address: str) -> float:
    level = trial.solution.levels(address).nominal
    assert level is not None, f"{address} is silent"
    return level


def _strip(trial: Trial, port: str) -> Strip:
    return next(each for each in trial.judgement.reading.strips if each.port == port)


def _over(trial: Trial, code: str, at: str) -> float:
    """How far a limit is passed."""
    found = (each for each in trial.judgement.findings if (each.code, each.where) == (code, at))
    margin = next(found).margin
    assert margin is not None
    return -margin


def _lost(trial: Trial, ends: list[str], _: str) -> float:
    return _nominal(trial, ends[0]) - _nominal(trial, ends[1])


def _step(trial: Trial, ends: list[str], _: str) -> float:
    return _nominal(trial, ends[1]) - _nominal(trial, ends[0])


def _headroom(trial: Trial, address: str, _: str) -> float:
    headroom = trial.solution.levels(address).headroom
    assert headroom is not None
    return headroom


def _travel(trial: Trial, control: str, _: str) -> float:
    plan = trial.solution.rig.controls[control]
    setting = trial.solution.rig.setting_db(control)
    return 100 * SCALES[plan.scale].travel(setting, low_db=plan.low, high_db=plan.high)


def _lacking(trial: Trial, port: str, _: str) -> float:
    """Gain needed less gain at hand, before the fader."""
    strip = _strip(trial, port)
    return strip.needed_db - strip.high_db


def _supply(trial: Trial, item: str, _: str) -> float:
    arrival = trial.solution.phantom_at(item)
    return 0.0 if arrival is None else arrival.volts


def _spare_at_lowest_gain(trial: Trial, port: str, _: str) -> float:
    strip = _strip(trial, port)
    assert strip.lowest_ceiling is not None
    return strip.lowest_ceiling.at_lowest_dbu - strip.peak_dbu


def _signal_over_noise_lost(trial: Trial, ends: list[str], _: str) -> float:
    """Against the volume full, the gains put at their place again."""
    volume, end = ends
    full = trial.after([Set(volume, "0 dB")])
    assert full is not None
    whole = settled(full, frozenset(trial.show.settings)).solution.levels(end).signal_over_noise
    left = trial.solution.levels(end).signal_over_noise
    assert whole is not None
    assert left is not None
    return whole - left


READERS: Final[Mapping[str, Callable[[Trial, Any, Any], float]]] = {
    "over": _over,
    "lost": _lost,
    "step": _step,
    "headroom": _headroom,
    "nominal": lambda trial, address, _: _nominal(trial, address),
    "below-line-level": lambda trial, address, _: _LINE_LEVEL_DBU - _nominal(trial, address),
    "travel": _travel,
    "lacking": _lacking,
    "supply": _supply,
    "spare-at-lowest-gain": _spare_at_lowest_gain,
    "signal-over-noise-lost": _signal_over_noise_lost,
}
