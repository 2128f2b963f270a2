"""What lies beside a cable, as the show tells it: does it get into the signal?

Dimmers and mains buzz, and are held against what is heard, or against the signal. Loudspeaker
leads bring a copy of what is played anyway: only one that is not far below is heard.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from levelhead.circuit.ground.islands import GroundIsland, Listening
from levelhead.circuit.ground.sources import HumSources
from levelhead.circuit.hum.neighbours import NEIGHBOURS, Neighbouring
from levelhead.circuit.hum.pickup import Pickup
from levelhead.circuit.hum.sums import HumSum, added
from levelhead.show.lengths import length_text
from levelhead.show.model import Beside, Link
from levelhead.verdicts.explain import PRACTICE, Explained, Threshold
from levelhead.verdicts.hum.listener import Listening as ListeningIn
from levelhead.verdicts.hum.listener import listening_in
from levelhead.verdicts.hum.sound import AMPLE_DB, CLEAN_DB, COVERED_DB, sound_of
from levelhead.verdicts.hum.under_signal import BUZZ, Bearable, under_signal
from levelhead.verdicts.hum.words import BESIDE, CAUTION
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import LimitState

__all__ = ["EXPLAINED", "check_beside", "worst_of"]

COPY_DB: Final = 20.0  # a copy of the programme so far down is not heard, common practice
_LEAST_COPY_DB: Final = 6.0  # and so near it colours or howls whatever is done
_COPY: Final = Bearable(clean_db=COPY_DB, covered_db=_LEAST_COPY_DB, ample_db=AMPLE_DB)
_WHAT: Final = {
    "dimmer-leads": "leads of dimmers",
    "mains-leads": "mains leads",
    "loudspeaker-leads": "loudspeaker leads",
}
_APART: Final = "Half a metre between them, or a crossing at a right angle, takes it away."
_SENTENCES: Final = {
    ("heard", Severity.FAILS): "{input} buzzes: {what} bring {hum} at 1 m of {loudspeaker} "
    "({range}), {over}. {apart}",
    ("heard", Severity.CARE): "{input} may buzz: {what} bring {hum} at 1 m of {loudspeaker} "
    "({range}), {over}; what is over {limit} is heard in the pauses. It works with half a metre "
    "between them, or crossing at a right angle.",
    ("heard", Severity.FINE): "{what} are not heard: {hum} at 1 m of "
    "{loudspeaker} ({range}), where {limit} would be.",
    ("signal", Severity.FAILS): "{input} buzzes: {what} bring a buzz only {below} under the "
    "signal ({range}). {apart}",
    ("signal", Severity.CARE): "{input} may buzz: {what} bring a buzz {below} under the "
    "signal ({range}). It works with half a metre between them, or crossing at a right angle.",
    ("signal", Severity.FINE): "{what} bring a buzz {below} under the signal ({range}).",
    ("copy", Severity.FAILS): "{input} hears {what}: a copy of what is played only {below} "
    "under the signal ({range}), which howls or colours. {apart}",
    ("copy", Severity.CARE): "{input} may hear {what}: a copy of what is played {below} "
    "under the signal ({range}). It works with half a metre between them.",
    ("copy", Severity.FINE): "{what} bring a copy of what is played {below} under "
    "the signal ({range}).",
}


@dataclass(frozen=True, slots=True)
class _Heard:
    """What a neighbour brings to an input, with what ``more`` weaker ones bring besides."""

    address: str
    link: Link
    beside: Beside
    power: HumSum
    more: int = 0

    @property
    def is_copy(self) -> bool:
        """Whether it is what is played; else a buzz of the mains."""
        return self.beside.what == "loudspeaker-leads"

    def words(self, reading: Reading, *, is_fine: bool) -> dict[str, str]:
        """Names for a sentence."""
        ports = reading.rig.ports
        port = ports.get(self.address) or ports[self.address.rpartition(".")[0]]
        return {
            "input": port.label,
            "what": _what(self.beside, f"the cable of {port.label}" if is_fine else "its cable")
            + (f", with {self.more} more neighbours," if self.more > 1 else "")
            + (", with one more neighbour," if self.more == 1 else ""),
            "apart": _APART,
        }


def check_beside(reading: Reading) -> Iterator[Finding]:
    """Cables of which the show tells what lies beside them: together at each input."""
    told = [link for link in reading.rig.show.links if link.beside]
    if not told:
        return
    listening = listening_in(reading)
    brought: dict[tuple[str, bool], list[_Heard]] = {}
    for link in told:
        for heard in _brought(reading, link):
            brought.setdefault((heard.address, heard.is_copy), []).append(heard)
    at_inputs: dict[str, list[Finding]] = {}
    for alike in brought.values():
        found = _judged(reading, listening, _together(alike))
        if found is not None:
            at_inputs.setdefault(found.where, []).append(found)
    yield from map(worst_of, at_inputs.values())


def _together(alike: Sequence[_Heard]) -> _Heard:
    """Several neighbours told by the strongest: each has its own phase, so powers add.

    The range is that of the strongest, as if all were off alike.
    """
    strongest, *others = sorted(alike, key=lambda each: -each.power.power_a)
    others = [each for each in others if each.power.power_a > 0]
    return replace(
        strongest,
        power=added([strongest.power, *(each.power for each in others)]),
        more=len(others),
    )


def worst_of(found: Sequence[Finding]) -> Finding:
    """The one of several that tells: of equal verdicts the one with the least margin."""
    return max(found, key=lambda each: (each.severity.rank, -(each.margin or 0.0)))


def _brought(reading: Reading, link: Link) -> Iterator[_Heard]:
    """What every neighbour of a link brings to every input on its copper."""
    sockets = frozenset(link.ends.values())
    mains = reading.hum.ground.mains
    for piece in reading.hum.ground.pieces.values():
        if not sockets & {port.address for port in piece.piece.ports}:
            continue
        pickup = Pickup(piece, mains)
        for island in piece.islands:
            for place in island.listening:
                if place.address in reading.hum.inputs:
                    for beside in link.beside:
                        power = _power(pickup, island, place, sockets, beside)
                        yield _Heard(place.address, link, beside, power)


def _power(
    pickup: Pickup,
    island: GroundIsland,
    place: Listening,
    sockets: frozenset[str],
    beside: Beside,
) -> HumSum:
    """By the field and the capacitance of what is there."""
    near = Neighbouring(beside, pickup.mains)
    mains = replace(pickup.mains, density=near.density)
    return HumSum.of_field(HumSources(mains), pickup.beside(island, place, sockets, near))


def _judged(reading: Reading, listening: ListeningIn, heard: _Heard) -> Finding | None:
    """Against what is heard where a loudspeaker gives it, else against the signal."""
    if heard.power.power_a <= 0:
        return None
    loudspeaker = reading.hum.loudest(heard.address)
    if loudspeaker is None or heard.is_copy:
        return _in_signal(reading, heard)
    gain = np.abs(reading.hum.gain_to(loudspeaker, heard.address)) ** 2
    power = heard.power.scaled(gain, "Pa")
    sound = sound_of(reading.hum, listening(loudspeaker), loudspeaker, power)
    item = reading.rig.items[reading.solution.point(loudspeaker).item]
    words = (
        heard.words(reading, is_fine=sound.severity is Severity.FINE)
        | sound.words
        | {"loudspeaker": item.label}
    )
    return _finding(heard, "heard", sound.severity, words, sound.compared, sound.state)


def _in_signal(reading: Reading, heard: _Heard) -> Finding | None:
    """How far the signal at the input stands above; nothing where none comes."""
    signal = reading.hum.programme_a(heard.address)
    if signal <= 0:
        return None
    buzz = under_signal(signal, heard.power, _COPY if heard.is_copy else BUZZ)
    words = heard.words(reading, is_fine=buzz.severity is Severity.FINE) | buzz.words
    kind = "copy" if heard.is_copy else "signal"
    return _finding(heard, kind, buzz.severity, words, buzz.compared, buzz.state)


def _finding(
    heard: _Heard,
    kind: str,
    severity: Severity,
    words: dict[str, str],
    compared: tuple[Compared, ...],
    state: LimitState,
) -> Finding:
    what = _SENTENCES[kind, severity].format(**words)
    return Finding(
        code=BESIDE,
        severity=severity,
        where=heard.address,
        what=f"{what[0].upper()}{what[1:]}",
        why=compared,
        state=state,
        source="field and capacitance of what lies beside, through the network of the input",
        basis="Biot and Savart; strengths from memory",
        ports=tuple(dict.fromkeys((*heard.link.ends.values(),))),
        caution=None if severity is Severity.FINE else CAUTION,
    )


def _what(beside: Beside, cable: str) -> str:
    """What lies where: ``leads of dimmers that touch its cable along 30 m``."""
    what = _WHAT[beside.what]
    if beside.along_m is None:
        return f"{what} across {cable}"
    apart = f"that touch {cable}"
    if beside.apart_m is not None:
        apart = f"{length_text(beside.apart_m)} from {cable}"
    return f"{what} {apart} along {length_text(beside.along_m)}"


EXPLAINED: Final = (
    Explained(
        BESIDE,
        "What the show tells to lie beside a cable (`beside`): its field round the area that our "
        "cable leaves open and its capacitance to the cores, along that length, through the "
        "network of the input. Dimmers and mains by A-weighted level against the room and the "
        "programme, or the signal; loudspeaker leads as a copy of what is played.",
        (
            Threshold("typical buzz under what is heard: fine", AMPLE_DB, "dB", PRACTICE),
            Threshold("signal over buzz that is fine", CLEAN_DB, "dB", PRACTICE),
            Threshold("signal over buzz below which it fails", COVERED_DB, "dB", PRACTICE),
            Threshold("signal over a copy of it that is fine", COPY_DB, "dB", PRACTICE),
            *(
                Threshold(
                    f"field of {_WHAT[name]} 1 cm away",
                    1e6 * kind.density.value,
                    "uT",
                    "from memory",
                )
                for name, kind in NEIGHBOURS.items()
            ),
        ),
        "Biot and Savart: mu0 I s / (2 pi r^2) of a pair",
    ),
)
