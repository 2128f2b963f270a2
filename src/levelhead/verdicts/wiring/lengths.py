"""Digital leads that are longer than what they carry gets: networks, AES3, S/PDIF, USB, HDMI."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

from levelhead.gear.figures import Figure
from levelhead.quantity.formatting import format_si
from levelhead.rig.model import RigLink, RigPort
from levelhead.verdicts.explain import Explained, Threshold
from levelhead.verdicts.read.places import kept_while, plugged
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import ROUNDING, LimitState
from levelhead.verdicts.wiring.languages import NAMES

__all__ = ["EXPLAINED", "SENTENCES", "TOO_LONG", "check_lengths"]

TOO_LONG: Final = "wiring.too-long"

# by what is carried: the standard that says how far it gets, and what gets further
_STANDARDS: Final[Mapping[str, str]] = {"network": "IEEE 802.3", "usb": "USB 2.0, 7.1.16"}
_FARTHER: Final[Mapping[str, str]] = {
    "network": " A switch with a supply of its own halfway begins the count anew; fibre goes "
    "further.",
    "aes3": " Coaxial cable of 75 ohm between two transformers goes further.",
    "spdif": " An AES3 line goes further.",
    "usb": " A hub with a supply of its own halfway begins the count anew.",
    "hdmi": " A repeater with a supply of its own goes further.",
}
SENTENCES: Final = {
    Severity.FAILS: "{input} hangs on {length} of cable: {what} reaches {limit}{by}. It drops out "
    "or never comes up.{farther}",
    Severity.CARE: "{input} hangs on {length} of cable: {what} reaches {limit} {sure}{by}. It "
    "works while the cable is a good one, and fails from {most} on.{farther}",
    Severity.FINE: "{input} hangs on {length} of cable; {what} reaches {limit}.",
}


@kept_while(plugged)
def check_lengths(reading: Reading) -> Iterator[Finding]:
    """Cables made for data: do they end within the reach of what they carry?"""
    for link in reading.rig.links:
        if all(each.cable.reach_m is None for each in link.segments):
            continue
        ports = [reading.rig.ports[each] for each in link.ports]
        carried = {each.plan.carries for each in ports}
        length_m, reach = _made_for(link, carried)
        if reach is not None:
            taken = next((each for each in ports if each.plan.role == "in"), ports[-1])
            yield _judge(link, taken, length_m, reach)


def _made_for(link: RigLink, carried: set[str]) -> tuple[float, Figure | None]:
    """Length of the cables of a link that are made for what it carries, the least reach of them."""
    made = [each for each in link.segments if {each.cable.carries} == carried]
    reaches = [each.cable.reach_m for each in made if each.cable.reach_m is not None]
    least = min(reaches, key=lambda each: each.value, default=None)
    return sum(each.length_m for each in made), least


def _judge(link: RigLink, port: RigPort, length_m: float, reach: Figure) -> Finding:
    severity = Severity.FINE
    if length_m > reach.value + ROUNDING:
        severity = Severity.CARE if length_m <= reach.high + ROUNDING else Severity.FAILS
    carries = port.plan.carries
    by = _STANDARDS.get(carries) if reach.source == "standard" else None
    words = {
        "input": port.label,
        "length": format_si(length_m, "m"),
        "what": NAMES.get(carries, carries),
        "limit": format_si(reach.value, "m"),
        "most": format_si(reach.high, "m"),
        "sure": "as a rule" if by is None else "for sure",
        "by": "" if by is None else f" ({by})",
        "farther": _FARTHER.get(carries, ""),
    }
    limit_m = reach.high if severity is Severity.FAILS else reach.value
    return Finding(
        code=TOO_LONG,
        severity=severity,
        where=port.address,
        what=SENTENCES[severity].format(**words),
        why=(Compared("length of the cable", length_m, limit_m, "m"),),
        state=LimitState(limit_m - length_m, "m"),
        source="lengths of the cables of the link, added, against the reach of such a cable",
        basis=by or reach.source,
        ports=link.ports,
    )


EXPLAINED: Final = (
    Explained(
        TOO_LONG,
        "Lengths of the cables between two digital sockets, added, against the reach of such a "
        "cable in the gear book (`reach`): care beyond what is promised, fails beyond what a good "
        "one gets.",
        (
            Threshold("network over copper", 100.0, "m", "IEEE 802.3"),
            Threshold("AES3 over 110 ohm pairs", 100.0, "m", "handbook"),
            Threshold("S/PDIF over coax", 10.0, "m", "from memory"),
            Threshold("USB", 5.0, "m", "USB 2.0, 7.1.16"),
            Threshold("HDMI over copper", 10.0, "m", "from memory"),
        ),
        "IEEE 802.3, USB 2.0; the gear book",
    ),
)
