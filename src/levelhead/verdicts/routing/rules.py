"""Rules on where signals go: loops, copies, sends, sides, clocks."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Final

from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.routing.clocks import check_clocks, check_shared_gains
from levelhead.verdicts.routing.copies import check_copies
from levelhead.verdicts.routing.half_heard import check_both_sides, check_players_are_open
from levelhead.verdicts.routing.heard import (
    check_everybody_is_heard,
    check_loudspeakers_have_a_signal,
)
from levelhead.verdicts.routing.late import check_delay_loudspeakers, check_in_ears_in_time
from levelhead.verdicts.routing.loops import check_loops
from levelhead.verdicts.routing.sends import check_recordings, check_sends
from levelhead.verdicts.routing.silent import check_recorders_have_a_signal
from levelhead.verdicts.routing.switched_away import check_inputs_are_chosen
from levelhead.verdicts.routing.talkback import check_talkback
from levelhead.verdicts.told.finding import Finding

__all__ = ["ROUTING_RULES"]

ROUTING_RULES: Final[tuple[Callable[[Reading], Iterable[Finding]], ...]] = (
    check_everybody_is_heard,
    check_inputs_are_chosen,
    check_loudspeakers_have_a_signal,
    check_loops,
    check_copies,
    check_sends,
    check_recordings,
    check_recorders_have_a_signal,
    check_both_sides,
    check_players_are_open,
    check_talkback,
    check_clocks,
    check_shared_gains,
    check_in_ears_in_time,
    check_delay_loudspeakers,
)
