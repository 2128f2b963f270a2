"""Digital volumes below full: they stand before the noise of their converter, which stays."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from levelhead.chain.solution import Solution
from levelhead.quantity.formatting import format_level
from levelhead.rig.settings import setting_text
from levelhead.verdicts.finding import Compared, Finding
from levelhead.verdicts.limit_state import ROUNDING, LimitState
from levelhead.verdicts.severity import Severity

__all__ = ["QUIET_ENOUGH_DB", "SENTENCES", "check_volume", "digital_volumes", "electrical_end"]

QUIET_ENOUGH_DB: Final = 60.0  # signal over A-weighted noise that nobody minds, common practice
SENTENCES: Final = {
    Severity.CARE: "{volume} stands at {now}: {snr} of signal over noise at {end} where {full} is "
    "to be had. Turn it up and the next gain down.",
    Severity.FINE: "{volume} stands at {now}, which costs {lost} of signal over noise at {end} "
    "({snr} left).",
}


def digital_volumes(solution: Solution) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Controls that set a digital level, each with the first way that runs through it."""
    found: dict[str, tuple[str, ...]] = {}
    for path in solution.paths:
        for address in path:
            point = solution.point(address)
            if point.unit == "FS" and point.control is not None:
                found.setdefault(point.control, path)
    yield from found.items()


def electrical_end(solution: Solution, path: tuple[str, ...]) -> str:
    """The last point of a way in volts: an output, else the last stage before the air."""
    return next(each for each in reversed(path) if solution.point(each).unit == "V")


def check_volume(solution: Solution) -> Iterator[Finding]:
    """Digital volumes that are turned down: what that costs in signal over noise at the end."""
    for control, path in digital_volumes(solution):
        lost_db = solution.rig.controls[control].high - solution.rig.setting_db(control)
        if lost_db > ROUNDING and control not in solution.rig.show.locks:
            yield from _judge(solution, control, path, lost_db)


def _judge(
    solution: Solution, control: str, path: tuple[str, ...], lost_db: float
) -> Iterator[Finding]:
    end = electrical_end(solution, path)
    snr_db = solution.levels(end).signal_over_noise
    if snr_db is None:
        return
    state = LimitState(snr_db - QUIET_ENOUGH_DB, "dB")
    severity = Severity.FINE if state.margin >= -ROUNDING else Severity.CARE
    plan = solution.rig.controls[control]
    yield Finding(
        code="enough.volume-down",
        severity=severity,
        where=control,
        what=SENTENCES[severity].format(
            volume=f"{solution.rig.items[control.partition('.')[0]].label}, {plan.label}",
            now=setting_text(solution.rig.setting_db(control), plan),
            snr=format_level(snr_db, "dB"),
            full=format_level(snr_db + lost_db, "dB"),
            lost=format_level(lost_db, "dB"),
            end=solution.point(end).label,
        ),
        why=(Compared("signal over A-weighted noise", snr_db, QUIET_ENOUGH_DB, "dB"),),
        state=state,
        source="signal falls with a digital volume, the noise of the converter behind it does not",
        basis="common practice",
    )
