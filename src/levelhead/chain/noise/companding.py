"""Companders of wireless links: the noise of the link follows the signal.

The transmitter divides levels (in dB under full deviation) by the ratio, the receiver multiplies
them by it. The receiver's gain follows the signal, and with it the noise of the link: at full
deviation it stands as far down as on the link itself, in a pause far lower. Printed signal-to-noise
ratios are full deviation against a pause; while somebody speaks there is less, which the voice
itself covers.

References
----------
R. Dolby, An Audio Noise Reduction System, JAES 15 (1967), 383-388 (noise that a signal modulates);
2 to 1 for wireless microphones: common practice.
"""

from __future__ import annotations

import math

__all__ = ["floor_under_signal", "link_noise_from_pause_db"]


def floor_under_signal(
    *, pause: float, nominal: float, full: float, link_noise_db: float, ratio: float
) -> float:
    """Noise behind the receiver while a signal passes, rms in the unit of the point.

    Parameters
    ----------
    pause
        Noise in a pause, as printed.
    nominal, full
        Signal, and full deviation, at that point.
    link_noise_db
        Noise of the link under full deviation, before the receiver expands. [dB]
    ratio
        Of the compander: 2 for 2 to 1.

    Examples
    --------
    >>> loud = floor_under_signal(pause=1e-5, nominal=1.0, full=1.0, link_noise_db=-60, ratio=2)
    >>> soft = floor_under_signal(pause=1e-5, nominal=0.01, full=1.0, link_noise_db=-60, ratio=2)
    >>> round(20 * math.log10(loud)), round(20 * math.log10(soft))
    (-60, -80)
    """
    if nominal <= 0:
        return pause
    down_db = min(20 * math.log10(nominal / full), 0.0)
    breathing = full * 10 ** ((link_noise_db + down_db * (1 - 1 / ratio)) / 20)
    return math.hypot(pause, breathing)


def link_noise_from_pause_db(pause_db: float, ratio: float) -> float:
    """Noise of a link under full deviation whose pause is as printed. [dB]

    The receiver multiplies the noise of a pause by its ratio like any other level: 110 dB in a
    pause are 55 dB at 2 to 1.

    >>> link_noise_from_pause_db(-110.0, 2.0)
    -55.0
    """
    return pause_db / ratio
