"""Cable reels, strips and outlets against their ratings: what hangs on them, wound up or unwound.

Only what the show tells counts: ratings of supplies, and what items take from the mains.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from levelhead.gear.figures import Figure
from levelhead.quantity.parsing import parse_si
from levelhead.rig.model import RigItem
from levelhead.show.model import Supply
from levelhead.verdicts.explain import PRACTICE, Explained, Threshold
from levelhead.verdicts.people.words import MAINS_CAUTION
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import Doubt, LimitState
from levelhead.verdicts.told.words import place_words, watts_words

__all__ = ["EXPLAINED", "RATING", "check_ratings"]

RATING: Final = "people.mains-rating"
AMPLE_DB: Final = 1.0  # of power: four fifths of a rating are fine for a whole evening
WOUND_SHARE: Final = (1 / 4, 1 / 3, 1 / 2)  # of the rating unwound: from memory of what is printed

_SENTENCES: Final = {
    ("wound", Severity.HARM): "{load} hang on {supply}, a reel that is wound up and carries "
    "{limit} like that: {times} times as much. It heats inside until its insulation melts, and a "
    "cut-out in it is no safeguard. {mend}",
    ("wound", Severity.CARE): "{load} hang on {supply}, a reel that is wound up and carries "
    "{limit} like that. It works unwound, off its drum to the last turn.",
    ("wound", Severity.FINE): "{load} hang on {supply}, a reel that carries {limit} wound up.",
    ("plain", Severity.HARM): "{load} hang on {supply}, which is rated for {limit}: {times} times "
    "as much. It heats until something melts or trips. Split the load over supplies that carry it.",
    ("plain", Severity.CARE): "{load} hang on {supply}, rated for {limit}: nothing is left for a "
    "kettle or a lamp. It works while nothing else is plugged in.",
    ("plain", Severity.FINE): "{load} hang on {supply}, rated for {limit}.",
}
_UNWIND: Final = (
    "Switch off and unwind it wholly; unwound it carries {rated}. A competent person looks at it "
    "before it is used again."
)
_TOO_MUCH: Final = (
    "Switch off and take load off it: even unwound it carries {rated} only. A competent person "
    "looks at it before it is used again."
)
_UNTOLD: Final = (
    "{supply} is a reel that is wound up, and the show does not tell {missing}. It works unwound, "
    "off its drum to the last turn."
)


@dataclass(frozen=True, slots=True)
class _Loaded:
    """A supply, what hangs on it as far as that is told, and what it carries as it stands."""

    supply: Supply
    draws: Mapping[str, Figure]
    untold: tuple[str, ...]
    limit: Figure | None

    @property
    def load_w(self) -> float:
        """All that is told. [W]"""
        return sum(each.value for each in self.draws.values())

    @property
    def is_wound(self) -> bool:
        """Whether it is a reel that is wound up."""
        return self.supply.reel == "wound"


def check_ratings(reading: Reading) -> Iterator[Finding]:
    """Supplies with a rating, and reels."""
    for supply in reading.rig.show.supplies.values():
        if supply.rated is not None or supply.rated_wound is not None or supply.reel is not None:
            items = [each for each in reading.rig.items.values() if each.supply == supply.id]
            loaded = _loaded(supply, [each for each in items if each.plan.is_on_mains])
            if loaded.limit is not None and loaded.draws:
                yield _against_rating(loaded, loaded.limit)
            elif loaded.is_wound and items:
                yield _untold(loaded)


def _loaded(supply: Supply, items: list[RigItem]) -> _Loaded:
    known = {
        place_words(item.label): item.plan.draws for item in items if item.plan.draws is not None
    }
    untold = tuple(place_words(item.label) for item in items if item.plan.draws is None)
    return _Loaded(supply, known, untold, _limit(supply))


def _limit(supply: Supply) -> Figure | None:
    """What it carries as it stands; wound up, if nobody tells, about a third. [W]"""
    if supply.reel == "wound" and supply.rated_wound is not None:
        return _printed(supply.rated_wound)
    if supply.rated is None:
        return None
    rated = _printed(supply.rated)
    if supply.reel != "wound":
        return rated
    low, middle, high = (share * rated.value for share in WOUND_SHARE)
    return Figure(middle, low, high, "W", "from memory")


def _printed(text: str) -> Figure:
    watts = parse_si(text, "W")
    return Figure(watts, watts, watts, "W", "measured")


def _against_rating(loaded: _Loaded, limit: Figure) -> Finding:
    state = LimitState(
        10 * math.log10(limit.value / loaded.load_w), "dB", lambda: _doubts(loaded, limit)
    )
    severity = state.severity(ample=AMPLE_DB)
    if severity is Severity.FAILS:
        severity = Severity.HARM
    elif loaded.is_wound and loaded.untold:
        severity = Severity.CARE
    sentence = _SENTENCES["wound" if loaded.is_wound else "plain", severity]
    return Finding(
        code=RATING,
        severity=severity,
        where=f"supplies.{loaded.supply.id}.rated",
        what=sentence.format(
            load=watts_words(loaded.load_w),
            supply=_name(loaded.supply),
            limit=watts_words(limit.value),
            times=f"{loaded.load_w / limit.value:.2g}",
            mend=_mend(loaded),
        ),
        why=(
            Compared("load", loaded.load_w, limit.value, "W"),
            Compared("load over the rating", loaded.load_w / limit.value, 1.0, "1"),
        ),
        state=state,
        assumed=tuple(f"what {each} takes: not told, not counted" for each in loaded.untold),
        source="what hangs on a supply, added, against what is printed on it",
        basis=PRACTICE,
        caution=None if severity is Severity.FINE else MAINS_CAUTION,
    )


def _mend(loaded: _Loaded) -> str:
    """What to do with a reel that carries too much wound up."""
    if loaded.supply.rated is None:
        return _UNWIND.format(rated="what is printed on it for that")
    is_enough = loaded.load_w <= parse_si(loaded.supply.rated, "W")
    return (_UNWIND if is_enough else _TOO_MUCH).format(rated=loaded.supply.rated)


def _untold(loaded: _Loaded) -> Finding:
    """A reel that is wound up, of which not enough is told."""
    missing = "what it carries" if loaded.limit is None else "what hangs on it"
    return Finding(
        code=RATING,
        severity=Severity.CARE,
        where=f"supplies.{loaded.supply.id}.rated",
        what=_UNTOLD.format(supply=_name(loaded.supply), missing=missing),
        why=(),
        source="how the reel stands",
        basis=PRACTICE,
        caution=MAINS_CAUTION,
    )


def _doubts(loaded: _Loaded, limit: Figure) -> Iterator[Doubt]:
    """Figures of watts are ratios, the margin is of power: half a decibel for each."""
    yield Doubt(f"rating of {_name(loaded.supply)}", "fact", limit, 0.5)
    for label, figure in loaded.draws.items():
        share = figure.value / loaded.load_w
        yield Doubt(f"what {label} takes from the mains", "fact", figure, -0.5 * share)


def _name(supply: Supply) -> str:
    return place_words(supply.label or supply.id)


EXPLAINED: Final = (
    Explained(
        RATING,
        "What items take from the mains (`draws`), added for each supply, against what the show "
        "says is printed on it: `rated`, and `rated-wound` for a reel that is wound up; a third "
        "of `rated` is taken where nobody tells that. Items that tell nothing are not counted.",
        (
            Threshold("rating left from which it is fine", AMPLE_DB, "dB", PRACTICE),
            Threshold("rating left below which it is harm", 0.0, "dB", PRACTICE),
            Threshold("of the rating, wound up, if nobody tells", 0.33, "1", "from memory"),
        ),
    ),
)
