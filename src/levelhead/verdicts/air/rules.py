"""The air: the rules about what comes to ears, and back into microphones."""

from __future__ import annotations

from typing import Final

from levelhead.verdicts.air.doses import check_doses
from levelhead.verdicts.air.rings import check_ringing
from levelhead.verdicts.air.seats import check_seats
from levelhead.verdicts.air.subs import check_subwoofers

__all__ = ["AIR_RULES"]

AIR_RULES: Final = (check_seats, check_ringing, check_subwoofers, check_doses)
