"""Ports of a strip, with the figures of their circuits."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from levelhead.errors import GearError
from levelhead.gear.circuits import INSERT, FigureRule, figure_rules
from levelhead.gear.compile.standing import Standing
from levelhead.gear.figures import Figure
from levelhead.gear.model import BlockEntry, PortEntry
from levelhead.gear.names import did_you_mean
from levelhead.gear.plan import OWN_NUMBER, InsertPlan, PortPlan, Target

__all__ = ["INSERT_WIRINGS", "find_insert", "find_target", "port_plans"]

SEND: Final = "send"
RETURN: Final = "return"
RING_SEND: Final = "ring-send"
INSERT_WIRINGS: Final = ("tip-send", RING_SEND)  # positions of the switch that ``wiring`` names

_CHANNELS: Final = {"left": "1", "right": "2"}  # of a socket with channels


def port_plans(block: BlockEntry, standing: Standing) -> dict[str, PortPlan]:
    """Ports that are there as the switches stand, by name."""
    return {
        name: _port_plan(name, entry, standing)
        for name, entry in block.ports.items()
        if standing.holds(entry.when)
    }


def find_target(
    name: str, side: str | None, ports: Mapping[str, PortPlan], standing: Standing
) -> Target:
    """A port named in a path: with sides, the port of that side or that signal of the port.

    A digital port has a channel for each side; without sides a path has the left one. Of
    a socket with channels a strip has the one of its own number.

    Raises
    ------
    GearError
        There is no such port.
    """
    if side is not None and f"{name}-{side}" in ports:
        return Target(f"{name}-{side}", None)
    if name not in ports:
        raise GearError(
            f"unknown port '{name}'",
            where=standing.where,
            expected=f"one of {', '.join(ports) or 'no ports'}",
            remedy=did_you_mean(name, ports) or "Name a port of this block or of the item.",
        )
    if ports[name].channels:
        return Target(name, _CHANNELS.get(side or "", OWN_NUMBER))
    if ports[name].is_digital:
        return Target(name, side or "left")
    return Target(name, side if side in ports[name].signals else None)


def find_insert(
    name: str | tuple[str, str], side: str | None, ports: Mapping[str, PortPlan], standing: Standing
) -> InsertPlan:
    """Where a stage sends and takes back: by one insert socket, or by two of their own."""
    if not isinstance(name, str):
        send, back = (find_target(each, side, ports, standing) for each in name)
        return InsertPlan(send, back)
    port = find_target(name, side, ports, standing).port
    return InsertPlan(Target(port, SEND), Target(port, RETURN))


def _port_plan(name: str, entry: PortEntry, standing: Standing) -> PortPlan:
    return PortPlan(
        name=name,
        label=entry.label or name,
        words=entry.words,
        socket=entry.socket,
        role=entry.role,
        circuit=entry.circuit,
        figures=_figures(name, entry, standing),
        signals=(SEND, RETURN) if entry.circuit == INSERT else entry.signals,
        joined=entry.joined,
        hole=entry.hole or name,
        carries=entry.carries,
        pole=entry.pole,
        wiring=entry.wiring,
        ring_send=standing.chosen.get(entry.wiring or "") == RING_SEND,
        channels=entry.channels or 0,
        talkback=entry.talkback,
        jack_fed=entry.jack_fed,
        own_lead=entry.own_lead,
    )


def _figures(name: str, entry: PortEntry, standing: Standing) -> dict[str, Figure]:
    figures = {}
    given = entry.figures
    for key, rule in figure_rules(entry.circuit).items():
        raw = given.get(key, rule.default)
        figure = standing.optional(raw, rule.unit, f"{name}.{key}")
        if figure is not None:
            figures[key] = figure
        elif not rule.optional:
            raise _missing(name, key, rule, entry, standing)
    return figures


def _missing(
    name: str, key: str, rule: FigureRule, entry: PortEntry, standing: Standing
) -> GearError:
    return GearError(
        f"figure '{key}' is missing",
        where=f"{standing.where}, {name}",
        expected=f"'{key}' of a {entry.circuit}, in {rule.unit}",
        remedy="Add the figure to the port.",
    )
