"""Inserts: does what is sent out of a channel come back into it, and how the plug stands.

Which contact sends stands on no panel. Where nobody has said so the rig is solved both ways.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Final

from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.chain.upstream import part_leading_to
from levelhead.chain.wired.lanes import Lane, lanes
from levelhead.errors import LevelheadError
from levelhead.gear.plan import StagePlan
from levelhead.quantity.formatting import format_level
from levelhead.rig.build import build_rig
from levelhead.rig.model import Rig, RigPort
from levelhead.show.edits import Set, apply
from levelhead.verdicts.explain import PRACTICE, Explained, Threshold
from levelhead.verdicts.loading.joined import JOINED_SHARE, joined_currents
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import ROUNDING, LimitState
from levelhead.verdicts.told.words import other_ends

__all__ = [
    "EXPLAINED",
    "HALF_IN",
    "INSERT",
    "RETURNS_WITHIN_DB",
    "SENTENCES",
    "SWAPPED",
    "check_half_in",
    "check_inserts_return",
]

INSERT, SWAPPED, HALF_IN = "wiring.insert", "wiring.insert-swapped", "wiring.half-in"
RETURNS_WITHIN_DB: Final = 40.0  # what is further down is a leak, common practice
_POSITIONS: Final[Mapping[str, str]] = {"tip-send": "tip", "ring-send": "ring"}
_OTHER: Final[Mapping[str, str]] = {"tip-send": "ring-send", "ring-send": "tip-send"}
_LEAST: Final = 1e-9  # 180 dB down: nothing
_IF_SO: Final = (
    " That is so if the {contact} sends, as mostly; nobody has said so. If the other contact "
    "sends, they are right: try it."
)

SENTENCES: Final[Mapping[str, Mapping[Severity, str]]] = {
    INSERT: {
        Severity.FAILS: "The plug in {insert} opens the channel and nothing comes back: behind it "
        "the channel is silent.",
        Severity.CARE: "Nobody knows which contact of {insert} sends, and on this lead it matters: "
        "if it is the {well} the signal comes back, if it is the {ill} the channel is silent. "
        "Try it; if it is silent, swap the two small plugs.",
        Severity.FINE: "What {insert} sends comes back, less {loss}.",
    },
    SWAPPED: {
        Severity.FAILS: "The two small plugs of the lead in {insert} stand in each other's "
        "sockets: its send meets {output}, its return {input}, and the channel is silent."
        "{unknown}",
    },
    HALF_IN: {
        Severity.CARE: "The plug in {socket} stands at its first click: what it opens stays "
        "closed. It works while nobody touches the plug.",
    },
}


# --- what comes back ---


@dataclass(frozen=True, slots=True)
class _Opened:
    """An insert into whose return a plug is pushed home, in the lane that it opens."""

    lane: Lane
    before: StagePlan
    back: str
    port: RigPort

    @property
    def control(self) -> str | None:
        """The switch that says on which contact it sends."""
        if self.port.plan.wiring is None:
            return None
        return self.lane.rig.control_of(self.port.item, self.port.block, self.port.plan.wiring)

    def lost_db(self, solution: Solution) -> float | None:
        """What comes back against what is sent; ``None`` where nothing is sent. [dB]"""
        before = self.lane.point_of(self.before)
        if not {before, self.back} <= solution.graph.index.keys():
            return None
        sent, back = (solution.nominal[solution.number(each)] for each in (before, self.back))
        return float(20 * math.log10(sent / max(back, sent * _LEAST))) if sent > 0 else None


def check_inserts_return(reading: Reading) -> Iterator[Finding]:
    """Inserts with a plug pushed home: does what they send come back?"""
    turned: dict[str, _Otherwise | None] = {}
    for opened in _opened(reading):
        lost_db = opened.lost_db(reading.solution)
        if lost_db is None:
            continue
        control, other_db = opened.control, lost_db
        if control is not None and control in reading.rig.unknowns:
            if control not in turned:
                turned[control] = _Otherwise.of(reading, control)
            otherwise = turned[control]
            found_db = None if otherwise is None else otherwise.lost_db(opened)
            other_db = lost_db if found_db is None else found_db
        met = _met_by_send(reading, opened) if lost_db > RETURNS_WITHIN_DB else None
        if met is None:
            yield _judge(reading, opened, lost_db, other_db)
        else:
            yield _swapped(reading, opened, (lost_db, other_db), met)


def _opened(reading: Reading) -> Iterator[_Opened]:
    for lane in lanes(reading.rig):
        for number, stage in enumerate(lane.path.stages):
            if stage.insert is not None and number:
                port = reading.rig.ports[lane.port_of(stage.insert.back)]
                if port.sibling(port.plan.hole) in reading.rig.pushed:
                    back = lane.sensed_at(stage.insert.back)
                    yield _Opened(lane, lane.path.stages[number - 1], back, port)


@dataclass(frozen=True)
class _Otherwise:
    """The same rig with the other contact sending."""

    reading: Reading
    rig: Rig

    @classmethod
    def of(cls, reading: Reading, control: str) -> _Otherwise | None:
        """With a switch at its other position; ``None`` where that cannot be."""
        rig = reading.rig
        try:
            show, _ = apply(rig.show, [Set(control, _OTHER[str(rig.setting(control))])])
            return cls(reading, build_rig(show, rig.book, previous=rig))
        except LevelheadError:
            return None

    def lost_db(self, opened: _Opened) -> float | None:
        """What the insert costs then: told by what leads there, if that is little of the rig."""
        part = part_leading_to(self.rig, [opened.port.address])
        try:
            solution = self._whole if part is None else solve(part, self.reading.solution)
        except LevelheadError:
            return None
        return opened.lost_db(solution)

    @cached_property
    def _whole(self) -> Solution:
        return solve(self.rig, self.reading.solution)


def _judge(reading: Reading, opened: _Opened, lost_db: float, other_db: float) -> Finding:
    limit_db = RETURNS_WITHIN_DB
    is_well, is_other_well = (each <= limit_db + ROUNDING for each in (lost_db, other_db))
    severity = Severity.FINE if is_well and is_other_well else Severity.CARE
    if not is_well and not is_other_well:
        severity = Severity.FAILS
    position = "" if opened.control is None else str(reading.rig.setting(opened.control))
    contacts = [_POSITIONS.get(position, "tip"), _POSITIONS[_OTHER.get(position, "ring-send")]]
    well, ill = contacts if is_well else contacts[::-1]
    words = {
        "insert": opened.port.label,
        "loss": format_level(max(lost_db, 0.0), "dB"),
        "well": well,
        "ill": ill,
    }
    return Finding(
        code=INSERT,
        severity=severity,
        where=opened.port.address,
        what=SENTENCES[INSERT][severity].format(**words),
        why=_costs(lost_db, other_db),
        state=LimitState(limit_db - max(lost_db, other_db), "dB"),
        source="level at the return of the insert, against that of the stage before it",
        basis=PRACTICE,
        ports=(opened.port.address, *other_ends(reading.rig, opened.port.address)),
    )


def _costs(lost_db: float, other_db: float) -> tuple[Compared, ...]:
    """What an insert costs, and what it would if the other contact sent."""
    limit_db = RETURNS_WITHIN_DB
    own = Compared("level that the insert costs", lost_db, limit_db, "dB")
    if other_db == lost_db:
        return (own,)
    return own, Compared("level that it costs if the other sends", other_db, limit_db, "dB")


# --- small plugs in each other's sockets ---


def _met_by_send(reading: Reading, opened: _Opened) -> tuple[RigPort, RigPort] | None:
    """The output that drives through the send of an insert, and the input on its return."""
    rig, insert = reading.rig, opened.port.address
    joined = {
        each.output[0]
        for each in joined_currents(reading)
        if each.other[0] == insert and each.others_a >= JOINED_SHARE * each.limit_a
    }
    ends = [rig.ports[each] for each in other_ends(rig, insert)]
    outputs = [each for each in ends if each.address in joined]
    inputs = [each for each in ends if each.plan.role == "in"]
    return (outputs[0], inputs[0]) if outputs and inputs else None


def _swapped(
    reading: Reading,
    opened: _Opened,
    lost: tuple[float, float],
    met: tuple[RigPort, RigPort],
) -> Finding:
    (output, taking), (lost_db, other_db) = met, lost
    position = "" if opened.control is None else str(reading.rig.setting(opened.control))
    unknown = "" if other_db == lost_db else _IF_SO.format(contact=_POSITIONS.get(position, "tip"))
    words = {
        "insert": opened.port.label,
        "output": output.label,
        "input": taking.label,
        "unknown": unknown,
    }
    return Finding(
        code=SWAPPED,
        severity=Severity.FAILS,
        where=opened.port.address,
        what=SENTENCES[SWAPPED][Severity.FAILS].format(**words),
        why=_costs(lost_db, other_db),
        state=LimitState(RETURNS_WITHIN_DB - lost_db, "dB"),
        source="outputs on the wire of the send, and level at the return of the insert",
        basis=PRACTICE,
        ports=(opened.port.address, *other_ends(reading.rig, opened.port.address)),
    )


# --- plugs that stand half in ---


def check_half_in(reading: Reading) -> Iterator[Finding]:
    """Jacks that stand at their first click."""
    for link in reading.rig.links:
        if link.half is not None:
            words = {"socket": reading.rig.ports[link.half].label}
            yield Finding(
                code=HALF_IN,
                severity=Severity.CARE,
                where=link.half,
                what=SENTENCES[HALF_IN][Severity.CARE].format(**words),
                why=(Compared("plugs pushed home", 0.0, 1.0, ""),),
                source="how far the plug is said to be in",
                basis=PRACTICE,
                ports=link.ports,
            )


EXPLAINED: Final = (
    Explained(
        INSERT,
        "Level that comes back into a channel at an insert with a plug pushed home, against what "
        "the channel sends. Where nobody said which contact sends, both ways.",
        (Threshold("level lost beyond which nothing returns", RETURNS_WITHIN_DB, "dB", PRACTICE),),
    ),
    Explained(
        SWAPPED,
        "An insert that nothing comes back to, whose send drives on the wire of another output "
        "while its return hangs on an input: the small plugs have changed places. What follows "
        "(outputs joined, an input that gets nothing, who is not heard) is not told besides.",
        (Threshold("level lost beyond which nothing returns", RETURNS_WITHIN_DB, "dB", PRACTICE),),
    ),
    Explained(HALF_IN, "Jacks that are said to stand at their first click: each is care."),
)
