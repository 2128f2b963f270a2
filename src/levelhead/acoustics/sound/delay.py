"""Delays: loudspeakers further back, subwoofers under mains, and one signal that comes twice.

References
----------
.. [1] H. Haas, "The influence of a single echo on the audibility of speech", 1949 (J. Audio Eng.
   Soc. 20 (1972), 146-159): an echo up to 10 dB louder than the first sound, 5 to 30 ms behind it,
   is not heard as one; beyond some 40 ms sounds fall apart.
.. [2] Offsets of 10 to 20 ms behind the first arrival: common practice.
.. [3] F. A. Everest, "Master Handbook of Acoustics", ch. Comb-filter effects: nulls at odd
   multiples of ``1 / (2 tau)``.
.. [4] Recommendation ITU-R BS.1116, reference listening rooms: early reflections up to 15 ms are
   10 dB or more below the direct sound; `from memory`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from levelhead.acoustics.sound.air import USUAL_AIR, Air
from levelhead.errors import QuantityError

__all__ = [
    "COLOURED",
    "FALLS_APART_S",
    "FUSES_TO_S",
    "HEARD_COMB_DB",
    "LEAST_SHARE",
    "LOUDER_DB",
    "USUAL_OFFSET_S",
    "Alignment",
    "Comb",
    "Delay",
    "align_subwoofer",
    "comb",
    "delay_for",
    "echo_louder_db",
    "fused_to_s",
    "louder_by_db",
    "ripple_db",
]

USUAL_OFFSET_S: Final = 0.015  # [2]
FUSES_FROM_S: Final = 0.005  # [1]
FUSES_TO_S: Final = 0.030  # [1]
FALLS_APART_S: Final = 0.050  # [1]: from here a late sound as loud as the first is an echo
LOUDER_DB: Final = 10.0  # [1]
HEARD_COMB_DB: Final = 10.0  # [4]; a copy that far down makes ripples of 6 dB
LEAST_SHARE: Final = 0.25  # of the seats of an area; fewer are the usual overlap, common practice
COMB_FROM_S: Final = 2.5e-5  # the first null is above 20 kHz
STEP_S: Final = 1e-4  # steps in which any delay can be set
_COPY: Final = 10.0 ** (-HEARD_COMB_DB / 20.0)
COLOURED: Final = 2.0 * _COPY / (1.0 + _COPY**2)
"""Swing of a power about its mean from which a colour is heard: that of a copy 10 dB down [4]."""
COMB_TO_S: Final = 0.02  # longer delays are heard as an echo or as a room, not as a colour


@dataclass(frozen=True, slots=True, kw_only=True)
class Delay:
    """Setting of a delayed loudspeaker.

    Parameters
    ----------
    time_s : float
        What to set: flight of the first sound, less its own flight, and the offset. [s]
    behind_s : float
        By how much it then arrives behind the first sound. [s]
    per_kelvin_s : float
        By how much the setting is off for each degree that the air differs. [s/K]
    may_be_louder_db : float
        Than the first sound, before ears go to it. [dB]
    """

    time_s: float
    behind_s: float
    per_kelvin_s: float
    may_be_louder_db: float


def delay_for(
    *,
    first_m: float,
    own_m: float,
    air: Air = USUAL_AIR,
    offset_s: float = USUAL_OFFSET_S,
    latency_s: float = 0.0,
) -> Delay:
    """Delay of a loudspeaker that repeats what comes from further ahead.

    Parameters
    ----------
    first_m, own_m : float
        From the first loudspeaker, and from this one, to the listener. [m]
    offset_s : float
        By how much it shall come behind, so that sound still comes from the front [2]. [s]
    latency_s : float
        What its signal is late already against that of the first. [s]

    Raises
    ------
    QuantityError
        A distance is not above zero.

    Examples
    --------
    >>> setting = delay_for(first_m=25.0, own_m=5.0)
    >>> round(1000 * setting.time_s, 1), setting.may_be_louder_db
    (73.3, 10.0)
    """
    if not (first_m > 0 and own_m > 0):
        raise QuantityError(
            f"distances of {first_m:g} and {own_m:g} m",
            where="delay of a loudspeaker",
            expected="both above zero",
            remedy="Measure from each loudspeaker to the seat that it is set for.",
        )
    flight_s = (first_m - own_m) / air.speed_m_per_s
    wanted_s = flight_s + offset_s - latency_s
    time_s = max(wanted_s, 0.0)
    behind_s = offset_s + time_s - wanted_s
    return Delay(
        time_s=time_s,
        behind_s=behind_s,
        per_kelvin_s=-flight_s / (2.0 * air.temperature_k),
        may_be_louder_db=louder_by_db(behind_s),
    )


def louder_by_db(behind_s: float) -> float:
    """How much louder a sound may be that comes later, before it is heard by itself [1]. [dB]

    It rises to 10 dB at 5 ms, stays to 30 ms, and is gone at 50 ms, straight lines between.

    >>> [louder_by_db(ms / 1000) for ms in (-1, 0, 5, 20, 30, 40, 60)]
    [0.0, 0.0, 10.0, 10.0, 10.0, 5.0, 0.0]
    """
    rise = LOUDER_DB * behind_s / FUSES_FROM_S
    return round(max(0.0, min(rise, echo_louder_db(behind_s))), 9)


def echo_louder_db(behind_s: float) -> float:
    """How much louder a late sound may be before it is an echo; weaker, where below zero [1]. [dB]

    10 dB to 30 ms, none at 50 ms, and straight on: an echo that is 10 dB down disturbs nobody,
    however late.

    >>> [echo_louder_db(ms / 1000) for ms in (10, 30, 40, 50, 60, 200)]
    [10.0, 10.0, 5.0, 0.0, -5.0, -10.0]
    """
    fall = (FALLS_APART_S - behind_s) / (FALLS_APART_S - FUSES_TO_S)
    return round(LOUDER_DB * max(-1.0, min(1.0, fall)), 9)


def fused_to_s(louder_db: float) -> float:
    """How late a sound may be that is so much louder, before it is an echo [1]. [s]

    >>> [round(1000 * fused_to_s(db), 1) for db in (10, 0, -8, -10)]
    [30.0, 50.0, 66.0, inf]
    """
    if louder_db <= -LOUDER_DB:
        return math.inf
    share = min(louder_db / LOUDER_DB, 1.0)
    return FALLS_APART_S - share * (FALLS_APART_S - FUSES_TO_S)


@dataclass(frozen=True, slots=True, kw_only=True)
class Alignment:
    """How a subwoofer joins the mains at the crossover.

    Parameters
    ----------
    delay_sub_s, delay_main_s : float
        What to set; one of them is zero. [s]
    inverted : bool
        Turn the polarity of the subwoofer.
    phase_deg : float
        What is left between both at the crossover; 120 degrees and more cancel. [degrees]
    sum_db : float
        Both together against one alone, both equally loud there: 6 dB at best. [dB]
    unset_db : float
        The same without any of this. [dB]
    """

    delay_sub_s: float
    delay_main_s: float
    inverted: bool
    phase_deg: float
    sum_db: float
    unset_db: float


def align_subwoofer(
    *,
    sub_m: float,
    main_m: float,
    crossover_hz: float,
    filter_phase_deg: float = 0.0,
    sub_late_s: float = 0.0,
    air: Air = USUAL_AIR,
) -> Alignment:
    """Delay and polarity so that a subwoofer and the mains arrive together at one place.

    Parameters
    ----------
    sub_m, main_m : float
        From each to the place. [m]
    crossover_hz : float
        Where both are equally loud. [Hz]
    filter_phase_deg : float
        Phase of the subwoofer against the mains at the crossover by filters and drivers: 0 for
        fourth-order Linkwitz-Riley, 180 for second order. [degrees]
    sub_late_s : float
        What the subwoofer's signal is late already. [s]

    Notes
    -----
    Arrivals are put together first, the polarity takes what is left: a match by phase alone, one
    turn away, would be right at one frequency only.

    Examples
    --------
    >>> set_up = align_subwoofer(sub_m=8.0, main_m=10.0, crossover_hz=100.0)
    >>> round(1000 * set_up.delay_sub_s, 1), set_up.inverted, round(set_up.sum_db, 1)
    (5.8, False, 6.0)
    """
    late_s = (sub_m - main_m) / air.speed_m_per_s + sub_late_s
    steps = round(abs(late_s) / STEP_S) * STEP_S
    delay_sub_s, delay_main_s = (steps, 0.0) if late_s < 0 else (0.0, steps)
    turn = 360.0 * crossover_hz
    unset_deg = filter_phase_deg - turn * late_s
    left_deg = filter_phase_deg - turn * (late_s + delay_sub_s - delay_main_s)
    inverted = abs(_wrapped_deg(left_deg)) > 90.0  # noqa: PLR2004 - a quarter turn
    phase_deg = _wrapped_deg(left_deg + (180.0 if inverted else 0.0))
    return Alignment(
        delay_sub_s=delay_sub_s,
        delay_main_s=delay_main_s,
        inverted=inverted,
        phase_deg=phase_deg,
        sum_db=_sum_db(phase_deg),
        unset_db=_sum_db(unset_deg),
    )


def _wrapped_deg(angle_deg: float) -> float:
    """An angle from -180 to 180 degrees."""
    return math.remainder(angle_deg, 360.0)


def _sum_db(phase_deg: float) -> float:
    """Two equal tones against one of them."""
    together = 2.0 * abs(math.cos(math.radians(phase_deg) / 2.0))
    return 20.0 * math.log10(max(together, 1e-6))


@dataclass(frozen=True, slots=True, kw_only=True)
class Comb:
    """One signal twice: first null and how deep ripples are; ``heard`` if that is a colour."""

    first_null_hz: float
    peak_db: float
    dip_db: float
    heard: bool


def comb(*, apart_s: float, down_db: float = 0.0) -> Comb:
    """Comb filter of a signal and its copy, which is later and weaker.

    Parameters
    ----------
    apart_s : float
        Between both. [s]
    down_db : float
        By how much the copy is weaker (or stronger: it is the same). [dB]

    Examples
    --------
    >>> comb(apart_s=0.001).first_null_hz
    500.0
    """
    copy = 10.0 ** (-abs(down_db) / 20.0)
    apart = abs(apart_s)
    return Comb(
        first_null_hz=math.inf if apart == 0 else 1.0 / (2.0 * apart),
        peak_db=20.0 * math.log10(1.0 + copy),
        dip_db=20.0 * math.log10(max(1.0 - copy, 1e-6)),
        heard=abs(down_db) < HEARD_COMB_DB and COMB_FROM_S < apart < COMB_TO_S,
    )


def ripple_db(swing: float) -> float:
    """From the peak to the dip of a power that swings by a share of its mean. [dB]

    >>> round(ripple_db(COLOURED), 1)
    5.7
    """
    held = min(swing, 1.0 - 1e-4)
    return 10.0 * math.log10((1.0 + held) / (1.0 - held))
