"""Direct current where it does not belong: in outputs, coils, ribbons and capsules.

Phantom power and bias are solved with the copper; what a part stands is a figure of its port. A
microphone is not endangered by its name: a coil between two equal legs carries nothing.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from levelhead.circuit.direct.at_port import IslandDirect, PortDirect
from levelhead.circuit.drawn.islands import Island
from levelhead.gear.connectors import CONNECTORS
from levelhead.gear.figures import Figure
from levelhead.quantity.formatting import format_si
from levelhead.rig.model import RigPort
from levelhead.verdicts.explain import Explained, Threshold
from levelhead.verdicts.harm.lines import STRANGE
from levelhead.verdicts.read.places import IslandAt, by_place, islands
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import Doubt, LimitState
from levelhead.verdicts.told.words import figure_words, other_ends, place_words

__all__ = ["BACK_FED", "EXPLAINED", "SENTENCES", "SURGE", "VOLTS", "check_direct_current"]

BACK_FED, VOLTS, SURGE = "phantom.back-fed", "phantom.volts", "phantom.surge"
AMPLE_DB: Final = 12.0  # a quarter of what a part stands: nobody acts, common practice
_LEAST_A: Final = 1e-5  # a leak
_LEAST_V: Final = 0.01
SENTENCES: Final = {
    BACK_FED: {
        Severity.HARM: "{supply} drives {value} of direct current into {part}, which stands "
        "{limit}: it will be damaged.",
        Severity.CARE: "{supply} drives {value} of direct current into {part}; that is near the "
        "{limit} it stands, and every switching thumps.",
        Severity.FINE: "{part} carries {value} of direct current and stands {limit}.",
    },
    VOLTS: {
        Severity.HARM: "{supply} puts {value} on {part}, which stands {limit}: it will be damaged.",
        Severity.CARE: "{supply} puts {value} on {part}, near the {limit} it stands.",
        Severity.FINE: "{value} stand at {part}, which stands {limit}.",
    },
    SURGE: {
        Severity.HARM: "A jack moved while {supply} is on lets its charge go through {part}: "
        "{value} at the peak, where {limit} are stood.",
        Severity.CARE: "A jack moved while {supply} is on lets {value} go through {part}, near "
        "the {limit} it stands.",
        Severity.FINE: "A jack moved under {supply} drives {value} through {part}, which stands "
        "{limit}.",
    },
}
_JUDGED: Final = (
    (BACK_FED, "back-fed", _LEAST_A, "A"),
    (VOLTS, "dc-tolerance", _LEAST_V, "V"),
    (SURGE, "surge", _LEAST_A, "A"),
)
_FIGURE: Final = {BACK_FED: "back-fed", VOLTS: "dc-tolerance", SURGE: "surge"}
_NAME: Final = {
    BACK_FED: "direct current",
    VOLTS: "direct volts",
    SURGE: "peak current of a charged leg",
}
EXPLAINED: Final = (
    Explained(
        BACK_FED,
        "largest direct current through what is behind an output (an amplifier, a coil, a "
        "winding), against the current that it stands",
        (Threshold("nobody acts from this far below", AMPLE_DB, "dB", "common practice"),),
        "IEC 61938 for the supplies; Ohm's law in the solved copper",
    ),
    Explained(
        VOLTS,
        "direct volts at the pins of an output or a capsule, against what they stand",
        (),
        "IEC 61938 for the supplies; Ohm's law in the solved copper",
    ),
    Explained(
        SURGE,
        "peak current when the sliding contacts of a jack ground one leg of a charged input first, "
        "against what a part stands",
        (),
        "discharge of the input's blocking capacitor through the solved copper",
    ),
)


@by_place(islands, is_local=True)
def check_direct_current(reading: Reading, at: IslandAt) -> Iterator[Finding]:
    """Ports with a figure for direct current on the copper of a supply: does more of it arrive?"""
    if not at.island.feeds:
        return
    for address in at.island.pins:
        port = reading.rig.ports.get(address) or reading.rig.ports[address.rpartition(".")[0]]
        if not _is_judged(port):
            continue
        direct = reading.solution.dc_at(address)
        if direct is not None:
            yield from _at_port(_Fed(reading, port, address, at.island), direct)


def _is_judged(port: RigPort) -> bool:
    """Whether a port has a figure for what it stands, and is not the supply itself."""
    figures = port.plan.figures
    return not figures.get("phantom") and any(name in figures for _, name, *_ in _JUDGED)


@dataclass(frozen=True, slots=True)
class _Fed:
    """A port (one signal of it) on the copper of a supply."""

    reading: Reading
    port: RigPort
    address: str
    island: Island

    def figure(self, name: str) -> Figure | None:
        """What the port stands."""
        return self.port.plan.figures.get(name)

    def supply(self, code: str) -> RigPort:
        """The supply to which most of what arrives is due: of several, by what each does alone."""
        ports = list(dict.fromkeys(feed.port for feed in self.island.feeds))
        if len(ports) > 1:
            alone = IslandDirect(self.island).by_supply()
            ports.sort(key=lambda port: -_arriving(self, alone[port].at(self.address), code))
        return self.reading.rig.ports[ports[0]]


def _at_port(fed: _Fed, direct: PortDirect) -> Iterator[Finding]:
    for code, name, least, unit in _JUDGED:
        figure = fed.figure(name)
        value = 0.0 if figure is None else _arriving(fed, direct, code)
        if figure is not None and value >= least and not _is_told_of_the_line(fed, code):
            yield _finding(fed, code, figure, value, unit)


def _is_told_of_the_line(fed: _Fed, code: str) -> bool:
    """Whether a line that is no audio is plugged straight to the port: that has its own finding."""
    link, supply = fed.port.link, fed.supply(code)
    return supply.plan.carries in STRANGE and link is not None and link == supply.link


def _arriving(fed: _Fed, direct: PortDirect, code: str) -> float:
    """What of a kind arrives at a port."""
    if code == VOLTS:
        return abs(direct.common_v) + abs(direct.volts) / 2
    if code == SURGE:
        return direct.surge_a if _meets_a_jack(fed) else 0.0
    return 0.0 if _lives_on_it(fed) else direct.current_a


def _lives_on_it(fed: _Fed) -> bool:
    """Whether the port is where its item draws what feeds it."""
    ways = fed.port.item.plan.powered_by
    return any(way.port == fed.port.plan.name for way in ways)


def _meets_a_jack(fed: _Fed) -> bool:
    """Whether a plug with sliding contacts lies between the port and the supply."""
    rig, seen, around = fed.reading.rig, set[str](), {fed.port.address}
    while around:
        address = around.pop()
        seen.add(address)
        port = rig.ports[address]
        if CONNECTORS[port.plan.socket].slides:
            return True
        beside = {port.sibling(name) for name in port.block.plan.ports if _is_passive(port)}
        around |= ({*other_ends(rig, address)} | beside) - seen
    return False


def _is_passive(port: RigPort) -> bool:
    """Whether copper leads on through the box of a port."""
    return not port.block.plan.paths


def _finding(fed: _Fed, code: str, figure: Figure, value: float, unit: str) -> Finding:
    tag = f"{fed.port.address}.{_FIGURE[code]}"
    words_of = figure_words(fed.reading.rig, tag)
    state = LimitState(
        20 * math.log10(figure.value / value), "dB", lambda: [Doubt(words_of, "fact", figure, 1.0)]
    )
    severity = state.severity(ample=AMPLE_DB)
    if severity is Severity.FAILS:
        severity = Severity.HARM
    words = {
        "supply": fed.supply(code).label,
        "part": fed.port.label,
        "value": format_si(value, unit),
        "limit": format_si(figure.value, unit),
    }
    return Finding(
        code=code,
        severity=severity,
        where=fed.address,
        what=SENTENCES[code][severity].format(**words),
        why=(Compared(_NAME[code], value, figure.value, unit),),
        state=state,
        assumed=_assumed(fed, figure, unit, severity),
        source="direct current in the solved copper, against what the part stands",
        basis=figure.source,
        ports=(fed.port.address, *other_ends(fed.reading.rig, fed.port.address)),
    )


def _assumed(fed: _Fed, figure: Figure, unit: str, severity: Severity) -> tuple[str, ...]:
    if severity is Severity.FINE or figure.source in {"measured", "standard"}:
        return ()
    text = format_si(figure.value, unit)
    return (f"{place_words(fed.port.label)}: stands {text} ({figure.source})",)
