"""Rules on what is plugged: loads on outputs, leads, and what meets at the ends of them."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Final

from levelhead.verdicts.loading.joined import check_joined_outputs
from levelhead.verdicts.loading.levels import check_loading
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Finding
from levelhead.verdicts.wiring.cancelling import check_cancelling, check_opposite_sides
from levelhead.verdicts.wiring.contacts import check_battery_switches, check_one_side_alone
from levelhead.verdicts.wiring.curves import check_record_curves
from levelhead.verdicts.wiring.ends import check_ends_meet
from levelhead.verdicts.wiring.halves import check_combined_sockets
from levelhead.verdicts.wiring.heat import check_heat_of_leads
from levelhead.verdicts.wiring.inserts import check_half_in, check_inserts_return
from levelhead.verdicts.wiring.languages import check_data_lines, check_languages
from levelhead.verdicts.wiring.leads import check_balance_kept, check_screens
from levelhead.verdicts.wiring.lengths import check_lengths
from levelhead.verdicts.wiring.lost import check_leads_bring_the_signal
from levelhead.verdicts.wiring.poles import check_poles
from levelhead.verdicts.wiring.shorted import check_shorted_outputs
from levelhead.verdicts.wiring.unknown_outputs import check_unknown_outputs
from levelhead.verdicts.wiring.unreached import check_bridges_are_used, check_sections_are_reached

__all__ = ["CONNECTION_RULES"]

CONNECTION_RULES: Final[tuple[Callable[[Reading], Iterable[Finding]], ...]] = (
    check_loading,
    check_joined_outputs,
    check_leads_bring_the_signal,
    check_shorted_outputs,
    check_ends_meet,
    check_cancelling,
    check_opposite_sides,
    check_heat_of_leads,
    check_screens,
    check_balance_kept,
    check_languages,
    check_data_lines,
    check_lengths,
    check_record_curves,
    check_combined_sockets,
    check_unknown_outputs,
    check_inserts_return,
    check_half_in,
    check_battery_switches,
    check_one_side_alone,
    check_poles,
    check_sections_are_reached,
    check_bridges_are_used,
)
