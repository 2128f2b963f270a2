"""Coils in the field of something that stands near: a pickup is an aerial, and no cable cures it.

The field drives ``2 pi f B A`` round the coil, where its own signal arises, and goes the same way
from there: its level is held against what is heard, or against that signal.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

import numpy as np

from levelhead.circuit.ground.sources import HumSources
from levelhead.circuit.hum.neighbours import RADIATORS, field_in_air, line_rates
from levelhead.circuit.hum.sums import HumSum
from levelhead.gear.figures import Figure
from levelhead.rig.model import RigItem
from levelhead.show.lengths import length_text
from levelhead.show.model import Near
from levelhead.verdicts.explain import PRACTICE, Explained, Threshold
from levelhead.verdicts.hum.beside import worst_of
from levelhead.verdicts.hum.listener import listening_in
from levelhead.verdicts.hum.sound import AMPLE_DB, CLEAN_DB, COVERED_DB, sound_of
from levelhead.verdicts.hum.under_signal import under_signal
from levelhead.verdicts.hum.words import CAUTION, NEAR
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import Doubt, LimitState
from levelhead.verdicts.told.words import place_words

__all__ = ["EXPLAINED", "check_near"]

_WHAT: Final = {"dimmer-rack": "dimmer rack", "mains-transformer": "mains transformer"}
_SENTENCES: Final = {
    ("heard", Severity.FAILS): "{item} buzzes: its pickup hears a {what} {apart} away, {hum} at 1 "
    "m of {loudspeaker} ({range}), {over}. Some metres more, or pickups that cancel hum; no cable "
    "cures it. Turning it away helps at one place.",
    ("heard", Severity.CARE): "{item} may buzz: its pickup hears a {what} {apart} away, {hum} at 1 "
    "m of {loudspeaker} ({range}), {over}; what is over {limit} is heard in the pauses. It works "
    "some metres farther off, or turned away.",
    ("heard", Severity.FINE): "A {what} {apart} from {item} is not heard: {hum} at 1 m of "
    "{loudspeaker} ({range}), where {limit} would be.",
    ("signal", Severity.FAILS): "{item} buzzes: its pickup hears a {what} {apart} away, only "
    "{below} under its signal ({range}). Some metres more, or pickups that cancel hum; no cable "
    "cures it. Turning it away helps at one place.",
    ("signal", Severity.CARE): "{item} may buzz: its pickup hears a {what} {apart} away, {below} "
    "under its signal ({range}). It works some metres farther off, or turned away.",
    ("signal", Severity.FINE): "A {what} {apart} from {item} is {below} under its signal "
    "({range}).",
}


def check_near(reading: Reading) -> Iterator[Finding]:
    """Items with a coil of which the show tells what stands near them; the worst of several."""
    for name, told in reading.rig.show.items.items():
        item = reading.rig.items[name]
        area = item.plan.pickup_area
        if told.near and area is not None:
            coil = _coil(reading, name)
            if coil is not None:
                yield worst_of([_judged(reading, item, near, area, coil) for near in told.near])


def _coil(reading: Reading, item: str) -> str | None:
    """The point at which an item sends a signal out through copper; none where nothing comes."""
    graph = reading.solution.graph
    rows = (
        edge.source
        for edge in graph.edges
        if edge.through is not None and graph.points[edge.source].item == item
    )
    playing = (row for row in rows if reading.solution.nominal[row] > 0)
    row = next(playing, None)
    return None if row is None else graph.points[row].address


def _field(reading: Reading, near: Near, area: Figure) -> HumSum:
    """What the field drives round a coil, by line."""
    mains, density = reading.hum.ground.mains, field_in_air(near)
    emf_v = density.value * area.value * line_rates(near.what, mains)
    return HumSum.of_field(HumSources(replace(mains, density=density)), emf_v**2)


def _judged(reading: Reading, item: RigItem, near: Near, area: Figure, coil: str) -> Finding:
    field = _field(reading, near, area)
    words = {
        "item": place_words(item.label),
        "what": _WHAT[near.what],
        "apart": length_text(near.apart_m),
    }
    coil_doubt = Doubt(f"coil of {words['item']}", "fact", area, -1.0)
    loudspeaker = _loudest(reading, coil)
    if loudspeaker is None:
        return _in_signal(reading, item, field, words, coil, coil_doubt)
    gain = np.abs(reading.hum.gain_to(loudspeaker, coil)) ** 2
    listener = listening_in(reading)(loudspeaker)
    sound = sound_of(reading.hum, listener, loudspeaker, field.scaled(gain, "Pa"))
    told = reading.rig.items[reading.solution.point(loudspeaker).item]
    words |= sound.words | {"loudspeaker": told.label}
    state = LimitState(sound.state.margin, "dB", lambda: (*sound.state.doubts_from(), coil_doubt))
    return _finding(reading, item, ("heard", sound.severity), words, sound.compared, state)


def _loudest(reading: Reading, coil: str) -> str | None:
    """The loudspeaker that gives most of what comes from a point."""
    gain = np.abs(reading.hum.gain[reading.solution.number(coil)]).max(axis=-1)
    return reading.hum.loudspeakers[int(gain.argmax())] if gain.any() else None


def _in_signal(
    reading: Reading,
    item: RigItem,
    field: HumSum,
    words: dict[str, str],
    coil: str,
    coil_doubt: Doubt,
) -> Finding:
    """How far the instrument's own signal stands above."""
    buzz = under_signal(reading.hum.programme_a(coil), field, besides=(coil_doubt,))
    verdict = ("signal", buzz.severity)
    return _finding(reading, item, verdict, words | buzz.words, buzz.compared, buzz.state)


def _finding(
    reading: Reading,
    item: RigItem,
    verdict: tuple[str, Severity],
    words: dict[str, str],
    compared: tuple[Compared, ...],
    state: LimitState,
) -> Finding:
    return Finding(
        code=NEAR,
        severity=verdict[1],
        where=item.id,
        what=_SENTENCES[verdict].format(**words),
        why=compared,
        state=state,
        source="field in the air round the coil, and on as the signal goes",
        basis="field of a dipole, induction; strengths from memory",
        ports=reading.plugs(item.id),
        caution=None if verdict[1] is Severity.FINE else CAUTION,
    )


EXPLAINED: Final = (
    Explained(
        NEAR,
        "What the show tells to stand near an instrument with a coil (`near`): the field of a "
        "dipole at that distance, round the area by turns of its pickup (`pickup-area`), carried "
        "on as its signal goes; A-weighted, against the room and the programme, or the signal.",
        (
            Threshold("typical buzz under what is heard: fine", AMPLE_DB, "dB", PRACTICE),
            Threshold("signal over buzz that is fine", CLEAN_DB, "dB", PRACTICE),
            Threshold("signal over buzz below which it fails", COVERED_DB, "dB", PRACTICE),
            *(
                Threshold(
                    f"field of a {_WHAT[name]} 1 m away", 1e6 * each.value, "uT", "from memory"
                )
                for name, each in RADIATORS.items()
            ),
        ),
        "mu0 I A / (2 pi r^3) of a dipole",
    ),
)
