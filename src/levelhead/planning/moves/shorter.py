"""A shorter lead where the places of both ends are known and one reaches: nobody guesses a way."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from levelhead.planning.moves.candidate import COST_OF_CABLE, Candidate, instead
from levelhead.planning.stock import taken
from levelhead.planning.trial import Trial
from levelhead.show.addresses import item_of
from levelhead.show.model import Cable, Link, Show
from levelhead.verdicts.told.finding import Finding
from levelhead.verdicts.wiring.lengths import TOO_LONG

__all__ = ["shorter_leads"]

# A cable goes along walls and up to its sockets: longer than the straight way, common practice
_ROUND_CORNERS: Final = 1.3
_AT_THE_ENDS_M: Final = 5.0
_STEP_M: Final = 5.0  # in which cables are made


def shorter_leads(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """The same cable, as long as the way asks for: a roll that is too long for what it carries."""
    if finding.code != TOO_LONG:
        return
    for link in trial.show.links:
        if {finding.where} & set(link.ends.values()) and len(link.via) == 1:
            (cable,) = link.via
            needed_m = _needed_m(trial.show, link)
            if needed_m is None or cable.length_m is None:
                continue
            shorter = taken(trial.show, cable.type, needed_m)
            if (shorter.length_m or math.inf) < cable.length_m:
                shorter_link = replace(link, via=(Cable(cable.type, shorter.length_m),))
                yield instead(link, shorter_link, COST_OF_CABLE)


def _needed_m(show: Show, link: Link) -> float | None:
    """What a cable between the items of a link has to be long; ``None`` without places. [m]"""
    places = [show.items[item_of(each)].at for each in link.ends.values()]
    one, other = places if len(places) == 2 else (None, None)  # noqa: PLR2004 -- two ends
    if one is None or other is None:
        return None
    way_m = _ROUND_CORNERS * math.dist(one, other) + _AT_THE_ENDS_M
    return _STEP_M * math.ceil(way_m / _STEP_M)
