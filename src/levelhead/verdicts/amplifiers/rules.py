"""Rules on amplifiers and loudspeakers."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Final

from levelhead.verdicts.amplifiers.lines import check_loudspeaker_lines
from levelhead.verdicts.amplifiers.loads import check_amplifier_loads
from levelhead.verdicts.amplifiers.ratings import check_ratings
from levelhead.verdicts.amplifiers.system import (
    check_input_sensitivity,
    check_pairs,
    check_range,
)
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Finding

__all__ = ["LOUDSPEAKER_RULES"]

LOUDSPEAKER_RULES: Final[tuple[Callable[[Reading], Iterable[Finding]], ...]] = (
    check_amplifier_loads,
    check_ratings,
    check_loudspeaker_lines,
    check_pairs,
    check_range,
    check_input_sensitivity,
)
