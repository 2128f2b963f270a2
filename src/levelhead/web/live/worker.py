"""What is computed apart from the pages, in a process of its own: one task at a time.

Every function here is a task for a pool of one worker. It keeps the last trial of each show, so
that the next one solves only what changed.
"""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Any, Final
from weakref import ref

from levelhead.chain.solve import solve
from levelhead.errors import LevelheadError
from levelhead.exchange.paperwork.crew_words import crew_words
from levelhead.exchange.paperwork.input_rows import InputRow, Rows
from levelhead.exchange.paperwork.work import Paperwork
from levelhead.exchange.rows.places import row_place
from levelhead.exchange.rows.verdicts import row_verdicts
from levelhead.gear.book import GearBook, load_book
from levelhead.planning.check import Check
from levelhead.planning.proposal.free_inputs import free_inputs
from levelhead.planning.proposal.joined import join
from levelhead.planning.proposal.proposals import Proposals
from levelhead.planning.proposal.propose import propose
from levelhead.planning.proposal.ways_out import ways_out
from levelhead.planning.remedy.offers import Offers
from levelhead.planning.remedy.tried import AsSet
from levelhead.planning.settle import Branch
from levelhead.planning.trial import Trial
from levelhead.planning.unjudged import notes_on
from levelhead.planning.unknowns import unknown_branches, verdict_with_unknowns
from levelhead.rig.build import build_rig
from levelhead.show.model import Show
from levelhead.verdicts.told.finding import Finding, Remedy
from levelhead.verdicts.told.severity import Severity
from levelhead.web.live.pool import OvertakenError, unless_overtaken

__all__ = [
    "check_of",
    "finding_id",
    "judge",
    "open_ends",
    "proposals",
    "remedies",
    "sockets",
    "solve_show",
    "trial_of",
    "warm_up",
    "ways_out_of",
]

Json = dict[str, Any]
_TRIALS: Final[dict[str, Trial]] = {}  # of this worker alone: the last of each show
_JUDGED: Final[dict[str, Trial]] = {}  # the last of each show that was judged


@dataclass(eq=False)
class _Mended:
    """What was found out of one trial beyond its verdicts: kept, since paper tells it too."""

    trial: Trial
    remedies: dict[int, tuple[Remedy, ...]] = field(default_factory=dict)  # by number in the list
    branches: tuple[Branch, ...] | None = None

    @cached_property
    def offers(self) -> Offers:
        """What is found for one finding is shared with those that are alike."""
        return Offers(self.trial, self.trial.judgement.worse_than_fine())


_MENDED: Final[dict[str, _Mended]] = {}


def warm_up(gear: str | None) -> int:
    """Bring in what the first task needs: the book, the solver."""
    return len(_book(gear).ids)


def _book(gear: str | None) -> GearBook:
    return load_book() if gear is None else load_book(Path(gear))


def solve_show(key: str, show: Show, gear: str | None) -> None:
    """Solve a show; what is the same as in its last state is not solved again."""
    before = _TRIALS.get(key)
    book = _book(gear)
    if before is None:
        _TRIALS[key] = Trial(show, book, solve(build_rig(show, book)))
        return
    rig = build_rig(show, book, previous=before.solution.rig)
    judged = _JUDGED.setdefault(key, before)  # what was found there is kept as far as it holds
    _TRIALS[key] = Trial(show, book, solve(rig, before.solution), ref(judged), judged.islands)


def trial_of(key: str) -> Trial:
    """The last trial of a show, for questions that have a module of their own."""
    return _TRIALS[key]


def judge(key: str) -> Json:
    """Verdict of the whole and of each row, and every finding worse than fine, worst first."""
    trial = _TRIALS[key]
    rows = Rows(trial.solution.rig).all()
    found = trial.judgement.worse_than_fine()
    _JUDGED[key] = trial
    verdicts = row_verdicts(rows, found)
    return {
        "verdict": trial.judgement.verdict.value,
        "notes": list(notes_on(trial.solution.rig)),
        "rows": {
            name: {"verdict": each.severity.value, "what": each.what}
            for name, each in verdicts.items()
        },
        "findings": [_finding(each, trial, rows) for each in found],
    }


def finding_id(finding: Finding) -> str:
    """What makes a finding the same in two states of a show."""
    return f"{finding.code}@{finding.where}"


def _finding(finding: Finding, trial: Trial, rows: Mapping[str, InputRow]) -> Json:
    """A finding in the crew's words; ``where`` stays the address."""
    content = finding.to_json()
    return {
        **content,
        **{name: content[name] and _said(trial, content[name]) for name in ("what", "settle_by")},
        "place": row_place(trial.solution.rig, rows, finding.where),
        "id": finding_id(finding),
        "ports": list(finding.ports),
        "remedies": None,
    }


def _mended(key: str) -> _Mended:
    trial, known = _TRIALS[key], _MENDED.get(key)
    if known is None or known.trial is not trial:
        known = _MENDED[key] = _Mended(trial)
    return known


def check_of(key: str) -> tuple[Check, int]:
    """The newest state with the ways out that were tried so far; how many findings have none yet.

    Which controls nobody knows that decide is found out where it is not known.
    """
    known = _mended(key)
    trial = known.trial
    branches = unknown_branches(trial) if known.branches is None else known.branches
    known.branches = branches
    worse = trial.judgement.worse_than_fine()
    of = {id(each): known.remedies.get(number, ()) for number, each in enumerate(worse)}
    found = [each.with_remedies(of.get(id(each), ())) for each in trial.judgement.findings]
    verdict = verdict_with_unknowns(trial.judgement.verdict, branches)
    untried = len(worse) - len(known.remedies)
    return Check(verdict, tuple(found), branches, trial), untried


def open_ends(key: str, turn: int | None = None) -> Json | None:
    """Controls that nobody knows and that decide, and the verdict with them.

    Given up between two positions, with ``None``, once a step or a question has come after
    ``turn``.
    """
    trial, known = _TRIALS[key], _mended(key)

    go_on = unless_overtaken(turn)
    try:
        branches = unknown_branches(trial, go_on) if known.branches is None else known.branches
    except OvertakenError:
        return None
    known.branches = branches
    return {
        "verdict": verdict_with_unknowns(trial.judgement.verdict, branches).value,
        "depends_on": [each.to_json() for each in branches],
    }


def _said(trial: Trial, text: str) -> str:
    """A sentence with the words that stand on the gear in place of addresses."""
    return crew_words(Paperwork(Check(Severity.FINE, (), (), trial)), text)


def remedies(key: str, number: int, turn: int | None = None) -> Json | None:
    """Remedies of one finding by its number in the list, each tried.

    Given up between two of them, with ``None``, once a step or a question has come after ``turn``.
    """
    trial = _TRIALS[key]
    finding = trial.judgement.worse_than_fine()[number]

    known = _mended(key)
    try:
        found = known.offers.of(finding, AsSet(unless_overtaken(turn)))
    except OvertakenError:
        return None
    known.remedies[number] = found
    told = [{**each.to_json(), "said": _said(trial, each.do)} for each in found]
    return {"id": finding_id(finding), "remedies": told}


def proposals(key: str, text: str, turn: int | None = None) -> Json | None:
    """How one more source joins the show.

    Given up between two sockets, with ``None``, once a step or a question has come after ``turn``.

    Raises
    ------
    LevelheadError
        The text means nothing that makes a sound.
    """
    try:
        return _short(propose(_TRIALS[key], text, go_on=unless_overtaken(turn)))
    except OvertakenError:
        return None


def _short(found: Proposals) -> Json:
    """Without the findings: a page shows the verdict and its reason."""
    content: Json = found.to_json()
    for proposal in (*content["proposals"], *(each["then"] for each in content["frees"])):
        proposal.pop("findings", None)
    return content


def sockets(key: str, output: str, text: str = "") -> list[Json]:
    """Every kind of socket that a row's plug may go into, judged on a copy, best first."""
    del text  # what is brought joins by "one more"
    trial = _TRIALS[key]
    rig = trial.solution.rig
    found = []
    for address in _kinds_of_inputs(trial, output):
        with suppress(LevelheadError):
            joined = join(trial, output, address)
            if joined is not None and joined.proposals:
                found.append({"address": address, **_short(joined)["proposals"][0]})
    order = [each.value for each in Severity]
    found.sort(key=lambda each: order.index(each["verdict"]))
    here = {end for link in rig.links_at.get(output, ()) for end in link.ports}
    return [{**each, "is_here": each["address"] in here} for each in found]


def ways_out_of(key: str, output: str, text: str) -> list[Json]:
    """Where an output may go, each way judged on a copy; with words, gear that is brought for it.

    Raises
    ------
    LevelheadError
        The words mean nothing that takes it.
    """
    return [each.to_json() for each in ways_out(_TRIALS[key], output, text)]


def _kinds_of_inputs(trial: Trial, output: str) -> list[str]:
    """Where it is plugged now, then the first free socket of each kind."""
    rig = trial.solution.rig
    link = trial.show.link_at(output)
    now = [end for end in (link.ends.values() if link else ()) if end != output]
    own = rig.ports[output].item.id
    free = [port.address for port in free_inputs(rig) if port.item.id != own]
    return list(dict.fromkeys([*now, *free]))
