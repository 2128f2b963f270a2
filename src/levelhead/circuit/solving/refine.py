"""Bands within which a circuit changes: solved at 1/24 octave, and averaged in power.

A third octave is known by its middle, which is enough where a response is flat or sloped. Near the
resonance of a pickup, the lower end of a transformer or the peak of a cabinet neighbouring bands
differ, and the middle says neither what the band lets pass nor how much noise it has.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.circuit.solving.solve import solve_networks
from levelhead.circuit.solving.solved import Solved

__all__ = ["LINES", "bands_to_refine", "line_hz", "refined"]

LINES: Final = 8  # to a third octave: each 1/24 octave (base ten) wide
STEP_DB: Final = 1.0  # between neighbouring bands; less than this the middle stands for the band
_BANDS_TO_A_DECADE: Final = 10
_HEARD_SHARE: Final = 1e-3  # of the strongest band at a sense: 60 dB below it nothing is told apart
_DEAF_V_PER_V: Final = 1e-9  # a sense that no source reaches

Real = NDArray[np.float64]
Whole = NDArray[np.int64]


def line_hz(mid_hz: Real) -> Real:
    """Middles of the 1/24 octaves of each band; (bands, lines). [Hz]

    >>> import numpy as np
    >>> [round(float(hz)) for hz in line_hz(np.array([1000.0]))[0, [0, 3, 4, 7]]]
    [904, 986, 1014, 1106]
    """
    steps = (np.arange(LINES) - (LINES - 1) / 2) / (LINES * _BANDS_TO_A_DECADE)
    lines: Real = mid_hz[:, None] * 10**steps
    return lines


def bands_to_refine(solved: Solved) -> Whole:
    """Bands that differ from a neighbour by more than 1 dB, in any response or noise; indices.

    What lies 60 dB below the strongest band of a sense does not count.
    """
    responses = np.abs(solved.transfer).reshape(-1, len(solved.hz))
    noises = np.sqrt(solved.noise_v2_per_hz)
    steep = np.zeros(len(solved.hz), dtype=np.bool_)
    for rows in (responses, noises):
        if rows.size:
            steep |= _steep(rows)
    return np.flatnonzero(steep)


def _steep(rows: Real) -> NDArray[np.bool_]:
    """Bands in which a row changes by more than a step; (bands,)."""
    strongest = rows.max(axis=1, keepdims=True)
    is_heard = strongest[:, 0] > _DEAF_V_PER_V * strongest.max()
    floor = np.maximum(strongest * _HEARD_SHARE, np.finfo(np.float64).tiny)
    level_db = 20 * np.log10(np.maximum(rows, floor)[is_heard])
    steps = (np.abs(np.diff(level_db, axis=1)) > STEP_DB).any(axis=0)
    steep: NDArray[np.bool_] = np.zeros(rows.shape[1], dtype=np.bool_)
    steep[:-1] |= steps
    steep[1:] |= steps
    return steep


def refined(solved: Sequence[Solved]) -> list[Solved]:
    """The same solutions, with responses and noise of steep bands averaged over their 1/24 octaves.

    A response keeps the phase of the middle, and gets the root mean square of its lines: that of a
    signal whose power is even over the logarithm of frequency within the band. A noise density is
    the mean over the hertz of the band. Currents, node voltages and what the adjoint needs stay
    those of the middle. Solutions without a steep band are returned as they are.
    """
    found = list(solved)
    for bands, rows in _alike(found):
        hz = line_hz(found[rows[0]].hz[bands])
        fine = solve_networks([found[row].network for row in rows], hz.ravel())
        for row, lines in zip(rows, fine, strict=True):
            found[row] = _averaged(found[row], lines, bands, hz)
    return found


def _alike(solved: Sequence[Solved]) -> Iterator[tuple[Whole, list[int]]]:
    """Rows of those that are steep in the same bands, so that one call solves them."""
    rows: dict[tuple[int, ...], list[int]] = {}
    for row, each in enumerate(solved):
        rows.setdefault(tuple(bands_to_refine(each).tolist()), []).append(row)
    for bands, alike in rows.items():
        if bands:
            yield np.array(bands, dtype=np.int64), alike


def _averaged(solved: Solved, fine: Solved, bands: Whole, hz: Real) -> Solved:
    """A solution with the mean of its lines in some bands."""
    senses, sources = solved.transfer.shape[:2]
    power = np.abs(fine.transfer).reshape(senses, sources, *hz.shape) ** 2
    transfer = solved.transfer.copy()
    middle = transfer[:, :, bands]
    phase = np.where(middle == 0, 1, middle / np.where(middle == 0, 1, np.abs(middle)))
    transfer[:, :, bands] = np.sqrt(power.mean(axis=-1)) * phase
    noise_v2 = solved.noise_v2_per_hz.copy()
    lines_v2 = fine.noise_v2_per_hz.reshape(senses, *hz.shape)
    noise_v2[:, bands] = (lines_v2 * hz).sum(axis=-1) / hz.sum(axis=-1)
    for array in (transfer, noise_v2):
        array.setflags(write=False)
    return replace(
        solved, transfer=transfer, noise_v2_per_hz=noise_v2, refined=tuple(bands.tolist())
    )
