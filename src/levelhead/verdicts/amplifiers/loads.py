"""What loudspeakers ask of the amplifier that drives them: the least load, and the right one."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.circuit.drawn.islands import Island
from levelhead.circuit.loads.beyond import beyond_ohm
from levelhead.circuit.solving.solved import Solved
from levelhead.quantity.bands import mid_hz
from levelhead.quantity.formatting import format_si
from levelhead.rig.model import RigPort
from levelhead.verdicts.amplifiers.driven import CAUTION, ONE_KHZ, loudspeaker_outputs
from levelhead.verdicts.explain import PRACTICE, Explained, Threshold
from levelhead.verdicts.finding import Compared, Finding, Severity
from levelhead.verdicts.limit_state import ROUNDING, LimitState
from levelhead.verdicts.reading import Reading
from levelhead.verdicts.words import other_ends

__all__ = [
    "DIP",
    "EXPLAINED",
    "LOAD",
    "MATCH",
    "MATCHED_CARE",
    "MATCHED_FINE",
    "NEARLY_SHORT_DB",
    "SENTENCES",
    "SHORT_OF_DB",
    "check_amplifier_loads",
]

LOAD, MATCH = "amplifier.load", "amplifier.match"
DIP: Final = 0.8  # IEC 60268-5: so far a loudspeaker may fall below its rated impedance
SHORT_OF_DB: Final = 0.5  # 6 %: what ratings are good for, common practice
MATCHED_FINE: Final = 1.5  # ratio to the tap either way: a coil's own curve does more
MATCHED_CARE: Final = 2.2  # one tap further off, common practice
NEARLY_SHORT_DB: Final = -12.0  # a quarter: four times the current, common practice
_FROM_HZ, _TO_HZ = 95.0, 11e3  # range for which line loudspeakers are rated, from memory
_NO_LOAD_OHM: Final = 1e5  # nothing but leads: that is another rule's

SENTENCES: Final = {
    LOAD: {
        Severity.HARM: "{output} sees {load}, rated down to {limit}: nearly a short. That asks "
        "for {asked} times the current which it is made for; only its protection stands between "
        "that and a burnt output.{halves}",
        Severity.FAILS: "{output} sees {load}, rated down to {limit}: it trips or overheats when "
        "it gets loud.{halves}",
        Severity.CARE: "{output} sees {load}, rated down to {limit}. It holds while the leads stay "
        "as long and as thin: without their copper it trips or overheats when it gets "
        "loud.{halves}",
        Severity.FINE: "{output} sees {load}, rated down to {limit}.{halves}",
    },
    MATCH: {
        Severity.FAILS: "{output} sees {load} on a tap for {limit}: too far off for an output "
        "transformer.",
        Severity.CARE: "{output} sees {load} on a tap for {limit}. It works at some loss of power; "
        "further off it would not.",
        Severity.FINE: "{output} sees {load} on a tap for {limit}.",
    },
}
_BESIDE: Final = " Half of what hangs on {bridge} counts as well: a bridged amplifier drives both."
_HALVES: Final = " In bridge each half sees {load}, where {limit} are the least."


@dataclass(frozen=True, slots=True)
class _Seen:
    """What an output sees: the rated load, its least with the leads, and its least without. [ohm]

    Its least modulus counts; the rating of an amplifier allows for dips to 0.8 of nominal. What
    only the copper of the leads keeps up is told, for the next lead may be a better one.
    """

    nominal_ohm: float
    least_ohm: float
    bare_ohm: float
    limit_ohm: float

    @property
    def margin_db(self) -> float:
        """Of its least; where that hardly dips, as behind a line transformer, of what is rated."""
        over_db = self._over_dip_db(self.least_ohm)
        hangs_on_leads = self._over_dip_db(self.bare_ohm) < 0
        return over_db if hangs_on_leads else min(over_db, self._rated_db + SHORT_OF_DB)

    @property
    def _rated_db(self) -> float:
        return 20 * math.log10(self.nominal_ohm / self.limit_ohm)

    def _over_dip_db(self, ohm: float) -> float:
        return 20 * math.log10(ohm / (DIP * self.limit_ohm)) + SHORT_OF_DB

    @property
    def severity(self) -> Severity:
        if self._rated_db < NEARLY_SHORT_DB - ROUNDING:
            return Severity.HARM
        if self.margin_db < 0:
            return Severity.FAILS
        return Severity.CARE if self._over_dip_db(self.bare_ohm) < 0 else Severity.FINE


def check_amplifier_loads(reading: Reading) -> Iterator[Finding]:
    """Loudspeaker outputs: what hangs on them, against the least load or the load of the tap."""
    outputs = list(loudspeaker_outputs(reading))
    for island, _, port in outputs:
        if any(reading.rig.ports[each.port].item.id != port.item.id for each in island.drives):
            continue  # another amplifier on the line: that is told, and is no load
        least, matched = port.plan.figure("min-load"), port.plan.figure("matched-load")
        if least is None and matched is None:
            continue
        bridge = _bridge_beside(outputs, port)
        if bridge is not None and least is not None:
            yield _beside_a_bridge(reading, (island, port), bridge, least)
            continue
        bare = np.abs(beyond_ohm(island, port, mid_hz(), with_leads=False))
        rated_ohm = float(bare[ONE_KHZ])
        if rated_ohm < _NO_LOAD_OHM and _has_loudspeaker(reading, island):
            if least is not None:
                counts = _rated_bands(reading, island)
                least_ohm = float(np.abs(beyond_ohm(island, port, mid_hz()[counts])).min())
                seen = _Seen(rated_ohm, least_ohm, float(bare[counts].min()), least)
                yield _least(reading, port, seen)
            if matched is not None:
                yield _matched(reading, port, rated_ohm, matched)


def _bridge_beside(
    outputs: list[tuple[Island, Solved, RigPort]], port: RigPort
) -> tuple[Island, RigPort] | None:
    """The bridged output of the same amplifier that has a plug too: each half drives both."""
    if port.plan.circuit != "power-output":
        return None
    return next(
        (
            (island, other)
            for island, _, other in outputs
            if other.item.id == port.item.id and other.plan.circuit == "bridge-tied-output"
        ),
        None,
    )


def _beside_a_bridge(
    reading: Reading, own: tuple[Island, RigPort], bridge: tuple[Island, RigPort], least: float
) -> Finding:
    """Half of what hangs on the bridge lies beside what hangs on the half itself."""
    ohm = []
    for with_leads in (False, True):
        alone, between = (
            beyond_ohm(island, port, mid_hz(), with_leads=with_leads)
            for island, port in (own, bridge)
        )
        ohm.append(np.abs(1 / (1 / alone + 2 / between)))
    counts = _rated_bands(reading, own[0], bridge[0])
    bare, real = ohm
    ends_ohm = (float(bare[ONE_KHZ]), float(real[counts].min()), float(bare[counts].min()))
    found = _least(reading, own[1], _Seen(*ends_ohm, least))
    more = _BESIDE.format(bridge=bridge[1].label)
    return replace(found, what=found.what + more, ports=(*found.ports, bridge[1].address))


def _rated_bands(reading: Reading, *islands: Island) -> NDArray[np.bool_]:
    """Bands in which a loudspeaker keeps to its rated impedance: none below its own resonance.

    A horn plays from some 300 Hz; what its transformer takes below that no rating counts.
    """
    ports = reading.rig.ports
    plans = [ports[each].plan for island in islands for each in island.pins if each in ports]
    resonances = (plan.figure("resonance") or 0.0 for plan in plans if plan.is_load)
    from_hz = max(_FROM_HZ, min(resonances, default=0.0))
    counts: NDArray[np.bool_] = (mid_hz() > from_hz) & (mid_hz() < _TO_HZ)
    return counts


def _has_loudspeaker(reading: Reading, island: Island) -> bool:
    ports = reading.rig.ports
    return any(ports[each].plan.is_load for each in island.pins if each in ports)


def _least(reading: Reading, port: RigPort, seen: _Seen) -> Finding:
    nominal_ohm, limit_ohm, severity = seen.nominal_ohm, seen.limit_ohm, seen.severity
    is_bridged = port.plan.circuit == "bridge-tied-output"
    half = Compared("load of each half", nominal_ohm / 2, limit_ohm / 2, "ohm")
    words = {
        "output": port.label,
        "load": _load_words(seen),
        "limit": _ohm(limit_ohm),
        "halves": _halves(seen) if is_bridged and severity is not Severity.FINE else "",
        "asked": f"{limit_ohm / nominal_ohm:.0f}",
    }
    return Finding(
        code=LOAD,
        severity=severity,
        where=port.address,
        what=SENTENCES[LOAD][severity].format(**words),
        why=(
            Compared("rated load", nominal_ohm, limit_ohm, "ohm"),
            Compared(
                "least load of any band, leads with it", seen.least_ohm, DIP * limit_ohm, "ohm"
            ),
            *([half] * is_bridged),
        ),
        state=LimitState(seen.margin_db, "dB"),
        source="impedance of everything plugged to the output, against its least load",
        basis="IEC 60268-5 (least modulus 0.8 of rated)",
        ports=(port.address, *other_ends(reading.rig, port.address)),
        caution=None if severity is Severity.FINE else CAUTION,
    )


def _load_words(seen: _Seen) -> str:
    """What it is rated for; where that would do, also the least that makes it too little."""
    rated = _ohm(seen.nominal_ohm)
    if seen.severity is not Severity.FAILS or seen.nominal_ohm < seen.limit_ohm:
        return rated
    return f"{rated} at 1 kHz and {_ohm(seen.least_ohm)} at its lowest"


def _halves(seen: _Seen) -> str:
    return _HALVES.format(load=_ohm(seen.nominal_ohm / 2), limit=_ohm(seen.limit_ohm / 2))


def _matched(reading: Reading, port: RigPort, load_ohm: float, tap_ohm: float) -> Finding:
    ratio = load_ohm / tap_ohm
    off = max(ratio, 1 / ratio)
    severity = Severity.FAILS
    if off <= MATCHED_CARE:
        severity = Severity.CARE if off > MATCHED_FINE else Severity.FINE
    limit = MATCHED_CARE if severity is Severity.FAILS else MATCHED_FINE
    words = {"output": port.label, "load": _ohm(load_ohm), "limit": _ohm(tap_ohm)}
    return Finding(
        code=MATCH,
        severity=severity,
        where=port.address,
        what=SENTENCES[MATCH][severity].format(**words),
        why=(
            Compared("rated load", load_ohm, tap_ohm, "ohm"),
            Compared("load against the tap", ratio, limit, "1"),
        ),
        state=LimitState(20 * math.log10(limit / off), "dB"),
        source="impedance of everything plugged to the tap, against that which it is made for",
        basis=PRACTICE,
        ports=(port.address, *other_ends(reading.rig, port.address)),
        caution=None if severity is Severity.FINE else CAUTION,
    )


def _ohm(ohm: float) -> str:
    return format_si(ohm, "ohm", 2)


EXPLAINED: Final = (
    Explained(
        LOAD,
        "Impedance of everything plugged to a loudspeaker output, the leads with it, in the band "
        "from 100 Hz to 10 kHz where it is least, against 0.8 of the least load that the output "
        "is rated for; taps of a constant-voltage line count as the watts that they take. Care "
        "where it would be too little without the copper of the leads; harm where so little is "
        "rated there that it is nearly a short.",
        (
            Threshold("share of the rated impedance that a dip may reach", DIP, "", "IEC 60268-5"),
            Threshold("short of it by: nobody acts", SHORT_OF_DB, "dB", PRACTICE),
            Threshold(
                "rated load over the least that harms: a quarter", NEARLY_SHORT_DB, "dB", PRACTICE
            ),
        ),
    ),
    Explained(
        MATCH,
        "Impedance at 1 kHz of everything plugged to a tap of a valve amplifier, against that of "
        "the tap, either way.",
        (
            Threshold("ratio from which it is care", MATCHED_FINE, "", PRACTICE),
            Threshold("ratio from which it fails", MATCHED_CARE, "", PRACTICE),
        ),
    ),
)
