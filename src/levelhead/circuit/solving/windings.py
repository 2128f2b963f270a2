"""Coupled windings of a transformer as impedance and admittance matrices."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray


def winding_impedance_changes_ohm(
    figures: NDArray[np.float64], hz: NDArray[np.float64]
) -> NDArray[np.complex128]:
    """Impedance matrix of coupled windings by what each figure adds to it as it grows.

    Parameters
    ----------
    figures : float, (transformers, 5)
        As ``Network.transformer_value``.
    hz : float, (bands,)
        [Hz]

    Returns
    -------
    complex, (transformers, 5, bands, 2, 2)
        ``dZ / d ln(figure)``. All but that of the turns ratio add up to Z itself. [ohm]
    """
    ratio, magnetising_h, leakage_h, primary_ohm, secondary_ohm = figures.T[:, :, None]
    j_omega = 2j * np.pi * hz
    shared_ohm = j_omega * magnetising_h
    change_ohm = np.zeros((len(figures), 5, len(hz), 2, 2), dtype=np.complex128)
    change_ohm[:, 0, :, 0, 1] = change_ohm[:, 0, :, 1, 0] = -shared_ohm / ratio
    change_ohm[:, 0, :, 1, 1] = -2 * shared_ohm / ratio**2
    change_ohm[:, 1, :, 0, 0] = shared_ohm
    change_ohm[:, 1, :, 0, 1] = change_ohm[:, 1, :, 1, 0] = shared_ohm / ratio
    change_ohm[:, 1, :, 1, 1] = shared_ohm / ratio**2
    change_ohm[:, 2, :, 0, 0] = j_omega * leakage_h
    change_ohm[:, 3, :, 0, 0] = primary_ohm
    change_ohm[:, 4, :, 1, 1] = secondary_ohm
    return change_ohm


def winding_admittance_s(
    figures: NDArray[np.float64], hz: NDArray[np.float64]
) -> NDArray[np.complex128]:
    """Admittance matrix of coupled windings, the inverse of their impedance matrix.

    The determinant is written out, so that close coupling cancels no digits: with
    ``Z11 Z22 - Z12^2`` a leakage of 1 ppm would lose six of them.

    Returns
    -------
    complex, (transformers, bands, 2, 2)
        Shapes as in ``winding_impedance_changes_ohm``. [S]
    """
    changes_ohm = winding_impedance_changes_ohm(figures, hz)
    impedance_ohm = changes_ohm[:, 1:].sum(axis=1)
    ratio, magnetising_h, leakage_h, primary_ohm, secondary_ohm = figures.T[:, :, None]
    j_omega = 2j * np.pi * hz
    shared_ohm = j_omega * magnetising_h
    series_ohm = primary_ohm + j_omega * leakage_h
    determinant = series_ohm * (secondary_ohm + shared_ohm / ratio**2) + shared_ohm * secondary_ohm
    admittance_s: NDArray[np.complex128] = np.empty_like(impedance_ohm)
    admittance_s[..., 0, 0] = impedance_ohm[..., 1, 1] / determinant
    admittance_s[..., 1, 1] = impedance_ohm[..., 0, 0] / determinant
    admittance_s[..., 0, 1] = admittance_s[..., 1, 0] = -impedance_ohm[..., 0, 1] / determinant
    return admittance_s
