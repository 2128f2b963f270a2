"""What a goal has to gain by a switch, or nobody turns it.

A switch that several sources pass, such as mic/line of a loudspeaker behind a mixer, says what is
plugged there. A lead or a balance that is wrong is mended elsewhere.
"""

from __future__ import annotations

from levelhead.planning.gains.model.values import Model
from levelhead.planning.gains.thresholds import (
    LEVEL_HEARD_DB,
    METERS_FOR_SWITCH_DB,
    MIX_FOR_SWITCH_DB,
    NOISE_FOR_SWITCH_DB,
)

__all__ = ["loudness_costs", "meters_costs", "noise_costs"]


def loudness_costs(model: Model) -> dict[int, float]:
    """In dB of what every way that an option changes is off, summed, by option."""
    mixed = _mixed_options(model)
    return {
        option: (MIX_FOR_SWITCH_DB if option in mixed else LEVEL_HEARD_DB) * len(passing)
        for option, passing in _passing(model).items()
    }


def meters_costs(model: Model) -> dict[int, float]:
    """In dB of what all meters are off their marks, summed."""
    return dict.fromkeys(sorted(_mixed_options(model)), METERS_FOR_SWITCH_DB)


def noise_costs(model: Model) -> dict[int, float]:
    """In dB of noise, summed over the ends."""
    return dict.fromkeys(sorted(_mixed_options(model)), NOISE_FOR_SWITCH_DB)


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
