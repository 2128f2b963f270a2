"""Loading: what hangs on an output costs level or tone.

Read off the solved island: the voltage at the output's own terminals, against what it gives to the
load that it is made for.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.draws.sensitivity import island_sensitivities
from levelhead.circuit.loads.loading import (
    Output,
    address_of,
    made_for_ohm,
    shorted_legs,
    terminal_response,
)
from levelhead.quantity.bands import BANDS, nominal_hz
from levelhead.quantity.formatting import format_level, format_si
from levelhead.quantity.used_range import used_bands
from levelhead.verdicts.explain import PRACTICE, Explained, Threshold
from levelhead.verdicts.loading.joined import overrun_outputs
from levelhead.verdicts.read.doubts import strongest_way
from levelhead.verdicts.read.places import At, IslandAt, by_place, islands
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import ROUNDING, Doubt, LimitState
from levelhead.verdicts.told.words import figure_words, other_ends, output_words

__all__ = [
    "EXPLAINED",
    "LEVEL",
    "LEVEL_CARE_DB",
    "LEVEL_FAILS_DB",
    "LEVEL_FINE_DB",
    "SENTENCES",
    "TONE",
    "TONE_CARE_DB",
    "TONE_FAILS_DB",
    "check_loading",
]

LEVEL, TONE = "loading.level", "loading.tone"
LEVEL_FINE_DB: Final = 1.0  # nobody hears it, common practice
LEVEL_CARE_DB: Final = 3.0  # wants as much gain again, common practice; between, nobody acts
LEVEL_FAILS_DB: Final = 20.0  # more than a fader and a master make up, common practice
TONE_CARE_DB: Final = 3.0  # the usual end of a pass band, IEC 60268-4 practice for microphones
TONE_FAILS_DB: Final = 10.0  # heard as half as loud: the sone scale, ISO 532 (10 phon)
_LEAST: Final = 1e-9  # 180 dB down: nothing
_UNHEARD: Final = "programme"

SENTENCES: Final = {
    LEVEL: {
        Severity.FAILS: "{output} loses {loss} on what hangs on it: next to nothing is left.",
        Severity.CARE: "{output} loses {loss} on what hangs on it. It works while {loss} can be "
        "made up.",
        Severity.FINE: "{output} loses {loss} on what hangs on it.",
    },
    TONE: {
        Severity.FAILS: "{output} loses {loss} at {hz} on what hangs on it: the tone is gone.",
        Severity.CARE: "{output} loses {loss} at {hz} on what hangs on it. It works while that "
        "tone is liked.",
        Severity.FINE: "{output} keeps its tone: {loss} at {hz} is the most that it loses.",
    },
}


# outputs for loudspeakers, and the stages inside before their transformers: other rules are theirs
_OF_AMPLIFIERS: Final = frozenset({"loudspeaker", "inside"})


@dataclass(frozen=True, slots=True)
class _Loaded:
    """An output on its island, with the loss of every band against what it is made for. [dB]"""

    island: int
    output: Output
    loss_db: NDArray[np.float64]
    is_used: NDArray[np.bool_]
    has_reference: bool


def _places(reading: Reading, where: str | None) -> Iterator[At[IslandAt]]:
    """Islands; which bands count is told by what plays at each output."""
    points, index = reading.stamps.points.tolist(), reading.solution.graph.index
    for name, place, reads in islands(reading, where):
        outputs = {address_of((each.port, each.signal)) for each in place.island.drives}
        latest = max((points[index[output]] for output in outputs), default=0)
        yield At(name, place, (*reads, latest))


@by_place(_places, is_local=True)
def check_loading(reading: Reading, at: IslandAt) -> Iterator[Finding]:
    """Outputs with a plug: how much level and tone do the loads cost?

    Level is what every band loses at least. Tone is what the worst band of those that the source
    uses loses: against the load that the output is made for, or against its best band where it is
    made for none. An output that loses its tone is not told besides to be quieter, unless next to
    nothing is left. Nothing is told where another language is on the wire, or another output that
    overruns this one: less level is the least of it.
    """
    ports = (reading.rig.ports[each] for each in at.island.pins if each in reading.rig.ports)
    if any(each.plan.carries != "audio" for each in ports):
        return
    overrun = overrun_outputs(reading, at.island, at.solved)
    for output in dict.fromkeys((each.port, each.signal) for each in at.island.drives):
        plan = reading.rig.ports[output[0]].plan
        is_line = plan.role not in _OF_AMPLIFIERS and plan.carries == "audio"
        if not is_line or output in overrun or shorted_legs(at.island, at.solved, output):
            continue
        loaded = _loaded(reading, at, output)
        level, tone = _level(reading, loaded), _tone(reading, loaded)
        if level.severity is not Severity.CARE or tone.severity.rank < Severity.CARE.rank:
            yield level  # whose tone is gone is not told besides that it is quieter
        yield tone


def _loaded(reading: Reading, at: IslandAt, output: Output) -> _Loaded:
    reference = reading.on_its_own_load(output)
    open_v = np.ones(BANDS) if reference is None else np.abs(reference)
    loaded_v = np.abs(terminal_response(at.island, at.solved, output))
    loss_db = -20 * np.log10(np.maximum(loaded_v, _LEAST) / np.maximum(open_v, _LEAST))
    is_used = used_bands(_spectrum_at(reading, output))
    has_reference = made_for_ohm(reading.rig.ports[output[0]]) is not None
    return _Loaded(at.number, output, loss_db, is_used, has_reference)


def _spectrum_at(reading: Reading, output: Output) -> str:
    """Spectrum of what is strongest at an output."""
    source = strongest_way(reading.solution, reading.solution.number(address_of(output))).source
    return _UNHEARD if source is None else source.spectrum


def _level(reading: Reading, loaded: _Loaded) -> Finding:
    loss_db = float(loaded.loss_db[loaded.is_used].min())
    weights = loaded.is_used.astype(np.float64)
    severity = _severity(loss_db, care_db=LEVEL_CARE_DB, fails_db=LEVEL_FAILS_DB)
    limit_db = LEVEL_FAILS_DB if severity is Severity.FAILS else LEVEL_CARE_DB
    state = LimitState(limit_db - loss_db, "dB", _Doubts(reading, loaded, weights))
    told = _Told(
        severity,
        state,
        words={"loss": format_level(max(loss_db, 0.0), "dB")},
        why=Compared("level lost to the load", loss_db, limit_db, "dB"),
        source="voltage at the output's terminals, against the load that it is made for",
    )
    return _finding(reading, loaded, LEVEL, told)


def _tone(reading: Reading, loaded: _Loaded) -> Finding:
    used = np.flatnonzero(loaded.is_used)
    least_db = float(loaded.loss_db[used].min())
    is_flat = float(loaded.loss_db[used].max()) - least_db < LEVEL_FINE_DB
    flat_db = 0.0 if loaded.has_reference and not is_flat else least_db
    band = int(used[np.argmax(loaded.loss_db[used])])
    loss_db = float(loaded.loss_db[band]) - flat_db
    weights = np.zeros(BANDS)
    weights[band] = 1.0
    severity = _severity(loss_db, care_db=TONE_CARE_DB, fails_db=TONE_FAILS_DB)
    limit_db = TONE_FAILS_DB if severity is Severity.FAILS else TONE_CARE_DB
    words = {
        "loss": format_level(max(loss_db, 0.0), "dB"),
        "hz": format_si(float(nominal_hz()[band]), "Hz"),
    }
    told = _Told(
        severity,
        LimitState(limit_db - loss_db, "dB", _Doubts(reading, loaded, weights)),
        words,
        why=Compared(f"lost at {words['hz']}", loss_db, limit_db, "dB"),
        source="response at the output's terminals over the bands that the source uses",
    )
    return _finding(reading, loaded, TONE, told)


def _severity(loss_db: float, *, care_db: float, fails_db: float) -> Severity:
    if loss_db > fails_db + ROUNDING:
        return Severity.FAILS
    return Severity.CARE if loss_db > care_db + ROUNDING else Severity.FINE


@dataclass(frozen=True, slots=True)
class _Doubts:
    """Figures that the voltage at an output's terminals hangs on, when they are asked for."""

    reading: Reading
    loaded: _Loaded
    weights: NDArray[np.float64]

    def __call__(self) -> Iterator[Doubt]:
        solution, loaded = self.reading.solution, self.loaded
        for each in island_sensitivities(
            solution.islands[loaded.island],
            solution.solved[loaded.island],
            address_of(loaded.output),
            loaded.output,
            self.weights,
        ):
            yield Doubt(figure_words(self.reading.rig, each.tag), "fact", each.figure, each.slope)


@dataclass(frozen=True, slots=True)
class _Told:
    """What a finding says."""

    severity: Severity
    state: LimitState
    words: dict[str, str]
    why: Compared
    source: str


def _finding(reading: Reading, loaded: _Loaded, code: str, told: _Told) -> Finding:
    port = loaded.output[0]
    words = {"output": output_words(reading.rig, loaded.output), **told.words}
    return Finding(
        code=code,
        severity=told.severity,
        where=address_of(loaded.output),
        what=SENTENCES[code][told.severity].format(**words),
        why=(told.why,),
        state=told.state,
        source=told.source,
        basis="common practice",
        ports=(port, *other_ends(reading.rig, port)),
    )


EXPLAINED: Final = (
    Explained(
        LEVEL,
        "Voltage at an output's own terminals with everything that hangs on it, against its open "
        "voltage, or against the load that it is made for; the band that loses least counts.",
        (
            Threshold("loss that nobody hears", LEVEL_FINE_DB, "dB", PRACTICE),
            Threshold("loss from which it is care", LEVEL_CARE_DB, "dB", PRACTICE),
            Threshold("loss from which it fails", LEVEL_FAILS_DB, "dB", PRACTICE),
        ),
    ),
    Explained(
        TONE,
        "Voltage at an output's own terminals in the band that loses most, of those that the "
        "source uses: from its lowest note to the second harmonic of the highest, or what voice "
        "and percussion need. Against the load that the output is made for, or its best band.",
        (
            Threshold("loss from which it is care", TONE_CARE_DB, "dB", "IEC 60268-4 practice"),
            Threshold("loss from which it fails", TONE_FAILS_DB, "dB", "ISO 532 (10 phon)"),
        ),
    ),
)
