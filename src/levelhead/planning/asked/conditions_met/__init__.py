"""Conditions of a question met: settings, figures, a lead, a box between.

Each is met by the side at which it was typed, else by the other one, and is said back; or it is
said that it is not used, and why.
"""

from levelhead.planning.asked.conditions_met.meet import meet
from levelhead.planning.asked.conditions_met.outcome import (
    NOT_UNDERSTOOD,
    Applied,
    Box,
    Met,
    Unused,
)

__all__ = ["NOT_UNDERSTOOD", "Applied", "Box", "Met", "Unused", "meet"]
