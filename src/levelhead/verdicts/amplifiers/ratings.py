"""What comes to a loudspeaker against what it is rated for: heat of its coil, travel of its cone.

Judged at the most that can come, everything turned up, as far as the amplifier has volts and
current. Limiters that nobody can move are counted;
those that somebody could move make harm a matter of care.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np

from levelhead.chain.most import Most
from levelhead.gear.figures import Figure
from levelhead.quantity.bands import ONE_KHZ_BAND, mid_hz, nominal_hz
from levelhead.quantity.formatting import format_level, format_si
from levelhead.verdicts.amplifiers.driven import Driven, driven, input_of
from levelhead.verdicts.explain import PRACTICE, Explained, Threshold
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import ROUNDING, Doubt, LimitState
from levelhead.verdicts.told.words import place_words

__all__ = [
    "EXCURSION",
    "EXPLAINED",
    "FINE_OVER_DB",
    "LEAST_SHARE",
    "PEAK_DB",
    "POWER",
    "SENTENCES",
    "UNLOADED",
    "check_ratings",
]

POWER, EXCURSION = "loudspeaker.power", "loudspeaker.excursion"
FINE_OVER_DB: Final = (
    3.0  # twice the long-term power: programme has crest to spare, common practice
)
PEAK_DB: Final = 6.0  # peak rating where none is given: four times the power, AES2
UNLOADED: Final = math.sqrt(0.5)  # half an octave below its tuning the cone runs free
LEAST_SHARE: Final = 0.003  # of the signal's power down there: 25 dB under the rest, nothing moves

SENTENCES: Final = {
    POWER: {
        Severity.HARM: "{output} can deliver {power} into {input}, rated {limit} long term: "
        "{over} over, more than its peaks may have. It can burn out.{held}",
        Severity.CARE: "{output} can deliver {power} into {input}, rated {limit} long term: "
        "{over} over. It works while the programme has crest and nobody drives it into "
        "clipping.{held}",
        Severity.FINE: "{output} can deliver {power} into {input}, rated {limit} long term.",
    },
    EXCURSION: {
        Severity.HARM: "At {hz}, below its tuning, {input} reaches the limit of its travel with "
        "{limit}, and {output} can deliver {volts}: deep notes can tear the cone. It wants a "
        "high-pass before the amplifier.{held}",
        Severity.CARE: "At {hz}, below its tuning, {input} reaches the limit of its travel with "
        "{limit}, and {output} can deliver {volts}. It works while deep notes stay "
        "moderate.{held}",
        Severity.FINE: "At {hz}, below its tuning, {input} takes {limit}, and {volts} can come.",
    },
}
_HELD: Final = " The limiter as it is set keeps that away while nobody moves it."


@dataclass(frozen=True, slots=True)
class _Over:
    """How far the most that can come passes a limit.

    ``volts`` can come for sure, in ``band`` where one is meant, and ``set_volts`` as limiters are
    set. From ``harm_db`` over the limit on it harms; what nobody plays is ``rare``.
    """

    volts: float
    set_volts: float
    limit: Figure
    harm_db: float
    band: int = ONE_KHZ_BAND
    is_rare: bool = False

    @property
    def db(self) -> float:
        return 20 * math.log10(self.volts / self.limit.value)

    @property
    def as_set_db(self) -> float:
        return 20 * math.log10(self.set_volts / self.limit.value)

    @property
    def severity(self) -> Severity:
        """Fine to some dB over, harm from ``harm_db``; care while a limiter holds."""
        if self.is_rare or self.db <= FINE_OVER_DB + ROUNDING:
            return Severity.FINE
        if min(self.db, self.as_set_db) > self.harm_db + ROUNDING:
            return Severity.HARM
        return Severity.CARE

    @property
    def allowed_db(self) -> float:
        return self.harm_db if self.severity is Severity.HARM else FINE_OVER_DB

    @property
    def held(self) -> str:
        return _HELD if self.as_set_db < self.db - ROUNDING else ""


def check_ratings(reading: Reading) -> Iterator[Finding]:
    """Loudspeakers with ratings: the power of their coils, and the travel of their cones."""
    for_sure = reading.most(trusts_limiters=False)
    as_set = reading.most(trusts_limiters=True)
    for each in driven(reading):
        rating = each.load.plan.figures.get("long-term-rating")
        if rating is not None:
            yield _power(each, _over_rating(reading, each, rating, (for_sure, as_set)))
        excursion = each.load.plan.figures.get("excursion-limit")
        tuned_hz = each.load.plan.figure("tuned-to")
        if excursion is not None and tuned_hz is not None:
            below = np.flatnonzero(mid_hz() <= UNLOADED * tuned_hz)
            over = _over_travel(reading, each, excursion, below, (for_sure, as_set))
            yield _excursion(reading, each, over)


# --- the coil ---


def _over_rating(reading: Reading, each: Driven, rating: Figure, mosts: tuple[Most, Most]) -> _Over:
    row = reading.solution.number(each.load.address)
    given_v = float(each.current_ends_at_load_v[ONE_KHZ_BAND])  # into what it is rated at
    volts, set_v = (min(float(most.by_band(row).max()), given_v) for most in mosts)
    peak_v = each.load.plan.figure("peak-rating")
    peak_db = PEAK_DB if peak_v is None else 20 * math.log10(peak_v / rating.value)
    return _Over(volts, set_v, rating, peak_db)


def _power(each: Driven, over: _Over) -> Finding:
    rating, ohm = over.limit, each.load.plan.figures["impedance"].value
    words = {
        "output": each.output.label,
        "input": each.load.label,
        "power": _power_words(over.volts, ohm),
        "limit": _power_words(rating.value, ohm),
        "over": format_level(over.db, "dB"),
        "held": over.held,
    }
    return Finding(
        code=POWER,
        severity=over.severity,
        where=each.load.address,
        what=SENTENCES[POWER][over.severity].format(**words),
        why=(
            Compared("most power, over the long-term rating", over.db, over.allowed_db, "dB"),
            Compared("most power that can come", over.volts**2 / ohm, rating.value**2 / ohm, "W"),
        ),
        state=_state(each, over, "long-term rating"),
        source="largest sine that can come with everything turned up, against the rating",
        basis="IEC 60268-5, AES2; common practice",
        ports=(each.entry.address, each.output.address),
        caution=None if over.severity is Severity.FINE else each.caution,
    )


def _power_words(volts: float, ohm: float) -> str:
    """Power of some volts into a load, in two digits."""
    return format_si(volts**2 / ohm, "W", 2)


def _state(each: Driven, over: _Over, name: str) -> LimitState:
    return LimitState(over.allowed_db - over.db, "dB", lambda: _doubts(each, over.limit, name))


def _doubts(each: Driven, limit: Figure, name: str) -> Iterator[Doubt]:
    yield Doubt(f"{name} of {place_words(each.load.label)}", "fact", limit, +1.0)
    if each.ceiling is not None:
        yield Doubt(f"ceiling of {place_words(each.output.label)}", "fact", each.ceiling, -1.0)


# --- the cone ---


def _over_travel(
    reading: Reading,
    each: Driven,
    limit: Figure,
    below: np.typing.NDArray[np.int64],
    mosts: tuple[Most, Most],
) -> _Over:
    """In the bands ``below`` the tuning, where no air holds the cone."""
    row = reading.solution.number(each.load.address)
    given_v = each.current_ends_at_load_v
    by_band, set_by_band = (np.minimum(most.by_band(row), given_v)[below] for most in mosts)
    worst = int(below[np.argmax(by_band)])
    volts, set_v = (max(float(found.max()), 1e-9) for found in (by_band, set_by_band))
    is_rare = _share_below(reading, each.load.address, below) < LEAST_SHARE
    return _Over(volts, set_v, limit, PEAK_DB, worst, is_rare)


def _excursion(reading: Reading, each: Driven, over: _Over) -> Finding:
    words = {
        "output": each.output.label,
        "input": each.load.label,
        "hz": format_si(float(nominal_hz()[over.band]), "Hz"),
        "limit": format_si(over.limit.value, "V"),
        "volts": format_si(over.volts, "V"),
        "held": over.held,
    }
    return Finding(
        code=EXCURSION,
        severity=over.severity,
        where=each.load.address,
        what=SENTENCES[EXCURSION][over.severity].format(**words),
        why=(Compared("most below its tuning, over the limit", over.db, over.allowed_db, "dB"),),
        state=_state(each, over, "excursion limit"),
        source="largest sine below the tuning that can come, against that which the cone follows",
        basis=over.limit.source,
        ports=(each.entry.address, each.output.address, *input_of(reading, each)),
        caution=None if over.severity is Severity.FINE else each.caution,
    )


def _share_below(reading: Reading, address: str, below: np.typing.NDArray[np.int64]) -> float:
    """Share of the deepest bands in the power of what plays."""
    power = reading.solution.power_at(address)
    total = float(power.sum())
    return float(power[below].sum()) / total if total > 0 else 0.0


EXPLAINED: Final = (
    Explained(
        POWER,
        "Largest sine that can come to a loudspeaker with everything turned up, ended only by the "
        "amplifier and by limiters that are locked or fixed, against its long-term rating.",
        (
            Threshold("over the long-term rating that is fine", FINE_OVER_DB, "dB", PRACTICE),
            Threshold("over it from which it harms, without a peak rating", PEAK_DB, "dB", "AES2"),
        ),
        "IEC 60268-5: ratings in volts, watts times rated impedance",
    ),
    Explained(
        EXCURSION,
        "Largest sine that can come half an octave and more below the tuning of a vented box, "
        "against that with which the cone reaches its limit there; only if what plays has power "
        "that deep.",
        (
            Threshold("over the limit that is fine", FINE_OVER_DB, "dB", PRACTICE),
            Threshold("over it from which it harms", PEAK_DB, "dB", PRACTICE),
            Threshold("least share of the power down there", LEAST_SHARE, "", PRACTICE),
        ),
    ),
)
