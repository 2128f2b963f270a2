"""A gain plan as values: where each control goes, what binds it, and which goal gave way.

Levels of analogue points are dBu, of digital ones dBFS, of loudspeakers dB SPL at 1 m; gains and
distances are dB. ``planning.gains.make`` computes a plan; applying its edits is all that makes it
so.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final, Literal

from levelhead.planning.gains.planned.ends import EndLevel, MeterMark
from levelhead.planning.gains.planned.lineup import Lineup
from levelhead.planning.gains.planned.tenths import tenths
from levelhead.show.edits import Set

__all__ = [
    "GOALS",
    "Bind",
    "ControlKind",
    "GainPlan",
    "GoalName",
    "GoalResult",
    "Position",
]

ControlKind = Literal[
    "gain", "fader", "send", "attenuator", "trim", "volume", "transmitter", "switch"
]
"""What a control is: by the stage that it sets, and by the scale on its panel."""

GoalName = Literal["clipping", "loudness", "meters", "noise", "faders", "changes"]

GOALS: Final[tuple[GoalName, ...]] = (
    "clipping",
    "loudness",
    "meters",
    "noise",
    "faders",
    "changes",
)
"""In their order: each is met as far as those before it leave room."""


@dataclass(frozen=True, slots=True)
class Bind:
    """What holds a control where it is planned.

    Attributes
    ----------
    goal
        The goal, or ``"range"`` at the end of its travel, ``"locked"``, ``"kept"`` where nothing
        asks for another setting.
    at
        Address of the point where the goal is at its limit; empty for ``locked`` and ``kept``.
    label
        The same point in people's words; for loudness the source, and ``end`` where it comes out.
    value, limit
        The number there, and what it may be, in ``unit``.
    """

    goal: GoalName | Literal["range", "locked", "kept"]
    at: str = ""
    label: str = ""
    value: float | None = None
    limit: float | None = None
    unit: str = ""
    end: str = ""

    def to_json(self) -> dict[str, Any]:
        """As docs/formats.md prints it."""
        return {
            "goal": self.goal,
            "at": self.at,
            "value": tenths(self.value),
            "limit": tenths(self.limit),
            "unit": self.unit,
        }


@dataclass(frozen=True, slots=True)
class Position:
    """One control: where it stands now, and where it goes.

    Attributes
    ----------
    control
        Address.
    label
        The control in people's words: ``Desk, ch3, gain``.
    now, planned
        As a show file writes it: ``35 dB``, ``off``, ``20-db``. ``now`` is ``unknown`` where the
        show says so.
    gain_now_db, gain_planned_db
        The same in dB: what a switch does to the gain as well. ``None`` for off and unknown.
    strip
        The input whose strip it stands in (address of the port), or nothing behind a mix.
    """

    control: str
    label: str
    kind: ControlKind
    now: str
    planned: str
    gain_now_db: float | None
    gain_planned_db: float | None
    bind: Bind
    locked: bool = False
    strip: str | None = None

    @property
    def is_moved(self) -> bool:
        """Whether somebody has to touch it."""
        return self.now != self.planned

    @property
    def edit(self) -> Set:
        """The edit that puts it where it goes."""
        return Set(self.control, self.planned)

    def to_json(self) -> dict[str, Any]:
        """As docs/formats.md prints it."""
        return {
            "control": self.control,
            "kind": self.kind,
            "strip": self.strip,
            "now": self.now,
            "planned": self.planned,
            "gain_now_db": tenths(self.gain_now_db),
            "gain_planned_db": tenths(self.gain_planned_db),
            "moved": self.is_moved,
            "locked": self.locked,
            "binds": self.bind.to_json(),
        }


@dataclass(frozen=True, slots=True)
class GoalResult:
    """One goal: what it demands, and how far it is met.

    Attributes
    ----------
    gave_way_db
        The most by which it is missed anywhere; 0 where it is reached.
    value_db, bound_db
        What was reached of the number that the goal makes small (a sum over the rig), and what no
        setting can be better than.
    where
        Addresses of the points where it gave way, worst first; ``places`` the same in words.
    mends
        What would mend it: a move that the plan may not make, or gear; each a sentence.
    """

    name: GoalName
    demands: str
    reached: bool
    gave_way_db: float
    value_db: float
    bound_db: float
    where: tuple[str, ...] = ()
    places: tuple[str, ...] = ()
    mends: tuple[str, ...] = ()

    @property
    def gap_db(self) -> float:
        """Between what was reached and what is possible at best."""
        return max(self.value_db - self.bound_db, 0.0)

    def to_json(self) -> dict[str, Any]:
        """As docs/formats.md prints it."""
        return {
            "goal": self.name,
            "demands": self.demands,
            "reached": self.reached,
            "gave_way_db": tenths(self.gave_way_db),
            "value_db": round(self.value_db, 3) + 0.0,
            "bound_db": round(self.bound_db, 3) + 0.0,
            "where": list(self.where),
            "mends": list(self.mends),
        }


@dataclass(frozen=True, slots=True)
class GainPlan:
    """Where every control goes.

    Attributes
    ----------
    reserve_db
        Headroom on peaks that was asked for.
    anchor
        How loud it is meant to be, in words: nobody can plan gains without.
    positions
        Every control that a signal passes, in signal order, strips first.
    gap_db
        The largest gap of all goals between what was reached and what is possible at best.
    edits
        What puts the controls where they go, none for those that stand there.
    balance
        Sources that stay hardly heard, as they are set: to be looked at before the plan is used.
    turns_on
        What the plan turns on: each a sentence with the number at which it turns.
    """

    reserve_db: float
    anchor: str
    positions: tuple[Position, ...]
    goals: tuple[GoalResult, ...]
    meters: tuple[MeterMark, ...]
    ends: tuple[EndLevel, ...]
    lineups: tuple[Lineup, ...]
    gap_db: float
    turns_on: tuple[str, ...] = ()
    balance: tuple[str, ...] = ()

    @property
    def edits(self) -> tuple[Set, ...]:
        """What changes."""
        return tuple(each.edit for each in self.positions if each.is_moved and not each.locked)

    def position(self, control: str) -> Position | None:
        """The position of a control; ``None`` where no signal passes it."""
        return next((each for each in self.positions if each.control == control), None)

    def goal(self, name: GoalName) -> GoalResult:
        """One goal by its name."""
        return next(each for each in self.goals if each.name == name)

    def to_json(self) -> dict[str, Any]:
        """As docs/formats.md prints it."""
        return {
            "reserve_db": tenths(self.reserve_db),
            "anchor": self.anchor,
            "gap_db": round(self.gap_db, 3) + 0.0,
            "goals": [each.to_json() for each in self.goals],
            "positions": [each.to_json() for each in self.positions],
            "meters": [each.to_json() for each in self.meters],
            "ends": [each.to_json() for each in self.ends],
            "lineups": [each.to_json() for each in self.lineups],
            "balance": list(self.balance),
            "turns_on": list(self.turns_on),
        }
