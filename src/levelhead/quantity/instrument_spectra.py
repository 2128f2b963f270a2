"""Long-term spectra of instruments: levels of the thirds at the octaves 31.5 Hz to 16 kHz. [dB]

No standard prints them. What is known is where each begins (its lowest note), where most of its
power lies, and how it falls; the rows are drawn from that `from memory` and hold within some 5 dB.
They decide tone under load, weighted noise and which band clips first, never how loud a source is:
that is a figure of the gear book.

Books named: J. Meyer, Acoustics and the Performance of Music; N. H. Fletcher and T. D. Rossing,
Physics of Musical Instruments; T. D. Rossing, Science of Percussion Instruments; J. Boyk, There's
Life above 20 Kilohertz (1997). Recalled, not read again for these rows.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

__all__ = ["INSTRUMENTS", "InstrumentSpectrum"]


@dataclass(frozen=True, slots=True)
class InstrumentSpectrum:
    """Relative levels of the thirds at the ten octaves 31.5 Hz to 16 kHz, and what they rest on."""

    source: str
    at_octaves_db: tuple[float, ...]


INSTRUMENTS: Final[Mapping[str, InstrumentSpectrum]] = MappingProxyType(
    {
        "kick-drum": InstrumentSpectrum(
            "from memory: head at 50 to 80 Hz, beater at 2 to 4 kHz",
            (-10, 0, -7, -16, -20, -22, -20, -18, -28, -40),
        ),
        "snare-drum": InstrumentSpectrum(
            "from memory: head at 180 to 240 Hz (Rossing), snare wires from 2 kHz",
            (-31, -19, -7, 0, -3, -6, -4, -4, -8, -16),
        ),
        "tom-drum": InstrumentSpectrum(
            "from memory: heads at 80 to 180 Hz, stick at 3 to 5 kHz",
            (-15, -4, 0, -5, -13, -17, -18, -18, -26, -38),
        ),
        "drum-kit": InstrumentSpectrum(
            "from memory: drums below 400 Hz, cymbals above 3 kHz to beyond hearing (Boyk 1997)",
            (-9, 0, -2, -1, -4, -5, -5, -3, -2, -5),
        ),
        "electric-guitar": InstrumentSpectrum(
            "from memory: strings from 82 Hz, as a coil gives it below its resonance",
            (-23, -11, -1, 0, -1, -4, -9, -15, -25, -37),
        ),
        "guitar-amplifier": InstrumentSpectrum(
            "from memory: strings from 82 Hz, loudspeakers of 75 Hz to 5 kHz",
            (-23, -11, -3, 0, -1, -1, -2, -7, -19, -31),
        ),
        "bass-guitar": InstrumentSpectrum(
            "from memory: lowest string 41 Hz, its second harmonic as strong",
            (-9, 0, -1, -6, -12, -17, -22, -29, -38, -50),
        ),
        "acoustic-guitar": InstrumentSpectrum(
            "from memory: strings from 82 Hz, body near 100 and 200 Hz (Fletcher and Rossing)",
            (-22, -11, -1, 0, -5, -8, -12, -16, -22, -33),
        ),
        "piano": InstrumentSpectrum(
            "from memory: strongest at 100 to 600 Hz, falls 6 to 10 dB an octave above",
            (-15, -6, -1, 0, -2, -7, -14, -22, -31, -42),
        ),
        "trumpet": InstrumentSpectrum(
            "from memory: from 165 Hz, formant at 1.2 to 1.5 kHz (Meyer)",
            (-41, -30, -19, -8, -2, 0, -3, -10, -20, -32),
        ),
        "violin": InstrumentSpectrum(
            "from memory: from 196 Hz, strong to 3 kHz (Meyer)",
            (-39, -27, -15, -3, 0, -1, -4, -9, -20, -32),
        ),
        "saxophone": InstrumentSpectrum(
            "from memory: alto and tenor, from 105 Hz",
            (-28, -16, -4, 0, 0, -2, -9, -16, -26, -38),
        ),
    }
)
