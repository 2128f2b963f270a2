"""What a goal has to gain by a switch, or nobody turns it.

A switch that several sources pass, such as mic/line of a loudspeaker behind a mixer, says what is
plugged there. A lead or a balance that is wrong is mended elsewhere.
"""

from __future__ import annotations

from typing import Final

from levelhead.planning.gains.problem import Model

__all__ = ["MIXED_SWITCH_DB", "loudness_costs", "meters_costs", "noise_costs"]

MIXED_SWITCH_DB: Final = 10.0  # of all that pass: half as loud, common practice
_SWITCH_DB: Final = 1.0  # of one source: less is not heard, common practice
_METERS_DB: Final = 6.0  # half the volts
_NOISE_DB: Final = 3.0  # half the power


def loudness_costs(model: Model) -> dict[int, float]:
    """In dB of what every way that an option changes is off, summed, by option."""
    mixed = _mixed_options(model)
    return {
        option: (MIXED_SWITCH_DB if option in mixed else _SWITCH_DB) * len(passing)
        for option, passing in _passing(model).items()
    }


def meters_costs(model: Model) -> dict[int, float]:
    """In dB of what all meters are off their marks, summed."""
    return dict.fromkeys(sorted(_mixed_options(model)), _METERS_DB)


def noise_costs(model: Model) -> dict[int, float]:
    """In dB of noise, summed over the ends."""
    return dict.fromkeys(sorted(_mixed_options(model)), _NOISE_DB)


def _mixed_options(model: Model) -> frozenset[int]:
    """Options of switches that several sources pass."""
    return frozenset(option for option, passing in _passing(model).items() if len(set(passing)) > 1)


def _passing(model: Model) -> dict[int, list[str]]:
    """By option: whose ways to the ends it changes, once for each target."""
    return {
        option: [
            target.term.origin for target, level in model.targets if level.slopes[:, option].any()
        ]
        for option in range(len(model.knobs.knobs), len(model.knobs))
    }
