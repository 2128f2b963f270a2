"""Which frequencies a source uses: where a change of tone is heard as one.

An instrument uses its notes: from the lowest one to the second harmonic of the highest one; what
lies above is its colour, which every pickup, lead and cabinet makes anew. Percussion, voices and
music in general use what their attack and their consonants need. Ranges of notes are those of text
books of acoustics (J. Meyer, Acoustics and the Performance of Music), frequencies of notes ISO 16:
440 Hz, equal temperament.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.quantity.bands import edges_hz

__all__ = ["USED_HZ", "note_hz", "used_bands"]

_SEMITONES: Final[Mapping[str, int]] = {  # above C
    "C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11, "Bb": 10, "Eb": 3, "F#": 6, "Db": 1,
}  # fmt: skip


def note_hz(name: str) -> float:
    """Frequency of a note in scientific pitch notation, ISO 16: A4 is 440 Hz. [Hz]

    >>> round(note_hz("E2"), 1), round(note_hz("Bb3"), 1)
    (82.4, 233.1)
    """
    letters, octave = name[:-1], int(name[-1])
    semitones = 12 * (octave - 4) + _SEMITONES[letters] - _SEMITONES["A"]
    return float(440.0 * 2.0 ** (semitones / 12))


def _notes(lowest: str, highest: str) -> tuple[float, float]:
    """From the lowest note to the second harmonic of the highest."""
    return note_hz(lowest), 2 * note_hz(highest)


_MUSIC: Final = (31.5, 16000.0)  # common practice: what a good sound system carries
_VOICE: Final = (100.0, 12500.0)  # from memory: sibilants reach 12 kHz

USED_HZ: Final[Mapping[str, tuple[float, float]]] = MappingProxyType(
    {
        "electric-guitar": _notes("E2", "E6"),
        "guitar-amplifier": _notes("E2", "E6"),
        "bass-guitar": _notes("E1", "G4"),
        "acoustic-guitar": _notes("E2", "E6"),
        "piano": _notes("A0", "C8"),
        "trumpet": _notes("E3", "Bb5"),
        "violin": _notes("G3", "E7"),
        "saxophone": _notes("Db3", "A5"),
        "kick-drum": (40.0, 6300.0),  # from memory: head and beater
        "snare-drum": (160.0, 12500.0),  # from memory: head and wires
        "tom-drum": (63.0, 6300.0),  # from memory: head and stick
        "speech": _VOICE,
        "normal-voice": _VOICE,
        "raised-voice": _VOICE,
        "loud-voice": _VOICE,
        "shout": _VOICE,
    }
)


def used_bands(spectrum: str) -> NDArray[np.bool_]:
    """Bands in which a source of this spectrum has something to lose, (31,).

    What has no range of its own uses what music in general does.

    >>> from levelhead.quantity.bands import nominal_hz
    >>> nominal_hz()[used_bands("electric-guitar")][[0, -1]].tolist()
    [80.0, 2500.0]
    """
    low_hz, high_hz = USED_HZ.get(spectrum, _MUSIC)
    lower, upper = edges_hz()
    return np.asarray((upper > low_hz) & (lower < high_hz))
