"""Enough or too much: does the gain at hand bring each source to its meter, and what clips first?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from levelhead.chain.solution import Solution
from levelhead.gear.scales import SCALES, position_words
from levelhead.quantity.formatting import format_level
from levelhead.rig.settings import setting_text
from levelhead.verdicts.doubts import doubts_of_level, strongest_way
from levelhead.verdicts.finding import Compared, Finding, Severity
from levelhead.verdicts.limit_state import Doubt, LimitState
from levelhead.verdicts.strips import Strip, strips

__all__ = [
    "PEAK_RESERVE_DB",
    "SENTENCES",
    "check_clipping_as_set",
    "check_gain_is_enough",
    "check_lowest_gain",
    "check_set_too_low",
    "check_volume",
    "planned_gain_db",
]

PEAK_RESERVE_DB: Final = 6.0  # headroom on peaks that is fine, common practice
SHARED_MAKEUP_DB: Final = (
    6.0  # what masters can lend one weak source before the desk stands upside down, common practice
)
SET_TOO_LOW_DB: Final = (
    12.0  # a gain this far under its place costs noise that people act on, common practice
)
QUIET_ENOUGH_DB: Final = (
    60.0  # signal above A-weighted noise that nobody complains of, common practice
)
_ROUNDING_DB: Final = 0.05

SENTENCES: Final = {
    "enough.too-low": {
        Severity.FAILS: "{input} gets {level}; it needs {needed} of gain to reach {zero} and has {high}. Even with the fader up, {still} are missing.",
        Severity.CARE: "{input} gets {level}; it needs {needed} of gain to reach {zero} and has {high}: {how}.",
        Severity.FINE: "{input} gets {level}; {needed} of gain bring it to {zero}: {where}.",
    },
    "enough.too-high": {
        Severity.FAILS: "{input} gets peaks of {peak}; even at its lowest gain they pass the ceiling of {stage} by {over}.",
        Severity.CARE: "{input} gets peaks of {peak}; at its lowest gain {spare} are left below the ceiling of {stage}.",
        Severity.FINE: "{input} gets peaks of {peak}; at its lowest gain {spare} are left.",
    },
    "enough.clips-as-set": {
        Severity.FAILS: "{stage} clips: peaks of {peak} pass its ceiling of {ceiling} by {over}, and nothing before it can be turned down that far.",
        Severity.CARE: "{stage} clips as it is set: peaks of {peak} pass its ceiling of {ceiling} by {over}. It holds once something before it is turned down.",
    },
    "enough.set-too-low": {
        Severity.CARE: "The gain of {input} stands at {now}; {planned} is its place. What is made up later brings up noise.",
    },
    "enough.volume-down": {
        Severity.CARE: "{control} stands at {now}: {snr} of signal over noise at {end} where {full} is to be had. Turn it up and the next gain down.",
        Severity.FINE: "{control} stands at {now}, which costs {lost} of signal over noise at {end} ({snr} left).",
    },
}  # fmt: skip


def _db(value: float) -> str:
    return format_level(abs(value), "dB")


def planned_gain_db(strip: Strip) -> float:
    """Gain from the port to the meter: nominal at the meter's zero, but peaks keep their reserve."""
    peak = strip.entry.peak if strip.entry.peak is not None else strip.entry.nominal
    assert peak is not None
    room = min(
        (spare + strip.low_db - PEAK_RESERVE_DB - peak for _, spare, _ in strip.ceilings),
        default=strip.needed_db,
    )
    return min(max(min(strip.needed_db, room), strip.low_db), strip.high_db)


def _where_the_knob_goes(solution: Solution, strip: Strip) -> str:
    if strip.gain_control is None:
        fader = strip.needed_db - strip.fixed_db
        return f"the fader stands at {format_level(fader, 'dB')}"
    control = solution.rig.controls[strip.gain_control]
    setting = strip.setting_for(min(strip.needed_db, strip.high_db))
    travel = SCALES[control.scale].travel(setting, low_db=control.low, high_db=control.high)
    return f"{control.label} at {position_words(SCALES[control.scale], travel)}"


def check_gain_is_enough(solution: Solution) -> Iterator[Finding]:
    """Inputs with a meter: can the gain there bring the nominal level to its zero?

    Fine while the control stays within 90 % of its travel, care to its end and on the fader,
    fails beyond that by more than 6 dB.
    """
    for strip in strips(solution):
        reach_db = strip.high_db + strip.makeup_db + SHARED_MAKEUP_DB
        row = solution.number(strip.entry.at)
        state = LimitState(
            reach_db - strip.needed_db, "dB", doubts_of_level(solution, row, slope=+1.0)
        )
        if state.margin < -_ROUNDING_DB:
            severity = Severity.FAILS
        elif strip.needed_db <= strip.comfortable_db + _ROUNDING_DB:
            severity = Severity.FINE
        else:
            severity = Severity.CARE
        yield _enough(solution, strip, state, severity)


def _enough(solution: Solution, strip: Strip, state: LimitState, severity: Severity) -> Finding:
    assert strip.entry.nominal is not None
    lacking = strip.needed_db - strip.high_db
    how = (
        f"{_db(lacking)} are missing, which the fader makes up"
        if lacking > _ROUNDING_DB
        else f"{_where_the_knob_goes(solution, strip)}, near its end"
    )
    words = {
        "input": solution.rig.ports[strip.port].label,
        "level": format_level(strip.entry.nominal, "dBu"),
        "needed": format_level(strip.needed_db, "dB"),
        "zero": format_level(strip.zero_db, "dBu"),
        "high": "none"
        if strip.gain_control is None
        else f"{format_level(strip.high_db, 'dB')} at most",
        "still": _db(lacking - strip.makeup_db),
        "how": how,
        "where": _where_the_knob_goes(solution, strip),
    }
    return Finding(
        code="enough.too-low",
        severity=severity,
        where=strip.port,
        what=SENTENCES["enough.too-low"][severity].format(**words),
        why=(
            Compared("gain needed to the meter's zero", strip.needed_db, strip.high_db, "dB"),
            Compared("level at the input", strip.entry.nominal, strip.zero_db, "dBu"),
        ),
        margin=state.margin,
        margin_unit="dB",
        p_holds=state.p_holds,
        flips=state.flips()
        if severity is not Severity.FINE or state.margin < PEAK_RESERVE_DB
        else (),
        settle_by=state.settle_by() if severity is not Severity.FINE else None,
        source="gain at hand, the fader behind it and 6 dB of the masters, against the gain needed",
        basis="common practice",
        ports=(strip.port,),
    )


def check_lowest_gain(solution: Solution) -> Iterator[Finding]:
    """Inputs with a meter: do peaks pass at the lowest gain?"""
    for strip in strips(solution):
        if strip.entry.peak is None or not strip.ceilings:
            continue
        address, ceiling_db, point = min(strip.ceilings, key=lambda each: each[1])
        row = solution.number(strip.entry.at)
        doubts = list(doubts_of_level(solution, row, slope=-1.0, peak=True))
        if point.ceiling_figure is not None:
            doubts.append(Doubt(f"{address}, ceiling", "fact", point.ceiling_figure, +1.0))
        state = LimitState(ceiling_db - strip.entry.peak, "dB", tuple(doubts))
        severity = state.severity(ample=PEAK_RESERVE_DB)
        words = {
            "input": solution.rig.ports[strip.port].label,
            "peak": format_level(strip.entry.peak, "dBu"),
            "stage": address,
            "over": _db(state.margin),
            "spare": _db(state.margin),
        }
        yield Finding(
            code="enough.too-high",
            severity=severity,
            where=strip.port,
            what=SENTENCES["enough.too-high"][severity].format(**words),
            why=(
                Compared(
                    "peaks, against the ceiling at lowest gain", strip.entry.peak, ceiling_db, "dBu"
                ),
            ),
            margin=state.margin,
            margin_unit="dB",
            p_holds=state.p_holds,
            flips=state.flips() if severity is not Severity.FINE else (),
            settle_by=state.settle_by() if severity is not Severity.FINE else None,
            source="peaks at the input, against the ceiling of the first stage at lowest gain",
            basis="common practice",
            ports=(strip.port,),
        )


def check_clipping_as_set(solution: Solution) -> Iterator[Finding]:
    """Points whose peaks pass their ceiling as everything stands; the first of each way is named."""
    named: set[str] = set()
    for path in solution.paths:
        for address in path:
            levels = solution.levels(address)
            if levels.headroom is not None and levels.headroom < -_ROUNDING_DB:
                if address not in named and address not in solution.rig.ports:
                    named.add(address)
                    yield _clips(solution, address)
                break


def _clips(solution: Solution, address: str) -> Finding:
    levels = solution.levels(address)
    assert levels.headroom is not None
    assert levels.peak is not None
    assert levels.ceiling is not None
    row = solution.number(address)
    point = solution.graph.points[row]
    doubts = list(doubts_of_level(solution, row, slope=-1.0, peak=True))
    if point.ceiling_figure is not None:
        doubts.append(Doubt(f"{address}, ceiling", "fact", point.ceiling_figure, +1.0))
    state = LimitState(levels.headroom, "dB", tuple(doubts))
    severity = Severity.CARE if _room_down_db(solution, row) > -state.margin else Severity.FAILS
    words = {
        "stage": address,
        "peak": format_level(levels.peak, levels.unit),
        "ceiling": format_level(levels.ceiling, levels.unit),
        "over": _db(state.margin),
    }
    return Finding(
        code="enough.clips-as-set",
        severity=severity,
        where=address,
        what=SENTENCES["enough.clips-as-set"][severity].format(**words),
        why=(Compared("peaks", levels.peak, levels.ceiling, levels.unit),),
        margin=state.margin,
        margin_unit="dB",
        p_holds=state.p_holds,
        flips=state.flips(),
        settle_by=state.settle_by(),
        source="peaks at the stage, against its ceiling, as set",
        basis="common practice",
        ports=(),
    )


def _room_down_db(solution: Solution, point: int) -> float:
    """How far the controls before a point, on its strongest way, can still be turned down."""
    way, _ = strongest_way(solution, point)
    room = 0.0
    for edge in way:
        if edge.control is not None and edge.control not in solution.rig.show.locks:
            plan = solution.rig.controls[edge.control]
            if plan.kind == "range":
                room += solution.rig.setting_db(edge.control) - max(plan.low, -60.0)
    return room


def check_set_too_low(solution: Solution) -> Iterator[Finding]:
    """Gain controls that are set in the show, far below their place."""
    for strip in strips(solution):
        if strip.gain_control is None or strip.gain_control not in solution.rig.settings:
            continue
        lacking = planned_gain_db(strip) - strip.now_db
        if lacking <= SET_TOO_LOW_DB:
            continue
        control = solution.rig.controls[strip.gain_control]
        planned = setting_text(round(strip.setting_for(planned_gain_db(strip))), control)
        yield Finding(
            code="enough.set-too-low",
            severity=Severity.CARE,
            where=strip.gain_control,
            what=SENTENCES["enough.set-too-low"][Severity.CARE].format(
                input=solution.rig.ports[strip.port].label,
                now=setting_text(solution.rig.setting_db(strip.gain_control), control),
                planned=planned,
            ),
            why=(Compared("gain to the meter", strip.now_db, planned_gain_db(strip), "dB"),),
            margin=SET_TOO_LOW_DB - lacking,
            margin_unit="dB",
            p_holds=0.5,
            source="gain as set, against the gain that brings nominal to the meter's zero",
            basis="common practice",
            ports=(strip.port,),
        )


def check_volume(solution: Solution) -> Iterator[Finding]:
    """Digital volumes that stand below full: what that costs in signal over noise where it ends.

    The volume stands before the noise of its analogue output, so the signal falls and the noise stays.
    """
    judged: set[str] = set()
    for path in solution.paths:
        for address in path:
            point = solution.graph.points[solution.graph.index[address]]
            if point.unit != "FS" or point.stage is None or point.stage.control is None:
                continue
            item, block = solution.rig.items[point.item], point.block
            assert block is not None
            control = solution.rig.control_of(item, block, point.stage.control)
            if control not in judged and control not in solution.rig.show.locks:
                judged.add(control)
                yield from _volume(solution, control, path)


def desk_end(solution: Solution, path: tuple[str, ...]) -> str:
    """The last electrical point of a way: an output, else its last stage in volts."""
    return next(a for a in reversed(path) if solution.levels(a).unit == "dBu")


def _volume(solution: Solution, control: str, path: tuple[str, ...]) -> Iterator[Finding]:
    plan = solution.rig.controls[control]
    lost = plan.high - solution.rig.setting_db(control)
    end = desk_end(solution, path)
    levels = solution.levels(end)
    if lost <= _ROUNDING_DB or levels.nominal is None or levels.floor_a is None:
        return
    snr = levels.nominal - levels.floor_a
    severity = Severity.FINE if snr >= QUIET_ENOUGH_DB else Severity.CARE
    yield Finding(
        code="enough.volume-down",
        severity=severity,
        where=control,
        what=SENTENCES["enough.volume-down"][severity].format(
            control=control,
            now=setting_text(solution.rig.setting_db(control), plan),
            snr=_db(snr),
            full=_db(snr + lost),
            lost=_db(lost),
            end=end,
        ),
        why=(Compared("signal over A-weighted noise", snr, QUIET_ENOUGH_DB, "dB"),),
        margin=snr - QUIET_ENOUGH_DB,
        margin_unit="dB",
        p_holds=1.0 if severity is Severity.FINE else 0.5,
        source="signal falls with a digital volume, the noise of the converter behind it does not",
        basis="common practice",
        ports=(),
    )
