"""Combined sockets: one hole, two inputs, and the plug chooses which of them is fed."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from levelhead.quantity.formatting import format_level
from levelhead.rig.model import RigPort
from levelhead.verdicts.explain import Explained, Threshold
from levelhead.verdicts.read.places import At, by_place
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.read.strips import Strip, StripCeiling
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import ROUNDING, LimitState

__all__ = ["EXPLAINED", "OTHER_HALF", "SENTENCES", "check_combined_sockets"]

OTHER_HALF: Final = "wiring.other-half"
SENTENCES: Final = {
    Severity.FAILS: "The plug chooses {input}, which clips even at its lowest gain: peaks pass it "
    "by {spare}. The same hole is {other} for another plug.",
    Severity.FINE: "The plug chooses {input}; {spare} are left at its lowest gain.",
}
EXPLAINED: Final = (
    Explained(
        OTHER_HALF,
        "Peaks at the half of a combined socket that the plug has chosen, against what that half "
        "takes at its lowest gain.",
        (Threshold("headroom on peaks below which it fails", 0.0, "dB", "definition"),),
    ),
)


def _combined(reading: Reading, where: str | None) -> Iterator[At[Strip]]:
    """Strips whose input shares its hole with another one."""
    for strip in reading.strips_at(where):
        if _other_half(reading, reading.rig.ports[strip.port]) is not None:
            name = (strip.port, strip.metered.address)
            yield At(name, strip, (reading.stamps.gear, strip))


@by_place(_combined)
def check_combined_sockets(reading: Reading, strip: Strip) -> Iterator[Finding]:
    """Plugs in combined sockets: does the half that they choose take the level?"""
    port = reading.rig.ports[strip.port]
    other = _other_half(reading, port)
    if other is not None and strip.lowest_ceiling is not None:
        yield _judge(strip, strip.lowest_ceiling, port, other)


def _other_half(reading: Reading, port: RigPort) -> RigPort | None:
    """The input of the same strip that shares the hole."""
    for name, plan in port.block.plan.ports.items():
        if name != port.plan.name and plan.hole == port.plan.hole and plan.role == "in":
            return reading.rig.ports[port.sibling(name)]
    return None


def _judge(strip: Strip, first: StripCeiling, port: RigPort, other: RigPort) -> Finding:
    spare_db = first.at_lowest_dbu - strip.peak_dbu
    severity = Severity.FAILS if spare_db < -ROUNDING else Severity.FINE
    words = {
        "input": port.label,
        "other": other.plan.label,
        "spare": format_level(abs(spare_db), "dB"),
    }
    return Finding(
        code=OTHER_HALF,
        severity=severity,
        where=port.address,
        what=SENTENCES[severity].format(**words),
        why=(
            Compared("peaks, against the lowest gain", strip.peak_dbu, first.at_lowest_dbu, "dBu"),
        ),
        state=LimitState(spare_db, "dB"),
        source="ceiling of the half that the plug chooses, at its lowest gain",
        basis="common practice",
        ports=(port.address,),
    )
