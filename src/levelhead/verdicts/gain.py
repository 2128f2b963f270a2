"""Enough or too much at an input: does the gain at hand bring each source to its meter?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from levelhead.chain.solution import Solution
from levelhead.gear.scales import SCALES, position_words
from levelhead.quantity.formatting import format_level
from levelhead.rig.settings import control_label, setting_text
from levelhead.verdicts.doubts import controls_with_room, doubts_of_level
from levelhead.verdicts.finding import Compared, Finding
from levelhead.verdicts.limit_state import ROUNDING, Doubt, LimitState
from levelhead.verdicts.severity import Severity
from levelhead.verdicts.strips import Strip, strips

__all__ = [
    "PEAK_RESERVE_DB",
    "SENTENCES",
    "check_gain_is_enough",
    "check_lowest_gain",
    "check_set_too_low",
    "planned_gain_db",
]

PEAK_RESERVE_DB: Final = 6.0  # headroom on peaks that is fine, common practice
SHARED_MAKEUP_DB: Final = 6.0  # what masters can lend one weak source, common practice
SET_TOO_LOW_DB: Final = 12.0  # a gain this far under its place costs audible noise, common practice

SENTENCES: Final = {
    "enough.too-low": {
        Severity.FAILS: "{input} gets {level}; it needs {needed} of gain to reach {zero} and has "
        "{high}. Even with the fader up, {still} are missing.",
        Severity.CARE: "{input} gets {level}; it needs {needed} of gain to reach {zero} and has "
        "{high}: {how}.",
        Severity.FINE: "{input} gets {level}; {needed} of gain bring it to {zero}: {knob}.",
    },
    "enough.too-high": {
        Severity.FAILS: "{input} gets peaks of {peak}; even at its lowest gain they pass the "
        "ceiling of {stage} by {apart}.",
        Severity.CARE: "{input} gets peaks of {peak}; at its lowest gain {apart} are left below "
        "the ceiling of {stage}.",
        Severity.FINE: "{input} gets peaks of {peak}; at its lowest gain {apart} are left.",
    },
    "enough.set-too-low": {
        Severity.CARE: "The gain of {input} stands at {now}; {planned} is its place. What is made "
        "up later brings up noise.",
    },
}


def _db(value: float) -> str:
    return format_level(abs(value), "dB")


def planned_gain_db(strip: Strip) -> float:
    """Gain from the port to the meter: nominal at its zero, but peaks keep their reserve."""
    room = min((spare for _, spare, _ in strip.ceilings), default=strip.needed_db)
    if strip.ceilings:
        room += strip.low_db - PEAK_RESERVE_DB - strip.peak_db
    return min(max(min(strip.needed_db, room), strip.low_db), strip.high_db)


def _where_the_knob_goes(solution: Solution, strip: Strip) -> str:
    if strip.gain_control is None:
        return f"the fader stands at {format_level(strip.needed_db - strip.fixed_db, 'dB')}"
    control = solution.rig.controls[strip.gain_control]
    setting = strip.setting_for(min(strip.needed_db, strip.high_db))
    scale = SCALES[control.scale]
    travel = scale.travel(setting, low_db=control.low, high_db=control.high)
    return f"{control.label} at {position_words(scale, travel)}"


def check_gain_is_enough(solution: Solution) -> Iterator[Finding]:
    """Inputs with a meter: can the gain there bring the nominal level to its zero?

    Fine while the control stays within 90 % of its travel, care to its end and on the fader,
    fails beyond that by more than 6 dB.
    """
    for strip in strips(solution):
        reach_db = strip.high_db + strip.makeup_db + SHARED_MAKEUP_DB
        state = LimitState(reach_db - strip.needed_db, "dB", _level_doubts(solution, strip, +1.0))
        severity = Severity.CARE
        before = controls_with_room(solution, solution.number(strip.entry.at))
        if state.margin + sum(before.values()) < -ROUNDING:
            severity = Severity.FAILS
        elif strip.needed_db <= strip.comfortable_db + ROUNDING:
            severity = Severity.FINE
        yield _enough(solution, strip, state, severity)


def _turned_up_before(solution: Solution, strip: Strip) -> str | None:
    """What to turn up before the input, where that alone brings enough."""
    before = controls_with_room(solution, solution.number(strip.entry.at))
    lacking = strip.needed_db - strip.high_db - strip.makeup_db
    if lacking <= ROUNDING or sum(before.values()) < lacking - SHARED_MAKEUP_DB:
        return None
    names = [control_label(solution.rig, each) for each, room in before.items() if room > ROUNDING]
    return f"turn up {' and '.join(names)} first, by {_db(lacking)} at least"


class _level_doubts:  # noqa: N801 - a function that remembers what it was asked
    """Doubts of the level at a strip's port, worked out when they are asked for."""

    def __init__(
        self, solution: Solution, strip: Strip, slope: float, *, peak: bool = False
    ) -> None:
        self.solution, self.strip, self.slope, self.peak = solution, strip, slope, peak

    def __call__(self) -> Iterator[Doubt]:
        row = self.solution.number(self.strip.entry.at)
        yield from doubts_of_level(self.solution, row, slope=self.slope, peak=self.peak)
        if self.peak:
            point = min(self.strip.ceilings, key=lambda each: each[1])[2]
            if point.ceiling_figure is not None:
                yield Doubt(
                    f"ceiling of {point.label}", "fact", point.ceiling_figure, +1.0, is_level=True
                )


def _enough(solution: Solution, strip: Strip, state: LimitState, severity: Severity) -> Finding:
    words = {
        "input": solution.rig.ports[strip.port].label,
        "level": format_level(strip.nominal_db, "dBu"),
        "needed": format_level(strip.needed_db, "dB"),
        "zero": format_level(strip.zero_db, "dBu"),
        "high": _gain_at_most(strip),
        "still": _db(strip.needed_db - strip.high_db - strip.makeup_db),
        "how": _how_it_is_made_up(solution, strip),
        "knob": _where_the_knob_goes(solution, strip),
    }
    return Finding(
        code="enough.too-low",
        severity=severity,
        where=strip.port,
        what=SENTENCES["enough.too-low"][severity].format(**words),
        why=(
            Compared("gain needed to the meter's zero", strip.needed_db, strip.high_db, "dB"),
            Compared("level at the input", strip.nominal_db, strip.zero_db, "dBu"),
        ),
        state=state,
        source="gain at hand, the fader behind it and 6 dB of the masters, against the gain needed",
        basis="common practice",
        ports=(strip.port,),
    )


def _gain_at_most(strip: Strip) -> str:
    return "none" if strip.gain_control is None else f"{format_level(strip.high_db, 'dB')} at most"


def _how_it_is_made_up(solution: Solution, strip: Strip) -> str:
    lacking = strip.needed_db - strip.high_db
    before = _turned_up_before(solution, strip)
    if before is not None:
        return before
    if lacking > ROUNDING:
        return f"{_db(lacking)} are missing, which the fader makes up"
    return f"{_where_the_knob_goes(solution, strip)}, near its end"


def check_lowest_gain(solution: Solution) -> Iterator[Finding]:
    """Inputs with a meter: do peaks pass at the lowest gain?"""
    for strip in strips(solution):
        if not strip.ceilings:
            continue
        _, ceiling_db, point = min(strip.ceilings, key=lambda each: each[1])
        state = LimitState(
            ceiling_db - strip.peak_db, "dB", _level_doubts(solution, strip, -1.0, peak=True)
        )
        severity = state.severity(ample=PEAK_RESERVE_DB)
        sentence = SENTENCES["enough.too-high"][severity]
        yield Finding(
            code="enough.too-high",
            severity=severity,
            where=strip.port,
            what=sentence.format(
                input=solution.rig.ports[strip.port].label,
                peak=format_level(strip.peak_db, "dBu"),
                stage=point.label,
                apart=_db(state.margin),
            ),
            why=(Compared("peaks, at lowest gain", strip.peak_db, ceiling_db, "dBu"),),
            state=state,
            source="peaks at the input, against the ceiling of the first stage at lowest gain",
            basis="common practice",
            ports=(strip.port,),
        )


def check_set_too_low(solution: Solution) -> Iterator[Finding]:
    """Gain controls that are set in the show, far below their place."""
    for strip in strips(solution):
        control = strip.gain_control
        if control is None or control not in solution.rig.settings:
            continue
        planned_db = planned_gain_db(strip)
        if planned_db - strip.now_db > SET_TOO_LOW_DB:
            yield _set_too_low(solution, strip, control, planned_db)


def _set_too_low(solution: Solution, strip: Strip, control: str, planned_db: float) -> Finding:
    plan = solution.rig.controls[control]
    state = LimitState(
        SET_TOO_LOW_DB - (planned_db - strip.now_db), "dB", _level_doubts(solution, strip, +1.0)
    )
    return Finding(
        code="enough.set-too-low",
        severity=Severity.CARE,
        where=control,
        what=SENTENCES["enough.set-too-low"][Severity.CARE].format(
            input=solution.rig.ports[strip.port].label,
            now=setting_text(solution.rig.setting_db(control), plan),
            planned=setting_text(round(strip.setting_for(planned_db)), plan),
        ),
        why=(Compared("gain to the meter", strip.now_db, planned_db, "dB"),),
        state=state,
        source="gain as set, against the gain that brings nominal to the meter's zero",
        basis="common practice",
        ports=(strip.port,),
    )
