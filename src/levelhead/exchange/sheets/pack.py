"""All sheets that there are, by name, and the pack of them for one show."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from levelhead.errors import PaperError
from levelhead.exchange.paperwork.work import Paperwork
from levelhead.exchange.sheet.label_grid import grid_for
from levelhead.exchange.sheet.plan import SheetPlan, filled
from levelhead.exchange.sheet.values import Sheet
from levelhead.exchange.sheets.air import DELAYS, DOSES, FEEDBACK, SEATS_MAP
from levelhead.exchange.sheets.cable_list import CABLE_LIST
from levelhead.exchange.sheets.flow import FLOW
from levelhead.exchange.sheets.gains import GAINS
from levelhead.exchange.sheets.input_list import INPUT_LIST
from levelhead.exchange.sheets.labels import CABLE_LABELS, CHANNEL_LABELS
from levelhead.exchange.sheets.levels import LEVELS
from levelhead.exchange.sheets.limiters import LIMITERS
from levelhead.exchange.sheets.line_check import LINE_CHECK
from levelhead.exchange.sheets.open_points import OPEN_FINDINGS, VENUE_QUESTIONS
from levelhead.exchange.sheets.output_list import OUTPUT_LIST
from levelhead.exchange.sheets.packing_list import PACKING_LIST
from levelhead.exchange.sheets.patch import PATCH
from levelhead.exchange.sheets.sound_check import SOUND_CHECK
from levelhead.exchange.sheets.stage import STAGE
from levelhead.exchange.sheets.start_up import START_UP
from levelhead.exchange.sheets.wiring import WIRING
from levelhead.gear.book import GearBook
from levelhead.gear.names import did_you_mean
from levelhead.planning.check import Check, check_show
from levelhead.planning.remedy.offers import Progress
from levelhead.planning.trial import try_show
from levelhead.rig.build import Locator
from levelhead.show.model import Show

__all__ = ["PLANS", "USUAL", "check_for", "paper_pack"]

PLANS: Final[dict[str, SheetPlan]] = {
    plan.name: plan
    for plan in (
        INPUT_LIST,
        OUTPUT_LIST,
        PATCH,
        CABLE_LIST,
        PACKING_LIST,
        START_UP,
        OPEN_FINDINGS,
        VENUE_QUESTIONS,
        CABLE_LABELS,
        CHANNEL_LABELS,
        GAINS,
        SOUND_CHECK,
        LINE_CHECK,
        LIMITERS,
        FLOW,
        WIRING,
        LEVELS,
        STAGE,
        SEATS_MAP,
        FEEDBACK,
        DELAYS,
        DOSES,
    )
}
USUAL: Final = tuple(
    name for name, plan in PLANS.items() if not plan.is_label and not plan.is_on_request
)
"""Sheets of a pack when nobody names any: all but labels, which go on paper of their own, and those
that are asked for by name."""


def check_for(
    names: Sequence[str],
    show: Show,
    book: GearBook,
    locator: Locator | None = None,
    told: Progress | None = None,
) -> Check:
    """A show checked as far as sheets need it: remedies are tried only where one tells them."""
    if any(name in PLANS and PLANS[name].has_trials for name in names):
        return check_show(show, book, locator, told=told)
    trial = try_show(show, book, locator)
    return Check(trial.judgement.verdict, trial.judgement.findings, (), trial)


def paper_pack(
    check: Check,
    names: Sequence[str] = USUAL,
    *,
    page: str = "a4",
    grid: str | None = None,
    paths: Sequence[str] = (),
) -> tuple[Sheet, ...]:
    """Sheets of a checked show, in the order named.

    Parameters
    ----------
    page, grid
        Paper size, and the grid of label sheets; the usual one of the size if left out.
    paths
        Addresses that the ways of level diagrams have to pass; the tightest ways if left out.

    Raises
    ------
    PaperError
        There is no sheet, or no grid, of that name.
    """
    unknown = [name for name in names if name not in PLANS]
    if unknown:
        raise PaperError(
            f"no sheet '{unknown[0]}'",
            where="--sheet",
            expected=f"one of {', '.join(PLANS)}",
            remedy=did_you_mean(unknown[0], PLANS) or "Without --sheet the usual ones are printed.",
        )
    work = Paperwork(check, tuple(paths))
    return tuple(
        replace(sheet, grid=grid_for(page, grid)) if PLANS[name].is_label else sheet
        for name in names
        for sheet in (filled(PLANS[name], work),)
    )
