"""Limiter thresholds of a rig: of amplifier channels, and of powered loudspeakers.

The weakest loudspeaker of a channel decides. Thresholds are told in volts at the loudspeakers and
in dBu at the output that feeds the amplifier, with its level control as it stands.
"""

from __future__ import annotations

from typing import Final

from levelhead.planning.gains.wanted.apart import played_apart
from levelhead.planning.gains.wanted.ends import ends_of
from levelhead.planning.limiters.amplifiers import channel_setting
from levelhead.planning.limiters.powered import powered_settings
from levelhead.planning.limiters.settings import LimiterSetting
from levelhead.planning.limiters.way_back import WaysBack
from levelhead.verdicts.amplifiers.driven import Driven, driven
from levelhead.verdicts.read.reading import Reading

__all__ = ["LIMITER_CAUTION", "limiter_settings"]

LIMITER_CAUTION: Final = (
    "A limiter protects only what it is set for: set it anew when a loudspeaker, an amplifier or "
    "its level changes. It keeps no ears safe."
)


def limiter_settings(reading: Reading) -> tuple[LimiterSetting, ...]:
    """Thresholds for everything that drives a loudspeaker, in the order of the show.

    None for what plays without the desk, as a guitarist's cabinet does: there is no place for one.
    """
    solution = reading.solution
    ways = WaysBack(solution)
    alone = played_apart(solution, ends_of(solution))
    items = {solution.point(each.address).item for each in alone}
    channels: dict[str, list[Driven]] = {}
    for each in driven(reading):
        if each.load.item.id not in items:
            channels.setdefault(each.output.address, []).append(each)
    passive = [channel_setting(ways, loads) for loads in channels.values()]
    return (*passive, *powered_settings(reading, ways))
