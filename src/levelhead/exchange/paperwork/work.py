"""What all sheets are read from: a checked show, its leads by their numbers, and words for places.

A lead has the number of its link in the show file, from 1: on labels, in the patch and in the cable
list it is the same.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final

from levelhead.acoustics.heard.heard import Heard, heard_by
from levelhead.acoustics.rings.rings_of import Ringing, ringing_of
from levelhead.exchange.paperwork.figure_texts import figure_text
from levelhead.exchange.paperwork.socket_names import socket_name
from levelhead.gear.plan import PACKETS, CablePlan
from levelhead.planning.check import Check
from levelhead.planning.desks import is_mixer
from levelhead.planning.gains.planned.plan import GainPlan
from levelhead.rig.model import Rig, RigItem, RigPort, RigSource
from levelhead.show.model import Cable, Link
from levelhead.verdicts.read.strips import Strip
from levelhead.verdicts.told.finding import Severity, worst

__all__ = ["Lead", "Paperwork", "Piece", "figure_text", "joined_words", "listed", "numbers_text"]

_FEW: Final = 2  # numbers that are not drawn together


@dataclass(frozen=True, slots=True)
class Piece:
    """One cable or adaptor of a lead. An adaptor has no length; nobody said one that is assumed."""

    plan: CablePlan
    length_m: float | None
    is_assumed: bool

    @property
    def words(self) -> str:
        """The cable with its length."""
        if self.length_m is None:
            return self.plan.label
        return f"{self.plan.label}, {figure_text(self.length_m)} m"


@dataclass(frozen=True, slots=True)
class Lead:
    """What is plugged between sockets: its number, its pieces in order, its ports."""

    number: int
    link: Link
    pieces: tuple[Piece, ...]
    ports: tuple[RigPort, ...]

    def others(self, address: str) -> tuple[RigPort, ...]:
        """The ports at its other ends."""
        return tuple(port for port in self.ports if port.address != address)

    @property
    def cable(self) -> str:
        """What it is made of; lengths stand here only where there are several pieces."""
        if len(self.pieces) == 1:
            return self.pieces[0].plan.label
        return " + ".join(piece.words for piece in self.pieces)

    @property
    def words(self) -> str:
        """What it is made of, with every length."""
        return " + ".join(piece.words for piece in self.pieces)

    @property
    def length(self) -> str:
        """Length of all of it in metres; empty for adaptors alone."""
        lengths_m = [piece.length_m for piece in self.pieces if piece.length_m is not None]
        return figure_text(sum(lengths_m)) if lengths_m else ""


def joined_words(parts: Iterable[str]) -> str:
    """Parts that say something, with commas, each once."""
    return ", ".join(dict.fromkeys(part for part in parts if part))


def listed(names: Iterable[str]) -> str:
    """Names one after another, with semicolons where a name has a comma of its own.

    >>> listed(["Desk", "Monitor"]), listed(["Wedge, left", "Monitor"])
    ('Desk, Monitor', 'Wedge, left; Monitor')
    """
    given = list(names)
    return ("; " if any("," in name for name in given) else ", ").join(given)


def numbers_text(numbers: Iterable[int]) -> str:
    """Numbers with runs of three and more drawn together.

    >>> numbers_text([1, 2, 3, 4, 7, 9, 10])
    '1–4, 7, 9, 10'
    """
    runs: list[list[int]] = []
    for number in sorted(set(numbers)):
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(
        f"{run[0]}–{run[-1]}" if len(run) > _FEW else ", ".join(map(str, run)) for run in runs
    )


@dataclass(frozen=True)
class Paperwork:
    """A checked show as sheets read it; ``paths`` are addresses of ways that somebody asked for."""

    check: Check
    paths: tuple[str, ...] = ()

    @cached_property
    def rig(self) -> Rig:
        """The resolved show."""
        return self.check.trial.solution.rig

    @cached_property
    def heard(self) -> Heard:
        """What listeners get, and those who work there, as everything is set."""
        return heard_by(self.check.trial.solution)

    @cached_property
    def ringing(self) -> Ringing:
        """How far everything is from ringing as it is set."""
        return ringing_of(self.check.trial.solution)

    @cached_property
    def gain_plan(self) -> GainPlan:
        """Where every control goes, for sheets that tell it."""
        from levelhead.planning.gains.make import plan_gains  # its solver loads slowly

        return plan_gains(self.check.trial.show, self.check.trial.book)

    @cached_property
    def planned(self) -> Paperwork:
        """The show with its gain plan in place; remedies and branches are those of before."""
        trial = self.check.trial.after(self.gain_plan.edits) if self.gain_plan.edits else None
        if trial is None:
            return self
        judged = trial.judgement
        return Paperwork(replace(self.check, findings=judged.findings, trial=trial))

    @cached_property
    def leads(self) -> tuple[Lead, ...]:
        """Every link of the show, also one whose plugs do not fit."""
        usual = {
            link.number: tuple(Cable(each.cable.type_id) for each in link.segments)
            for link in self.rig.links
        }
        return tuple(
            Lead(
                number + 1,
                link,
                tuple(self._pieces(link.via or usual.get(number, ()))),
                tuple(self.rig.ports[address] for address in link.ends.values()),
            )
            for number, link in enumerate(self.rig.show.links)
        )

    def _pieces(self, cables: Iterable[Cable]) -> Iterator[Piece]:
        for cable in cables:
            plan = self.rig.book.cable(cable.type)
            has_length = plan.core_ohm_per_m is not None
            length_m = plan.usual_length_m if cable.length_m is None else cable.length_m
            yield Piece(plan, length_m if has_length else None, has_length and not cable.length_m)

    @cached_property
    def lead_at(self) -> Mapping[str, Lead]:
        """The lead in each socket."""
        return {port.address: lead for lead in self.leads for port in lead.ports}

    @cached_property
    def strips(self) -> Mapping[str, Strip]:
        """Strips with a signal, by the input that they begin at."""
        return {strip.port: strip for strip in self.check.trial.reading.strips}

    @cached_property
    def sources_at(self) -> Mapping[str, list[RigSource]]:
        """Who sounds in front of each item."""
        found: dict[str, list[RigSource]] = {}
        for source in self.rig.sources:
            found.setdefault(source.at, []).append(source)
        return found

    @cached_property
    def _labels(self) -> Counter[str]:
        return Counter(item.label for item in self.rig.items.values())

    def called(self, item: RigItem) -> str:
        """What the crew calls an item, with its id where two have one label."""
        return item.label if self._labels[item.label] == 1 else f"{item.label} ({item.id})"

    def socket(self, port: RigPort) -> str:
        """A socket within its item: ``ch1``, or ``ch1, line`` where several are plugged."""
        return socket_name(port, self._plugged_at.get(port.item.id, ()))

    @cached_property
    def _plugged_at(self) -> Mapping[str, list[RigPort]]:
        """Sockets in use of each item."""
        found: dict[str, list[RigPort]] = {}
        for lead in self.leads:
            for port in lead.ports:
                found.setdefault(port.item.id, []).append(port)
        return found

    def end(self, port: RigPort) -> str:
        """A socket with its item."""
        return f"{self.called(port.item)}, {self.socket(port)}"

    @cached_property
    def mixers(self) -> tuple[str, ...]:
        """Items that sum strips with controls of their own, whatever they are called."""
        return tuple(item.id for item in self.rig.items.values() if is_mixer(item))

    def is_input(self, port: RigPort) -> bool:
        """An input of a mixer, or of a box that sends its channels to one as numbers."""
        if port.plan.role != "in" or port.address not in self.lead_at:
            return False
        return port.plan.channels == 0 and (
            port.item.id in self.mixers or any(_sends_packets(port))
        )

    def worst_at(self, addresses: Iterable[str]) -> Severity:
        """The worst verdict of what touches some sockets."""
        asked = set(addresses)
        return worst(each for port in asked for each in self._severities.get(port, ()))

    @cached_property
    def _severities(self) -> Mapping[str, set[Severity]]:
        found: dict[str, set[Severity]] = {}
        for each in self.check.findings:
            for port in each.ports:
                found.setdefault(port, set()).add(each.severity)
        return found

    def mark(self, addresses: Iterable[str]) -> str:
        """The worst verdict in one word; nothing where all is fine."""
        found = self.worst_at(addresses)
        return "" if found is Severity.FINE else found.value

    @cached_property
    def cautions(self) -> tuple[str, ...]:
        """Cautions of everything that wants care or worse, each once."""
        return tuple(
            dict.fromkeys(
                each.caution
                for each in self.check.findings
                if each.caution is not None and each.severity is not Severity.FINE
            )
        )

    def feeding(self, item: RigItem) -> str:
        """The outlet that an item hangs on, and its circuit; empty where nobody said."""
        supply = self.rig.show.supplies.get(item.supply or "")
        if supply is None:
            return ""
        circuit = f", circuit {supply.circuit}" if supply.circuit else ""
        return f"{supply.label or supply.outlet}{circuit}"


def _sends_packets(port: RigPort) -> Iterator[bool]:
    """For each path from a port: whether it ends in a network or USB socket."""
    ports = {
        name: plan for block in port.item.plan.blocks for name, plan in block.plan.ports.items()
    }
    for path in port.block.plan.paths:
        is_from = any(
            each.port is not None and each.port.port == port.plan.name for each in path.origins
        )
        target = ports.get(path.to_port.port) if is_from and path.to_port is not None else None
        yield target is not None and target.carries in PACKETS
