"""What becomes of the conditions of a question: settings, figures, a lead, a box between.

Each condition is met by the side at which it was typed, else by the other one, and is said back; or
it is said that it is not used, and why.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

from levelhead.gear.book import GearBook
from levelhead.gear.plan import BlockInstance, ItemPlan, PortPlan
from levelhead.gear.scales import SCALES
from levelhead.planning.conditions import Condition, Kind
from levelhead.planning.fitting import is_load, switch_settings
from levelhead.planning.leads_meant import lead_meant
from levelhead.planning.names import Candidate, matched
from levelhead.planning.plan_ways import (
    block_of,
    control_before,
    control_behind,
    leaving_port,
    paths_to,
)
from levelhead.planning.typed_words import tokens
from levelhead.quantity.formatting import format_level
from levelhead.rig.settings import setting_text

__all__ = ["NOT_UNDERSTOOD", "Applied", "Box", "Met", "Unused", "meet"]

NOT_UNDERSTOOD: Final = "not understood; the answer is without it"
_OTHER: Final = {"from": "to", "to": "from"}
_PAIR: Final = 2
_USUAL_OHM: Final = 8.0  # watts of an amplifier that are told without a load, common practice
_TRAVELS: Final = {0.0: "fully down", 0.25: "a quarter up", 0.5: "half up", 1.0: "fully up"}


@dataclass(frozen=True, slots=True)
class Applied:
    """A condition that was understood: the words, and what was done for it.

    ``sets`` are controls that it moved, by side and address; ``kind`` is that of the condition.
    """

    words: str
    does: str
    sets: frozenset[tuple[str, str]] = frozenset()
    kind: str = ""

    def __str__(self) -> str:
        return f"{self.words}: {self.does}"

    def to_json(self) -> dict[str, str]:
        """As docs/formats.md prints it."""
        return {"words": self.words, "does": self.does}


@dataclass(frozen=True, slots=True)
class Unused:
    """Words that change nothing in the answer, and why."""

    words: str
    why: str

    def __str__(self) -> str:
        return f"'{self.words}': {self.why}"

    def to_json(self) -> dict[str, str]:
        """As docs/formats.md prints it."""
        return {"words": self.words, "why": self.why}


@dataclass(frozen=True, slots=True)
class Box:
    """A box between the two ends: its type, where it is plugged, where it leads on."""

    type_id: str
    entry: str
    leaving: str
    settings: Mapping[str, str] = field(default_factory=dict)


@dataclass(slots=True)
class Met:
    """What conditions did. ``settings`` and ``figures`` go by the side that they are at."""

    applied: list[Applied] = field(default_factory=list)
    unused: list[Unused] = field(default_factory=list)
    settings: dict[str, dict[str, str]] = field(default_factory=lambda: {"from": {}, "to": {}})
    figures: dict[str, dict[str, str]] = field(default_factory=lambda: {"from": {}, "to": {}})
    cable: str | None = None
    length_m: float | None = None
    level: str | None = None
    boxes: list[Box] = field(default_factory=list)
    count: int = 1
    both_sides: bool = False


@dataclass(frozen=True, slots=True)
class _End:
    """One side of a question: what it is, the socket, and what people call it."""

    side: str
    candidate: Candidate
    plan: ItemPlan
    block: BlockInstance
    port: PortPlan
    name: str


def meet(
    book: GearBook,
    ends: tuple[Candidate, Candidate],
    conditions: Sequence[tuple[str, Condition]],
    rests: tuple[str, str] = ("", ""),
) -> Met:
    """Settle each condition, typed at the ``from`` or the ``to`` side, for these two sockets.

    ``rests`` are the texts without conditions: words among them may name positions of switches.
    """
    found = {side: _end(book, side, each) for side, each in zip(("from", "to"), ends, strict=True)}
    meeting = _Meeting(book, found, Met())
    for side, condition in sorted(conditions, key=lambda each: _TURN.get(each[1].kind, 0)):
        meeting.settle(side, condition)
    for end, rest in zip(found.values(), rests, strict=True):
        meeting.spoken(end, tokens(rest))
    return meeting.met


# Watts count into the ohms that were named; a box between ends the lead, and its length.
_TURN: Final[Mapping[Kind, int]] = {"watt": 1, "through": 2, "cable": 3, "length": 4}


def _end(book: GearBook, side: str, candidate: Candidate) -> _End:
    plan = candidate.plan(book)
    words = book.entry(candidate.type_id).words
    name = words[0] if words else plan.label
    return _End(side, candidate, plan, *block_of(plan, candidate.port), name)


class _Meeting:
    """Conditions of one question as they are settled."""

    def __init__(self, book: GearBook, ends: Mapping[str, _End], met: Met) -> None:
        self.book, self.ends, self.met = book, ends, met

    def settle(self, side: str, condition: Condition) -> None:
        """Meet it here, else there, else say that it is not used."""
        meet = self._ways[condition.kind]
        before = self._set()
        for each in (side, _OTHER[side]):
            does = meet(self, self.ends[each], condition)
            if does is not None:
                moved = self._set() - before
                self.met.applied.append(Applied(condition.words, does, moved, condition.kind))
                return
        self.met.unused.append(Unused(condition.words, self._why_not(condition)))

    def _set(self) -> frozenset[tuple[str, str]]:
        found = ((side, each) for side, local in self.met.settings.items() for each in local)
        return frozenset(found)

    def spoken(self, end: _End, typed: frozenset[str]) -> None:
        """Positions of switches that the words for the gear named themselves."""
        met = self.met.settings[end.side]
        for address, option in end.candidate.settings.items():
            if address in met:
                continue
            name = address.rpartition(".")[2]
            for block in end.plan.blocks:
                control = block.plan.controls.get(name)
                if control is not None and block.address(name) == address:
                    phrases = [e for e in control.words.get(option, ()) if tokens(e) <= typed]
                    said = max(phrases, key=lambda each: len(tokens(each)), default=option)
                    does = f"{control.label or name} of {end.name} at {option}"
                    moved = frozenset({(end.side, address)})
                    self.met.applied.append(Applied(said, does, moved))

    # --- switches and knobs ---

    def _switch(self, end: _End, condition: Condition) -> str | None:
        found = switch_settings(self.book, end.plan, end.block, condition)
        if not found:
            return None
        self.met.settings[end.side] |= found
        if condition.kind == "phantom":
            return f"phantom power {condition.text} at {end.name}"
        ((_, option),) = found.items()
        return f"pad of {end.name} at {option}"

    def _turned(self, end: _End, condition: Condition) -> str | None:
        """A volume before an output, a gain or level behind an input."""
        find = control_before if end.side == "from" else control_behind
        if condition.kind == "gain" and end.side == "from":
            return None
        address = find(end.plan, end.candidate.port)
        if address is None:
            return None
        block, _, name = address.rpartition(".")
        plan = end.plan.block(block).plan.controls[name]
        scale = SCALES[plan.scale]
        setting = scale.setting(condition.value, low_db=plan.low, high_db=plan.high)
        self.met.settings[end.side][address] = setting_text(round(setting, 1), plan)
        way = _TRAVELS.get(condition.value, f"at {100 * condition.value:.0f} %")
        return f"{plan.label or name} of {end.name} {way} ({_gain(setting)})"

    # --- figures ---

    def _ohm(self, end: _End, condition: Condition) -> str | None:
        ohm = f"{condition.value:g} ohm"
        if tokens(ohm) <= tokens(" ".join((end.port.label, *end.port.words))):
            return f"{end.port.label} of {end.name}"
        rated_ohm = end.port.figure("impedance")
        if not is_load(end.port) or not rated_ohm:
            return None
        if math.isclose(rated_ohm, condition.value, rel_tol=0.01):
            return f"{end.name} of {ohm}"
        figures = self.met.figures[end.side]
        name = _local(end)
        figures[f"{name}.impedance"] = ohm
        self._rate(end, math.sqrt(condition.value / rated_ohm))
        return f"{end.name} with {ohm} in place of {rated_ohm:g} ohm, for as many watts"

    def _rate(self, end: _End, factor: float) -> None:
        """Volts that it stands times a factor: the root of watts times ohm."""
        for rating in ("long-term-rating", "peak-rating"):
            volts = end.port.figure(rating)
            if volts is not None:
                key = f"{_local(end)}.{rating}"
                now = self.met.figures[end.side].get(key)
                before = float(now.split()[0]) if now else volts
                self.met.figures[end.side][key] = f"{before * factor:.4g} V"

    def _watt(self, end: _End, condition: Condition) -> str | None:
        return (
            self._rated_watt(end, condition)
            if is_load(end.port)
            else self._amplifier_watt(end, condition)
        )

    def _rated_watt(self, end: _End, condition: Condition) -> str | None:
        figures = self.met.figures[end.side]
        stated = figures.get(f"{_local(end)}.impedance")
        ohm = float(stated.split()[0]) if stated else end.port.figure("impedance") or _USUAL_OHM
        now = end.port.figure("long-term-rating")
        if now is None:
            return None
        stated_v = figures.get(f"{_local(end)}.long-term-rating")
        before_v = float(stated_v.split()[0]) if stated_v else now
        self._rate(end, math.sqrt(condition.value * ohm) / before_v)
        return f"{end.name} that stands {condition.value:g} W"

    def _amplifier_watt(self, end: _End, condition: Condition) -> str | None:
        """An amplifier clips where it gives its watts into the load that is named, else 8 ohm."""
        if end.port.role != "loudspeaker" or end.port.figure("line-voltage") is not None:
            return None
        ohm = self._load_ohm()
        for block, path in paths_to(end.plan, end.candidate.port):
            for stage in reversed(path.stages):
                if stage.ceiling is not None:
                    volts = math.sqrt(condition.value * ohm)
                    name = f"{block.block}.{stage.name}" if block.name else stage.name
                    self.met.figures[end.side][f"{name}.ceiling"] = f"{volts:.4g} V"
                    return f"{end.name} that gives {condition.value:g} W into {ohm:g} ohm at most"
        return None

    def _load_ohm(self) -> float:
        stated = self.met.figures["to"].get(f"{_local(self.ends['to'])}.impedance")
        if stated is not None:
            return float(stated.split()[0])
        port = self.ends["to"].port
        return (port.figure("impedance") if is_load(port) else None) or _USUAL_OHM

    def _level(self, end: _End, condition: Condition) -> str | None:
        if end.side != "from" or self.met.level is not None:
            return None
        self.met.level = condition.text
        return f"{condition.text} into {end.name}, or out of it where it makes the signal itself"

    # --- leads and what is between ---

    def _length(self, _end: _End, condition: Condition) -> str | None:
        if self.met.length_m is not None or (self.met.boxes and not self.met.cable):
            return None
        self.met.length_m = condition.value
        return f"lead of {condition.value:.3g} m between the two"

    def _cable(self, end: _End, condition: Condition) -> str | None:
        type_id = lead_meant(self.book, condition.text, *self._ports())
        if type_id is None:
            return self._through(end, condition)
        if self.met.cable is not None:
            return None
        self.met.cable = type_id
        return self.book.entry(type_id).label

    def _ports(self) -> tuple[PortPlan, PortPlan]:
        return self.ends["from"].port, self.ends["to"].port

    def _through(self, _end: _End, condition: Condition) -> str | None:
        """A box in between: the first that the words mean, with a way in and a way out."""
        for each in matched(self.book, condition.text, "to"):
            if self.book.sketch(each.type_id).kind != "box" or each.unmet:
                continue
            plan = self.book.plan(each.type_id, {}, {})
            leaving = leaving_port(plan, each.port)
            if leaving is not None:
                self.met.boxes.append(Box(each.type_id, each.port, leaving, each.settings))
                return f"{plan.label} between the two"
        type_id = lead_meant(self.book, condition.text, *self._ports())
        if type_id is None or self.met.cable is not None:
            return None
        self.met.cable = type_id
        return self.book.entry(type_id).label

    def _count(self, end: _End, condition: Condition) -> str | None:
        joined = [each for each in end.block.plan.ports.values() if each.joined == end.port.name]
        is_loudspeaker = end.plan.kind == "loudspeaker"
        if end.side != "to" or not joined or not is_loudspeaker or self.met.count > 1:
            return None
        self.met.count = int(condition.value)
        return f"{self.met.count} side by side, each from the socket of the one before"

    def _sides(self, _end: _End, _condition: Condition) -> str | None:
        start = self.ends["from"]
        if len(start.port.signals) == _PAIR:
            return f"one plug of {start.name} has left and right"
        if "left" not in start.candidate.port:
            return None
        self.met.both_sides = True
        return f"left and right of {start.name} plugged"

    _ways: Mapping[Kind, Callable[[_Meeting, _End, Condition], str | None]] = {
        "phantom": _switch,
        "pad": _switch,
        "volume": _turned,
        "gain": _turned,
        "ohm": _ohm,
        "watt": _watt,
        "level": _level,
        "length": _length,
        "cable": _cable,
        "through": _through,
        "count": _count,
        "sides": _sides,
    }

    def _why_not(self, condition: Condition) -> str:
        """Why a condition could not be met."""
        start, end = self.ends["from"].name, self.ends["to"].name
        return _WHY_NOT[condition.kind].format(start=start, end=end)


_WHY_NOT: Final[Mapping[Kind, str]] = {
    "phantom": "neither {start} nor {end} has a switch for phantom power",
    "pad": "neither {start} nor {end} has a pad",
    "volume": "no knob or fader lies on the way to or from that socket",
    "gain": "no gain lies behind that socket",
    "ohm": "no loudspeaker or tap here takes that figure",
    "watt": "no amplifier or loudspeaker here takes that figure",
    "level": "a level is said of what is plugged in, once",
    "length": "the length of a lead is said once; what a box has of its own stays",
    "cable": "no lead and no box of the gear book goes by these words",
    "through": "no box with one way in and one way out goes by these words",
    "count": "only loudspeakers with a parallel or link socket are counted here",
    "sides": "{start} has no left and right",
}


def _local(end: _End) -> str:
    """The socket in the name of a figure: ``in``, or ``ch.in`` of a strip."""
    return f"{end.block.block}.{end.port.name}" if end.block.name else end.port.name


def _gain(setting_db: float) -> str:
    return "off" if math.isinf(setting_db) else format_level(setting_db, "dB")
