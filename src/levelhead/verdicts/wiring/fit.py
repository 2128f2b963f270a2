"""Plugs that do not go into their sockets."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from levelhead.gear.connectors import CONNECTORS, mates
from levelhead.gear.plan import CablePlan
from levelhead.rig.model import Misfit, RigPort
from levelhead.rig.usual import fitting_cables
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity

__all__ = ["SENTENCES", "check_plugs_fit"]

SENTENCES: Final = {
    "other": "{plug} does not go into {at}: what is there is {socket}. {cure}",
    "alike": "The lead to {at} ends in a socket ({plug}), and there is a socket too: neither goes "
    "into the other. It takes a lead with a plug at that end.",
    "lead": "What fits both: {cure}.",
    "adaptor": "It takes an adaptor between: {cure}.",
    "outputs": "Both are outputs: one into the other drives nothing.",
    "inputs": "Both are inputs: nothing comes out of either.",
    "apart": "They carry different things: keep them apart.",
    "nothing": "No lead or adaptor fits both.",
    "power": "An amplifier belongs between them: no lead or adaptor fits both.",
}
_PLAIN_ENDS: Final = 2


def _name(connector: str) -> str:
    known = CONNECTORS.get(connector)
    return connector if known is None else known.label


def _are_sockets(reading: Reading, misfit: Misfit) -> bool:
    """Kinds that would go together at a port: then what is lacking is a plug."""
    known = (
        misfit.at in reading.rig.ports and misfit.plug in CONNECTORS and misfit.socket in CONNECTORS
    )
    return known and mates(misfit.socket, misfit.plug) is not None


def check_plugs_fit(reading: Reading) -> Iterator[Finding]:
    """Links whose cable has the wrong plug, or for which there is no cable at all."""
    for misfit in reading.rig.misfits:
        port = reading.rig.ports.get(misfit.at)
        is_alike = _are_sockets(reading, misfit)
        yield Finding(
            code="fit.plug",
            severity=Severity.FAILS,
            where=misfit.at,
            what=SENTENCES["alike" if is_alike else "other"].format(
                plug=_name(misfit.plug),
                at=port.label if port is not None else misfit.at,
                socket=_name(misfit.socket),
                cure="" if is_alike else _cure(reading, misfit),
            ),
            why=(Compared("plugs that fit", 0.0, 1.0, ""),),
            source="connectors of the gear book",
            basis="common practice",
            ports=tuple(misfit.link.ends.values()),
        )


# --- what would go there ---


def _cure(reading: Reading, misfit: Misfit) -> str:
    """What a person of the trade would fetch: another lead, else an adaptor."""
    ports = [reading.rig.ports[each] for each in misfit.link.ends.values()]
    roles = {each.plan.role for each in ports}
    if all(each.plan.drives for each in ports):
        return SENTENCES["outputs"]
    if roles == {"in"}:
        return SENTENCES["inputs"]
    if len({each.plan.carries for each in ports}) > 1:
        return SENTENCES["apart"]
    lead = _lead(reading, ports)
    if lead is not None:
        return SENTENCES["lead"].format(cure=lead)
    adaptor = next(_adaptors(reading, misfit), None)
    if adaptor is not None:
        return SENTENCES["adaptor"].format(cure=adaptor)
    wants_power = any(each.plan.is_load for each in ports) and "loudspeaker" not in roles
    return SENTENCES["power" if wants_power and "out" in roles else "nothing"]


def _lead(reading: Reading, ports: list[RigPort]) -> str | None:
    """The usual lead between two sockets."""
    if len(ports) != _PLAIN_ENDS:
        return None
    start, end = (each.plan for each in ports)
    return next((each.label for each in fitting_cables(reading.rig.book, start, end)), None)


def _adaptors(reading: Reading, misfit: Misfit) -> Iterator[str]:
    """Adaptors into which the plug goes, and which go into the socket, by their trade name."""
    book = reading.rig.book
    if misfit.plug not in CONNECTORS or misfit.socket not in CONNECTORS:
        return
    for type_id in book.of_kind("adaptor"):
        adaptor = book.cable(type_id)
        ends = list(adaptor.ends)
        pairs = (ends, ends[::-1]) if len(ends) == _PLAIN_ENDS else ()
        if any(_goes_between(adaptor, near, far, misfit) for near, far in pairs):
            words = book.entry(type_id).words
            yield f"{adaptor.label} ({words[0]})" if words else adaptor.label


def _goes_between(adaptor: CablePlan, near: str, far: str, misfit: Misfit) -> bool:
    """Whether the plug goes into one end of it, and the other end into the socket."""
    takes = mates(adaptor.ends[near], misfit.plug) is not None
    return takes and mates(misfit.socket, adaptor.ends[far]) is not None
