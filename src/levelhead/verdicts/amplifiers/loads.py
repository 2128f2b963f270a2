"""What loudspeakers ask of the amplifier that drives them: the least load, and the right one."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from levelhead.circuit.drawn.islands import Island
from levelhead.circuit.loads.beyond import beyond_ohm
from levelhead.circuit.solving.solved import Solved
from levelhead.quantity.bands import ONE_KHZ_BAND, mid_hz
from levelhead.quantity.formatting import format_si
from levelhead.rig.model import RigPort
from levelhead.verdicts.amplifiers.driven import CAUTION, loudspeaker_outputs
from levelhead.verdicts.amplifiers.hung import Hung, asked_ohm, by_stage, rated_bands, rated_w
from levelhead.verdicts.amplifiers.reached import loads_on
from levelhead.verdicts.explain import PRACTICE, Explained, Threshold
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import ROUNDING, LimitState
from levelhead.verdicts.told.words import other_ends, watts_words

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
_ONE_STAGE: Final = " What hangs on the {others} counts as well: one stage drives it all."
_ONE_STAGE_W: Final = (
    " What hangs on the {others} counts as well: one stage drives it all. {asked} are {total}, of "
    "its {watts}."
)
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
    by_least: list[Hung] = []
    by_tap: list[Hung] = []
    for island, solved, port in outputs:
        if any(reading.rig.ports[each.port].item.id != port.item.id for each in island.drives):
            continue  # another amplifier on the line: that is told, and is no load
        least, matched = port.plan.figure("min-load"), port.plan.figure("matched-load")
        bridge = _bridge_beside(outputs, port)
        if bridge is not None and least is not None:
            yield _beside_a_bridge(reading, (island, port), bridge, least)
            continue
        for rated_ohm, hung in ((least, by_least), (matched, by_tap)):
            on = None if rated_ohm is None else Hung.on(reading, (island, solved, port), rated_ohm)
            if on is not None and abs(on.bare_ohm[ONE_KHZ_BAND]) < _NO_LOAD_OHM:
                hung.append(on)
    for stage in by_stage(reading, by_least):
        yield from _of_stage(reading, stage, _loaded)
    for stage in by_stage(reading, by_tap):
        yield from _of_stage(reading, stage, _matched)


def _of_stage(
    reading: Reading, stage: list[Hung], judge: Callable[[Reading, Sequence[Hung]], Finding]
) -> Iterator[Finding]:
    """Each output by itself; where all of them ask for too much, that, once.

    What is wrong of one alone and right of all counts as right: the stage sees them together.
    """
    alone = [judge(reading, (each,)) for each in stage]
    if len(stage) > 1:
        together = judge(reading, stage)
        if together.severity is not Severity.FINE:
            more = _beside_another(reading, stage)
            yield replace(together, what=together.what + more)
            alone = alone[1:]
        alone = [each for each in alone if each.severity is Severity.FINE]
        if together.severity is Severity.FINE and not alone:
            yield together
    yield from alone


def _beside_another(reading: Reading, stage: Sequence[Hung]) -> str:
    """That the other outputs of a stage count as well, and the watts that each of them asks."""
    others = " and ".join(each.port.plan.label for each in stage[1:])
    watts = rated_w(reading, stage)
    if watts is None or stage[0].port.plan.figure("matched-load") is not None:
        return _ONE_STAGE.format(others=others)
    asked = [watts * abs(each.shares(each.bare_ohm)[ONE_KHZ_BAND]) for each in stage]
    return _ONE_STAGE_W.format(
        others=others,
        asked=" and ".join(watts_words(each) for each in asked),
        total=watts_words(sum(asked)),
        watts=watts_words(watts),
    )


def _loaded(reading: Reading, hung: Sequence[Hung]) -> Finding:
    bare = asked_ohm(hung, with_leads=False)
    least_ohm = float(asked_ohm(hung, with_leads=True).min())
    seen = _Seen(float(bare[ONE_KHZ_BAND]), least_ohm, float(bare.min()), hung[0].rated_ohm)
    return _least(reading, [each.port for each in hung], seen)


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
    rig = reading.rig
    loads = (each for island, port in (own, bridge) for each in loads_on(rig, island, port))
    counts = rated_bands(loads)
    bare, real = ohm
    ends_ohm = (float(bare[ONE_KHZ_BAND]), float(real[counts].min()), float(bare[counts].min()))
    found = _least(reading, [own[1]], _Seen(*ends_ohm, least))
    more = _BESIDE.format(bridge=bridge[1].label)
    return replace(found, what=found.what + more, ports=(*found.ports, bridge[1].address))


def _least(reading: Reading, ports: Sequence[RigPort], seen: _Seen) -> Finding:
    port = ports[0]
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
        ports=_plugs(reading, ports),
        caution=None if severity is Severity.FINE else CAUTION,
    )


def _plugs(reading: Reading, ports: Sequence[RigPort]) -> tuple[str, ...]:
    """Outputs, and what is plugged to them."""
    return tuple(
        end for port in ports for end in (port.address, *other_ends(reading.rig, port.address))
    )


def _load_words(seen: _Seen) -> str:
    """What it is rated for; where that would do, also the least that makes it too little."""
    rated = _ohm(seen.nominal_ohm)
    if seen.severity is not Severity.FAILS or seen.nominal_ohm < seen.limit_ohm:
        return rated
    return f"{rated} at 1 kHz and {_ohm(seen.least_ohm)} at its lowest"


def _halves(seen: _Seen) -> str:
    return _HALVES.format(load=_ohm(seen.nominal_ohm / 2), limit=_ohm(seen.limit_ohm / 2))


def _matched(reading: Reading, hung: Sequence[Hung]) -> Finding:
    port, tap_ohm = hung[0].port, hung[0].rated_ohm
    load_ohm = float(asked_ohm(hung, with_leads=False)[ONE_KHZ_BAND])
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
        ports=_plugs(reading, [each.port for each in hung]),
        caution=None if severity is Severity.FINE else CAUTION,
    )


def _ohm(ohm: float) -> str:
    return format_si(ohm, "ohm", 2)


EXPLAINED: Final = (
    Explained(
        LOAD,
        "Impedance of everything plugged to a loudspeaker output, the leads with it, in the band "
        "from 100 Hz to 10 kHz where it is least, against 0.8 of the least load that the output "
        "is rated for; taps of a constant-voltage line count as the watts that they take. What "
        "hangs on other outputs of the same stage counts as well (100 V beside 4 ohm). Care "
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
