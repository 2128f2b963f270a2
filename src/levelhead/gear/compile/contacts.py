"""Contacts of the sockets of a strip, those inside an insert socket among them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from levelhead.gear.circuits import INSERT
from levelhead.gear.compile.parts import pin_place
from levelhead.gear.compile.standing import Standing
from levelhead.gear.connectors import CONNECTORS
from levelhead.gear.model import BlockEntry
from levelhead.gear.plan import ContactPlan, PortPlan

__all__ = ["contact_plans"]


def contact_plans(
    block: BlockEntry, ports: Mapping[str, PortPlan], standing: Standing
) -> Iterator[ContactPlan]:
    """Contacts that are there as the switches stand, between ports that are there."""
    for entry in block.contacts:
        one, other = (pin_place(pin) for pin in entry.joins)
        if standing.holds(entry.when) and {one[0], other[0], *entry.empty} <= ports.keys():
            yield ContactPlan((one, other), entry.empty)
    for name, port in ports.items():
        if port.circuit == INSERT:
            connector = CONNECTORS[port.socket]
            pins = (name, connector.plus), (name, connector.minus)
            yield ContactPlan(pins, (name,))
