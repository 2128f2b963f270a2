"""People: the rules about what can be touched, what can be heard, what is switched when."""

from __future__ import annotations

from typing import Final

from levelhead.verdicts.people.ears import check_ears, check_exposure
from levelhead.verdicts.people.mains_plugs import check_mains_plugs
from levelhead.verdicts.people.measured_levels import check_measured_levels
from levelhead.verdicts.people.measured_volts import check_measured_volts
from levelhead.verdicts.people.overhead import check_fixings, check_overhead
from levelhead.verdicts.people.reels import check_ratings
from levelhead.verdicts.people.shock import (
    check_devices_outdoors,
    check_earths,
    check_residual_currents,
    check_tingles,
)
from levelhead.verdicts.people.switching import check_switching_order
from levelhead.verdicts.people.tails import check_tails
from levelhead.verdicts.people.thumps import check_thumps
from levelhead.verdicts.people.touchable import check_touchable_volts

__all__ = ["PEOPLE_RULES"]

PEOPLE_RULES: Final = (
    check_earths,
    check_tingles,
    check_measured_volts,
    check_residual_currents,
    check_devices_outdoors,
    check_ratings,
    check_tails,
    check_mains_plugs,
    check_touchable_volts,
    check_ears,
    check_exposure,
    check_measured_levels,
    check_switching_order,
    check_thumps,
    check_fixings,
    check_overhead,
)
