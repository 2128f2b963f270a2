"""A gain plan for a person who mixes: what goes where, what holds it there, what gave way."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from levelhead.cli.reports.columns import cut, number, paragraph
from levelhead.planning.gains.planned.plan import GainPlan, GoalResult, Position
from levelhead.planning.gains.planned.words import (
    GOAL_WORDS,
    caution_words,
    goal_state,
    held_words,
    strip_words,
)
from levelhead.show.model import Show

__all__ = ["gains_report"]

_INDENT: Final = "  "
_NAME: Final = 24
_FROM: Final = 9
_TO: Final = 10
_HELD: Final = 80 - _NAME - _FROM - _TO - 5


def gains_report(
    plan: GainPlan, show: Show, *, path: str, written: str | None, in_full: bool
) -> str:
    """The whole plan in 80 columns."""
    if not plan.positions:
        said = "No control passes a signal, so there is nothing to plan. What is wrong:"
        return "\n".join([f"{show.name}: gain plan", "", said, f"  levelhead check {path}"])
    moved = len(plan.edits)
    controls = _count(len(plan.positions), "control")
    lines = [f"{show.name}: gain plan", *paragraph(plan.anchor)]
    caution = caution_words(plan)
    lines += ["", *paragraph(f"Caution: {caution}")] if caution else []
    for each in plan.balance:
        lines += ["", *paragraph(f"First: {each}")]
    lines += ["", f"{controls}, {moved} to move"]
    lines += [*_controls(plan, in_full=in_full)]
    lines += ["", "Goals, each as far as those above it allow", *_goals(plan)]
    lines += [*_gave_way(plan.goals), *_meters(plan, in_full=in_full), *_ends(plan)]
    lines += [*_lineups(plan), *_turns(plan)]
    return "\n".join([*lines, "", *_next(plan, path, written)])


# --- controls


def _controls(plan: GainPlan, *, in_full: bool) -> Iterator[str]:
    told = [each for each in plan.positions if in_full or each.is_moved]
    heads: dict[str, list[Position]] = {}
    for each in told:
        heads.setdefault(strip_words(each), []).append(each)
    for head, positions in heads.items():
        yield ""
        yield cut(head, 80)
        for each in positions:
            yield from _row(each)
    stay = len(plan.positions) - len(told)
    if stay:
        yield ""
        they = "stays where it is" if stay == 1 else "stay where they are"
        yield f"{_count(stay, 'control')} {they}: --all lists them."


def _row(position: Position) -> Iterator[str]:
    name = position.label.rpartition(", ")[2]
    if len(name) > _NAME - 3:
        yield f"{_INDENT}{name}"
        name = ""
    arrow = "->" if position.is_moved else "  "
    planned = position.planned if position.is_moved else "stays"
    start = f"{_INDENT}{name:<{_NAME - 2}}{position.now:>{_FROM}} {arrow} {planned:<{_TO}}"
    held = paragraph(held_words(position), first=f"{start} ", rest=" " * (len(start) + 1))
    yield from held or [start]


# --- goals


def _goals(plan: GainPlan) -> Iterator[str]:
    for rank, each in enumerate(plan.goals, 1):
        yield f"{_INDENT}{rank} {GOAL_WORDS[each.name]:<12}{cut(goal_state(each, plan), 64)}"
    yield (f"{_INDENT}Solved to {plan.gap_db:.2f} dB of what is possible at best.")


def _gave_way(goals: Sequence[GoalResult]) -> Iterator[str]:
    missed = [each for each in goals if not each.reached]
    if not missed:
        return
    yield ""
    yield "What gave way, and what would mend it"
    for goal in missed:
        yield from paragraph(
            f"{GOAL_WORDS[goal.name]}: {goal.demands}", first=_INDENT, rest=_INDENT
        )
        for mend in goal.mends:
            yield from paragraph(mend, first=f"{_INDENT}- ", rest=f"{_INDENT}  ")


# --- meters, ends, line-ups


def _meters(plan: GainPlan, *, in_full: bool) -> Iterator[str]:
    alone = [each for each in plan.meters if each.alone is not None or in_full]
    if not alone:
        return
    yield ""
    title = "Meters at sound check, one source at a time"
    yield f"{title:<46}{'reads':>8}{'right from':>13}{'to':>8}"
    for each in alone:
        place = each.label.replace(", ", " ")
        who = place if each.alone is None else f"{place}: {each.who or each.alone}"
        yield (
            f"{_INDENT}{cut(who, 43):<44}{number(each.reads_db):>8}{number(each.low_db):>13}"
            f"{number(each.high_db):>8} dB"
        )


def _ends(plan: GainPlan) -> Iterator[str]:
    if not plan.ends:
        return
    yield ""
    yield f"{'Ends':<30}{'peak now':>9}{'planned':>9}{'ceiling':>9}{'noise now':>10}{'planned':>9}"
    for each in plan.ends:
        levels = (each.peak_now, each.peak_planned, each.ceiling)
        signed = each.unit != "dB SPL"
        texts = [number(level, signed=signed) for level in levels]
        noises = [
            number(level, signed=signed) for level in (each.noise_a_now, each.noise_a_planned)
        ]
        place = f"{each.label.replace(', ', ' ')} [{each.unit}]"
        yield (
            f"{_INDENT}{cut(place, 27):<28}{texts[0]:>9}{texts[1]:>9}{texts[2]:>9}"
            f"{noises[0]:>10}{noises[1]:>9}"
        )
    yield "  Peaks with everything at its loud passage; noise A-weighted."


def _lineups(plan: GainPlan) -> Iterator[str]:
    """Both ways to share gain between console and amplifier, with what each costs."""
    if not plan.lineups:
        return
    names = {each.at: each.label.partition(", ")[0] for each in plan.ends}
    yield ""
    yield "Console and amplifier lined up, beside amplifiers turned up instead"
    for each in plan.lineups:
        name = names.get(each.end, each.end.partition(".")[0])
        planned, full = each.planned, each.full_up
        noise = number(planned.noise_a, signed=False)
        yield from paragraph(
            f"{_named(plan, each.control, name)} at {number(planned.attenuator_db)} dB. "
            f"{_first(planned.console_over_db)} Noise {noise} dB(A).",
            first=_INDENT,
            rest=_INDENT * 2,
        )
        if full.attenuator_db > planned.attenuator_db:
            settings = ", ".join(
                f"{_control(plan, edit.address)} {edit.value}" for edit in full.edits
            )
            yield from paragraph(
                f"or {settings}: as loud, {_noise_words(each.saved_db)}.",
                first=_INDENT * 2,
                rest=_INDENT * 2,
            )


def _named(plan: GainPlan, address: str, end: str) -> str:
    """A control with the loudspeaker that ends first behind it, if that is not its own."""
    control = _control(plan, address)
    own = control.removeprefix(f"{end} ")
    return f"{control} ({end})" if own == control else f"{end}: {own}"


def _control(plan: GainPlan, address: str) -> str:
    """A control in people's words."""
    position = plan.position(address)
    return address if position is None else position.label.replace(", ", " ")


def _noise_words(saved_db: float) -> str:
    """How much noisier amplifiers turned up would be.

    >>> _noise_words(2.04), _noise_words(0.03), _noise_words(-1.0)
    ('2.0 dB noisier', 'no noisier', '1.0 dB quieter')
    """
    if round(saved_db, 1) == 0:
        return "no noisier"
    by_db = number(abs(saved_db), signed=False)
    return f"{by_db} dB {'noisier' if saved_db > 0 else 'quieter'}"


def _first(over_db: float) -> str:
    """Which of the two reaches its ceiling first."""
    if abs(over_db) < 0.5:  # noqa: PLR2004 -- half a decibel is together
        return "Both reach their ceilings together."
    who = "The amplifier or loudspeaker" if over_db > 0 else "The console"
    return f"{who} reaches its ceiling {number(abs(over_db), signed=False)} dB before the other."


def _turns(plan: GainPlan) -> Iterator[str]:
    if plan.turns_on:
        yield ""
        yield "What it turns on"
        for each in plan.turns_on:
            yield from paragraph(each, first=f"{_INDENT}- ", rest=f"{_INDENT}  ")


def _next(plan: GainPlan, path: str, written: str | None) -> list[str]:
    if written is not None:
        return ["Next:", f"  levelhead check {written}"]
    if not plan.edits:
        return ["Next: everything stands where it goes. Nothing to do."]
    return ["Next: take it over into a new file:", f"  levelhead gains {path} -o PLANNED.yaml"]


def _count(number_of: int, what: str) -> str:
    return f"{number_of} {what}{'' if number_of == 1 else 's'}"
