"""The gain plan against three habits of the trade, on thirty rigs: reserve and noise of each.

All habits are brought to the loudness and balance of the plan as far as their controls allow, so
noise compares. Run as ``python -m benchmarks.gain_habits``; ``--write`` puts the table into
``docs/gains.md``.

- At unity: faders and masters at 0 dB, amplifiers fully up; gains alone make the loudness.
- By eye: gains at a third of their travel, amplifiers fully up; the master makes the loudness.
- Hot: gains 1 dB under clipping, the master 20 dB down; attenuators make the loudness.
"""

from __future__ import annotations

import argparse
import math
import statistics
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from benchmarks.gain_rigs import rig_texts
from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.gear.book import load_book
from levelhead.planning.gains.make import Made, make_plan
from levelhead.rig.build import build_rig
from levelhead.rig.settings import setting_text
from levelhead.show.document import parse_show
from levelhead.show.edits import Set, apply

PAGE: Final = Path(__file__).parents[1] / "docs" / "gains.md"
_OPEN, _CLOSE = "<!-- habits -->\n", "<!-- /habits -->"
_MASTER_DOWN_DB: Final = -20.0
_NEARLY_CLIPS_DB: Final = 1.0


@dataclass(frozen=True, slots=True)
class Strip:
    """A channel of a rig: its gain and fader, and what both make with the plan. [dB]"""

    gain: str
    fader: str
    planned_gain_db: float
    total_db: float
    low_db: float
    high_db: float
    room_db: float  # headroom behind the gain, with the plan


@dataclass(frozen=True, slots=True)
class Outcome:
    """Least headroom on the way, mean A-weighted noise at the loudspeakers, and how loud."""

    reserve_db: float
    noise_db: float
    loudness_db: float


Habit = Callable[[Sequence[Strip], float], tuple[dict[str, float], float, float]]


def strips_of(made: Made) -> list[Strip]:
    """Every channel with a gain and a fader."""
    rig, settings = made.after.rig, {}
    for position in made.plan.positions:
        settings[position.control] = position.gain_planned_db or 0.0
    found = []
    for control, gain_db in settings.items():
        fader = f"{control.rpartition('.')[0]}.fader"
        if control.endswith(".gain") and fader in settings:
            plan = rig.controls[control]
            headroom = made.after.levels(f"{control.rpartition('.')[0]}.preamp").headroom
            found.append(
                Strip(
                    control,
                    fader,
                    gain_db,
                    gain_db + settings[fader],
                    plan.low,
                    plan.high,
                    math.inf if headroom is None else headroom,
                )
            )
    return found


def at_unity(strips: Sequence[Strip], behind_db: float) -> tuple[dict[str, float], float, float]:
    """Faders, master and amplifiers at unity; gains make up. What a gain cannot, its fader does."""
    settings: dict[str, float] = {}
    for strip in strips:
        gain = min(max(strip.total_db + behind_db, strip.low_db), strip.high_db)
        settings[strip.gain] = gain
        settings[strip.fader] = min(strip.total_db + behind_db - gain, 10.0)
    return settings, 0.0, 0.0


def by_eye(strips: Sequence[Strip], behind_db: float) -> tuple[dict[str, float], float, float]:
    """Gains at a third, amplifiers fully up; faders balance around unity, the master makes up."""
    wanted = {strip: strip.total_db + behind_db - _third(strip) for strip in strips}
    master = min(statistics.median(wanted.values()), 10.0)
    settings = {strip.gain: _third(strip) for strip in strips}
    settings |= {strip.fader: min(each - master, 10.0) for strip, each in wanted.items()}
    return settings, master, 0.0


def _third(strip: Strip) -> float:
    return strip.low_db + (strip.high_db - strip.low_db) / 3


def hot(strips: Sequence[Strip], behind_db: float) -> tuple[dict[str, float], float, float]:
    """Gains nearly at clipping, the master low; attenuators make up as far as they go."""
    gains = {
        strip: min(strip.planned_gain_db + strip.room_db - _NEARLY_CLIPS_DB, strip.high_db)
        for strip in strips
    }
    wanted = {strip: strip.total_db + behind_db - gain for strip, gain in gains.items()}
    attenuator = min(statistics.median(wanted.values()) - _MASTER_DOWN_DB, 0.0)
    settings = {strip.gain: gain for strip, gain in gains.items()}
    for strip, each in wanted.items():
        settings[strip.fader] = min(each - _MASTER_DOWN_DB - attenuator, 10.0)
    return settings, _MASTER_DOWN_DB, attenuator


HABITS: Final[Mapping[str, Habit]] = {
    "everything at unity": at_unity,
    "gains by eye, amplifiers fully up": by_eye,
    "masters low, channels hot": hot,
}


def outcome(made: Made, solution: Solution) -> Outcome:
    """Of a rig as it is set."""
    headrooms = [
        solution.levels(made.model.addresses[each.point]).headroom for each in made.model.ceilings
    ]
    ends = [solution.levels(end.at) for end in made.plan.ends]
    return Outcome(
        min(each for each in headrooms if each is not None),
        statistics.mean(each.floor_a for each in ends if each.floor_a is not None),
        statistics.mean(each.nominal for each in ends if each.nominal is not None),
    )


def tried(made: Made, habit: Habit) -> Outcome:
    """A rig set by a habit."""
    rig = made.after.rig
    planned = {each.control: each.gain_planned_db or 0.0 for each in made.plan.positions}
    master = "desk.main"
    levels = [each for each in planned if each.endswith(".level") and "desk" not in each]
    behind_db = planned[master] + planned[levels[0]]
    settings, master_db, attenuator_db = habit(strips_of(made), behind_db)
    settings |= {master: master_db} | dict.fromkeys(levels, attenuator_db)
    edits = [Set(each, setting_text(value, rig.controls[each])) for each, value in settings.items()]
    show, _ = apply(rig.show, edits)
    return outcome(made, solve(build_rig(show, rig.book, previous=rig), made.after))


def rows() -> Iterator[tuple[str, int, Outcome, list[Outcome]]]:
    """Every rig: name, channels, the plan, and the habits."""
    book = load_book()
    for name, text in rig_texts():
        made = make_plan(parse_show(text, name).show, book)
        yield (
            name,
            len(strips_of(made)),
            outcome(made, made.after),
            [tried(made, habit) for habit in HABITS.values()],
        )


def table() -> str:
    """A line a rig, and what all of them have in the middle."""
    titles = ["plan", *HABITS]
    lines = [
        "| rig | channels | " + " | ".join(f"{each}: reserve, noise" for each in titles) + " |",
        "| --- " * (len(titles) + 2) + "|",
    ]
    all_of_them: list[list[Outcome]] = []
    for name, channels, plan, others in rows():
        all_of_them.append([plan, *others])
        cells = [_cell(each, plan) for each in (plan, *others)]
        lines.append(f"| {name} | {channels} | {' | '.join(cells)} |")
    lines.append("| **median** | | " + " | ".join(_medians(all_of_them)) + " |")
    return "\n".join([*lines, "", _said(all_of_them)])


def _cell(each: Outcome, plan: Outcome) -> str:
    away = each.loudness_db - plan.loudness_db
    loud = f" ({away:+.0f} dB loud)" if abs(away) > 1 / 2 else ""
    if each is plan:
        return f"{each.reserve_db:.1f}, {each.noise_db:.1f} dB(A)"
    return f"{each.reserve_db:.1f}, {each.noise_db - plan.noise_db:+.1f}{loud}"


def _medians(found: Sequence[Sequence[Outcome]]) -> Iterator[str]:
    for column in range(len(HABITS) + 1):
        reserve = statistics.median(row[column].reserve_db for row in found)
        noise = statistics.median(row[column].noise_db - row[0].noise_db for row in found)
        yield f"**{reserve:.1f}, {noise:+.1f}**"


def _said(found: Sequence[Sequence[Outcome]]) -> str:
    clips = [sum(row[column].reserve_db < 0 for row in found) for column in range(len(HABITS) + 1)]
    named = ", ".join(f"{name} {count}" for name, count in zip(HABITS, clips[1:], strict=True))
    return f"Rigs of {len(found)} in which something clips: plan {clips[0]}, {named}."


def main() -> None:
    """Print the table, or write it into the page."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--write", action="store_true", help="write it into docs/gains.md")
    made = table()
    if not parser.parse_args().write:
        print(made)
        return
    page = PAGE.read_text(encoding="utf-8")
    before, _, rest = page.partition(_OPEN)
    _, _, after = rest.partition(_CLOSE)
    PAGE.write_text(before + _OPEN + made + "\n" + _CLOSE + after, encoding="utf-8")


if __name__ == "__main__":
    main()
