"""Plugs that do not go into their sockets."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from levelhead.gear.connectors import CONNECTORS, mates
from levelhead.rig.model import Misfit
from levelhead.verdicts.finding import Compared, Finding, Severity
from levelhead.verdicts.reading import Reading

__all__ = ["SENTENCES", "check_plugs_fit"]

SENTENCES: Final = {
    "other": "{plug} does not go into {at}: what is there is {socket}.",
    "alike": "The lead to {at} ends in a socket ({plug}), and there is a socket too: neither goes "
    "into the other. It takes a lead with a plug at that end.",
}


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
        yield Finding(
            code="fit.plug",
            severity=Severity.FAILS,
            where=misfit.at,
            what=SENTENCES["alike" if _are_sockets(reading, misfit) else "other"].format(
                plug=_name(misfit.plug),
                at=port.label if port is not None else misfit.at,
                socket=_name(misfit.socket),
            ),
            why=(Compared("plugs that fit", 0.0, 1.0, ""),),
            source="connectors of the gear book",
            basis="common practice",
            ports=tuple(misfit.link.ends.values()),
        )
