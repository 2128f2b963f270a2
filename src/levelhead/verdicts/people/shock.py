"""Shock and tingle: protective earths that are lost, gear earthed nowhere, residual currents.

What cannot be seen from here is a fault of insulation: its volts are computed, its presence is not.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Final

from levelhead.circuit.ground.mains import BODY_OHM, FELT_A, Mains
from levelhead.circuit.ground.touch import Touch, touch_of, usual_leakage
from levelhead.gear.figures import Figure
from levelhead.quantity.formatting import format_si
from levelhead.quantity.parsing import parse_si
from levelhead.rig.model import RigItem
from levelhead.show.model import Supply
from levelhead.verdicts.people.words import EARTH, NO_DEVICE, RESIDUAL, SENTENCES, STOP, TINGLE
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import Doubt, LimitState
from levelhead.verdicts.told.words import place_words

__all__ = [
    "LET_GO_A",
    "WET_OHM",
    "check_devices_outdoors",
    "check_earths",
    "check_residual_currents",
    "check_tingles",
]

LET_GO_A: Final = 10e-3  # IEC TS 60479-1: a hand cannot let go, adults, alternating current
FIBRILLATION_A: Final = 30e-3  # IEC TS 60479-1: what residual-current devices are made to stop at
WET_OHM: Final = 1e3  # wet hand to lips, from memory; BODY_OHM is the dry one
_FAR_DB: Final = 12.0  # a quarter of what is felt, common practice
_TRIPS_FROM: Final = 0.5  # IEC 61008-1: rated non-operating residual current
_EARTHED_OHM: Final = 1e3  # what is less is a conductor


def check_earths(reading: Reading) -> Iterator[Finding]:
    """Supplies whose protective earth is lost, with gear on them that needs it."""
    lost: dict[str, list[RigItem]] = {}
    for item in reading.rig.items.values():
        supply = None if item.supply is None else reading.rig.show.supplies[item.supply]
        if supply is not None and supply.earth == "lost" and item.plan.earth == "mains":
            lost.setdefault(supply.id, []).append(item)
    for supply_id, items in lost.items():
        yield _lost(reading, reading.rig.show.supplies[supply_id], items)


def _lost(reading: Reading, supply: Supply, items: Sequence[RigItem]) -> Finding:
    """Volts after one fault, and what they drive through a body; a screen is no earth."""
    ground = reading.hum.ground
    touch = touch_of(ground)
    known = [item.id for item in items if item.id in ground.row_of]
    mains_v = ground.mains.volts
    volts = min((touch.fault_v(item) for item in known), default=mains_v)
    by_screens = any(touch.to_earth_ohm(item) < _EARTHED_OHM for item in known)
    leak_a = sum(_leakage(item, ground.mains).value for item in items)
    dry_a, wet_a = mains_v / BODY_OHM, mains_v / WET_OHM
    words = {
        "items": _names([item.label for item in items]),
        "supply": f"supply {supply.label or supply.id}",
        "volts": format_si(volts, "V"),
        "mains": format_si(mains_v, "V"),
        "currents": f"{1e3 * dry_a:.0f} to {1e3 * wet_a:.0f} mA",
    }
    return Finding(
        code=EARTH,
        severity=Severity.HARM,
        where=items[0].id,
        what=SENTENCES[EARTH, "screens" if by_screens else Severity.HARM].format(**words),
        why=(
            Compared("volts to earth after one insulation fault", volts, None, "V"),
            Compared("current through a wet body then", 1e3 * wet_a, 1e3 * FIBRILLATION_A, "mA"),
            Compared("leakage without any fault", 1e3 * leak_a, 1e3 * FELT_A, "mA"),
        ),
        source="ground network with the line conductor on the chassis",
        basis="IEC TS 60479-1",
        ports=reading.plugs(*(item.id for item in items)),
        caution=STOP,
    )


def check_tingles(reading: Reading) -> Iterator[Finding]:
    """Groups of gear that nothing earths: what all their supplies leak through a body."""
    touch = touch_of(reading.hum.ground)
    lost = {item.id for item in reading.rig.items.values() if _is_on_lost_earth(reading, item)}
    for group in touch.groups():
        is_earthed = touch.to_earth_ohm(group[0]) < _EARTHED_OHM
        if not is_earthed and not lost & set(group):
            current_a = touch.leak_a(group[0])
            if current_a > FELT_A * 10 ** (-_FAR_DB / 20):
                yield _tingle(reading, touch, group, current_a)


def _is_on_lost_earth(reading: Reading, item: RigItem) -> bool:
    if item.supply is None or item.plan.earth != "mains":
        return False
    return reading.rig.show.supplies[item.supply].earth == "lost"


def _tingle(reading: Reading, touch: Touch, group: Sequence[str], current_a: float) -> Finding:
    items = reading.rig.items
    state = LimitState(
        20 * math.log10(FELT_A / current_a), "dB", lambda: _doubts(reading, touch, group[0])
    )
    severity = state.severity(ample=_FAR_DB)
    if severity is Severity.FAILS:
        severity = Severity.HARM if current_a > LET_GO_A else Severity.CARE
    words = {
        "items": _names([items[each].label for each in group]),
        "current": format_si(current_a, "A"),
        "felt": format_si(FELT_A, "A"),
    }
    return Finding(
        code=TINGLE,
        severity=severity,
        where=group[0],
        what=SENTENCES[TINGLE, severity].format(**words),
        why=(
            Compared("current through a body of 2 kohm", 1e3 * current_a, 1e3 * FELT_A, "mA"),
            Compared("current that is not let go of", 1e3 * current_a, 1e3 * LET_GO_A, "mA"),
        ),
        state=state,
        source="leakages of the supplies, added, through the ground network",
        basis="IEC TS 60479-1",
        ports=reading.plugs(*group),
        caution=None if severity is Severity.FINE else STOP,
    )


def _doubts(reading: Reading, touch: Touch, item: str) -> Iterator[Doubt]:
    for who, figure, share in touch.leaks_of(item):
        label = place_words(reading.rig.items[who].label)
        yield Doubt(f"leakage of {label}", "fact", figure, -share)


def check_residual_currents(reading: Reading) -> Iterator[Finding]:
    """Circuits with a residual-current device: do their leakages alone come near to it?"""
    supplies = reading.rig.show.supplies.values()
    circuits = dict.fromkeys(_circuit(supply) for supply in supplies if supply.rcd is not None)
    for circuit in circuits:
        beside = {supply.id: supply for supply in supplies if _circuit(supply) == circuit}
        ratings = (supply.rcd for supply in beside.values())
        rated_a = min(parse_si(rating, "A") for rating in ratings if rating is not None)
        items = [item for item in reading.rig.items.values() if item.supply in beside]
        earthed = [
            item
            for item in items
            if item.plan.earth == "mains" and not _is_on_lost_earth(reading, item)
        ]
        if earthed:
            yield _residual(reading, circuit, rated_a, earthed)


def check_devices_outdoors(reading: Reading) -> Iterator[Finding]:
    """Circuits outdoors with gear on them: is there a residual-current device that saves people?

    Indoors nobody is sent to the fuse board: it is a question for the venue.
    """
    show = reading.rig.show
    if show.room is None or show.room.where != "outdoors":
        return
    circuits: dict[str, list[Supply]] = {}
    for supply in show.supplies.values():
        circuits.setdefault(_circuit(supply), []).append(supply)
    for circuit, supplies in circuits.items():
        beside = {each.id for each in supplies}
        plugged = [each for each in reading.rig.items.values() if each.supply in beside]
        items = [each for each in plugged if each.plan.is_on_mains]
        rated = [parse_si(each.rcd, "A") for each in supplies if each.rcd is not None]
        if items and not any(each <= FIBRILLATION_A for each in rated):
            yield _no_device(circuit, min(rated, default=None), items)


def _no_device(circuit: str, rated_a: float | None, items: Sequence[RigItem]) -> Finding:
    words = {
        "items": _names([item.label for item in items]),
        "circuit": circuit,
        "rated": "" if rated_a is None else format_si(rated_a, "A"),
        "limit": format_si(FIBRILLATION_A, "A"),
    }
    rated_ma = None if rated_a is None else 1e3 * rated_a
    return Finding(
        code=NO_DEVICE,
        severity=Severity.CARE,
        where=items[0].id,
        what=SENTENCES[NO_DEVICE, "untold" if rated_a is None else "coarse"].format(**words),
        why=(Compared("residual current that trips it", rated_ma, 1e3 * FIBRILLATION_A, "mA"),),
        source="supplies of the show outdoors, with what hangs on them",
        basis="IEC 60364-4-41, 411.3.3, from memory",
        caution="An electrician answers for mains outdoors; local rules decide.",
    )


def _circuit(supply: Supply) -> str:
    return f"supply {supply.id}" if supply.circuit is None else f"circuit {supply.circuit}"


def _residual(reading: Reading, circuit: str, rated_a: float, items: Sequence[RigItem]) -> Finding:
    mains = reading.hum.ground.mains
    leakages = {item.label: _leakage(item, mains) for item in items}
    total_a = sum(_leakage(item, mains).value for item in items)
    limit_a = _TRIPS_FROM * rated_a

    def doubts() -> Iterator[Doubt]:
        for label, figure in leakages.items():
            yield Doubt(f"leakage of {place_words(label)}", "fact", figure, -figure.value / total_a)

    state = LimitState(20 * math.log10(limit_a / total_a), "dB", doubts)
    severity = state.severity(ample=_FAR_DB)
    if severity is Severity.FAILS:
        severity = Severity.CARE
    words = {
        "items": _names([item.label for item in items]),
        "current": format_si(total_a, "A"),
        "limit": format_si(limit_a, "A"),
        "circuit": circuit,
    }
    caution = "An electrician decides how the load is split. The device is never bypassed."
    return Finding(
        code=RESIDUAL,
        severity=severity,
        where=items[0].id,
        what=SENTENCES[RESIDUAL, severity].format(**words),
        why=(Compared("standing leakage", 1e3 * total_a, 1e3 * limit_a, "mA"),),
        state=state,
        source="leakages of gear with a protective earth, added",
        basis="IEC 61008-1",
        caution=None if severity is Severity.FINE else caution,
    )


# --- parts of findings ---


def _leakage(item: RigItem, mains: Mains) -> Figure:
    """What an item leaks, as known or as usual. [A]"""
    known = mains.leakages.get(item.id, item.plan.leakage)
    is_earthed = item.plan.earth == "mains"
    return usual_leakage(mains, is_earthed_type=is_earthed) if known is None else known


def _names(labels: Sequence[str]) -> str:
    """One item by name, several by the first."""
    first = place_words(labels[0])
    others = len(labels) - 1
    return first if not others else f"{first} (with {others} more)"
