"""Spectra of typical signals in the 31 bands, each scaled so that its bands sum to 0 dB."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, partial
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from levelhead.errors import QuantityError
from levelhead.quantity.arrays import np
from levelhead.quantity.bands import mid_hz, octave_levels_db, octave_mid_hz, width_hz
from levelhead.quantity.decibels import power_sum_db
from levelhead.quantity.instrument_spectra import INSTRUMENTS

if TYPE_CHECKING:
    from numpy.typing import NDArray

# IEC 60268-16 edition 5 (2020), speech spectrum in octaves 125 Hz to 8 kHz against its A-weighted
# total. Edition 4 prints other values (2.9, 2.9, -0.8, ...): the editions must not be mixed.
SPEECH_OCTAVES_DB: Final = (-2.5, 0.5, 0.0, -6.0, -12.0, -18.0, -24.0)

# ANSI S3.5-1997 Table 4, vocal effort, octaves 250 Hz to 8 kHz, read in public data files. The
# table prints levels in one hertz; these are levels of the octaves (22.5 dB more at 250 Hz, 3 dB
# more with each octave). Their levels at 1 m belong to them, not to the spectrum of IEC 60268-16.
EFFORT_OCTAVES_DB: Final[Mapping[str, tuple[float, ...]]] = MappingProxyType(
    {
        "normal-voice": (57.2, 59.8, 53.5, 48.8, 43.8, 38.6),
        "raised-voice": (61.5, 65.6, 62.4, 56.8, 51.3, 42.6),
        "loud-voice": (64.0, 70.3, 70.7, 65.9, 59.9, 48.9),
        "shout": (65.0, 74.7, 79.8, 75.8, 68.9, 58.2),
    }
)

# The standards end at these octaves. Below, little is left under the lowest note `from memory`;
# above, the fall from the last octave but one to the last goes on.
_BELOW_ALL_DB_PER_OCTAVE: Final = -12.0
_SETTLED_DB: Final = 1e-12

# IEC 60268-1:1985 clause 7, Table II: simulated programme signal in third octaves 20 Hz to 20 kHz,
# read in a public copy of the printed page.
PROGRAMME_THIRDS_DB: Final = (
    -13.5, -10.2, -7.4, -5.2, -3.5, -2.3, -1.4, -0.9, -0.5, -0.2, -0.1,
    0.0, 0.0, 0.0, 0.0, 0.0, 0.0, -0.1, -0.3, -0.6, -1.0,
    -1.6, -2.5, -3.7, -5.1, -7.0, -9.4, -11.9, -14.8, -18.2, -21.6,
)  # fmt: skip


def _pink() -> NDArray[np.float64]:
    """The same power in every band."""
    return np.zeros(mid_hz().size)


def _white() -> NDArray[np.float64]:
    """The same power in every hertz."""
    return np.asarray(10.0 * np.log10(width_hz()))


def _programme() -> NDArray[np.float64]:
    """The standard's table as it stands."""
    return np.array(PROGRAMME_THIRDS_DB)


def _speech() -> NDArray[np.float64]:
    """The octaves of IEC 60268-16."""
    return _of_octaves(SPEECH_OCTAVES_DB, first_octave=2)


def _of_octaves(levels_db: Sequence[float], *, first_octave: int) -> NDArray[np.float64]:
    """A standard's octaves, spread over thirds without steps and without changing an octave.

    A line through one knot an octave, straight over the logarithm of frequency, is moved at its
    knots until the thirds of each octave sum to the printed value. Octaves count from 31.5 Hz.
    """
    printed_db = np.array(levels_db)
    printed = slice(first_octave, first_octave + printed_db.size)
    at_hz = octave_mid_hz()[printed]
    fall_db = float(printed_db[-1] - printed_db[-2])
    knots_db = printed_db - 10.0 * np.log10(3.0)
    thirds_db = _voice_line(at_hz, knots_db, above_db_per_octave=fall_db)
    for _ in range(100):  # the error shrinks by more than half each time
        error_db = printed_db - octave_levels_db(thirds_db)[printed]
        if np.abs(error_db).max() < _SETTLED_DB:
            break
        knots_db = knots_db + error_db
        thirds_db = _voice_line(at_hz, knots_db, above_db_per_octave=fall_db)
    return thirds_db


def _voice_line(
    at_hz: NDArray[np.float64], knots_db: NDArray[np.float64], *, above_db_per_octave: float
) -> NDArray[np.float64]:
    """Levels in thirds on a line through knots, which falls off on both sides of them."""
    octaves, at = np.log2(mid_hz()), np.log2(at_hz)
    below = np.minimum(octaves - at[0], 0.0) * -_BELOW_ALL_DB_PER_OCTAVE
    above = np.maximum(octaves - at[-1], 0.0) * above_db_per_octave
    return np.asarray(np.interp(octaves, at, knots_db) + below + above)


def _of_an_instrument(at_octaves_db: Sequence[float]) -> NDArray[np.float64]:
    """Levels in thirds on a line through those at the octaves from 31.5 Hz; less is below."""
    octaves, at = np.log2(mid_hz()), np.log2(octave_mid_hz())
    below = np.minimum(octaves - at[0], 0.0) * -_BELOW_ALL_DB_PER_OCTAVE
    return np.asarray(np.interp(octaves, at, at_octaves_db) + below)


@dataclass(frozen=True, slots=True)
class Spectrum:
    """Where a spectrum comes from, and how its relative levels are made."""

    source: str
    make: Callable[[], NDArray[np.float64]]


SPECTRA: Final[Mapping[str, Spectrum]] = MappingProxyType(
    {
        "pink": Spectrum("definition: equal power in each third octave", _pink),
        "white": Spectrum("definition: equal power in each hertz", _white),
        "speech": Spectrum(
            "IEC 60268-16:2020, speech spectrum in octaves, spread over thirds", _speech
        ),
        "programme": Spectrum("IEC 60268-1:1985, clause 7, Table II", _programme),
        **{
            name: Spectrum(
                "ANSI S3.5-1997, Table 4, vocal effort, spread over thirds",
                partial(_of_octaves, octaves_db, first_octave=3),
            )
            for name, octaves_db in EFFORT_OCTAVES_DB.items()
        },
        **{
            name: Spectrum(each.source, partial(_of_an_instrument, each.at_octaves_db))
            for name, each in INSTRUMENTS.items()
        },
    }
)


@cache
def band_levels_db(name: str) -> NDArray[np.float64]:
    """Levels of a named spectrum in the 31 bands, whose powers sum to 0 dB.

    Parameters
    ----------
    name : str
        One of ``SPECTRA``: pink, white, speech, programme, loud-voice, kick-drum and so on.

    Returns
    -------
    ndarray, (31,), read-only
        Level of each band against the whole. [dB]

    Raises
    ------
    QuantityError
        The name is unknown.

    Examples
    --------
    >>> round(float(band_levels_db("pink")[0]), 2)
    -14.91
    """
    if name not in SPECTRA:
        raise QuantityError(
            f"unknown spectrum '{name}'",
            where="spectrum",
            expected="one of " + ", ".join(SPECTRA),
            remedy="Take 'programme' for music in general, 'speech' for a talker.",
        )
    relative_db = SPECTRA[name].make()
    levels_db = relative_db - power_sum_db(relative_db)
    levels_db.flags.writeable = False
    return levels_db
