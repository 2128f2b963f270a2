"""Plugs that do not go into their sockets."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from levelhead.gear.connectors import CONNECTORS
from levelhead.verdicts.finding import Compared, Finding, Severity
from levelhead.verdicts.reading import Reading

__all__ = ["SENTENCES", "check_plugs_fit"]

SENTENCES: Final = {Severity.FAILS: "{plug} does not go into {at}, which takes {socket}."}


def _name(connector: str) -> str:
    known = CONNECTORS.get(connector)
    return connector if known is None else known.label


def check_plugs_fit(reading: Reading) -> Iterator[Finding]:
    """Links whose cable has the wrong plug, or for which there is no cable at all."""
    for misfit in reading.rig.misfits:
        port = reading.rig.ports.get(misfit.at)
        yield Finding(
            code="fit.plug",
            severity=Severity.FAILS,
            where=misfit.at,
            what=SENTENCES[Severity.FAILS].format(
                plug=_name(misfit.plug),
                at=port.label if port is not None else misfit.at,
                socket=_name(misfit.socket),
            ),
            why=(Compared("plugs that fit", 0.0, 1.0, ""),),
            source="connectors of the gear book",
            basis="common practice",
            ports=tuple(misfit.link.ends.values()),
        )
