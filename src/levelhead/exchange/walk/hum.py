"""Hum along a channel: what a meter may show in silence, and what brings more than that.

Everything is read with nobody playing. Ranges are those of the ground network: earth potentials,
leakage and rejection are known no better (docs/decisions.md). A mains earth is never part of it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from levelhead.chain.levels import REFERENCE_OF_UNIT, decibels
from levelhead.chain.noise.hum import ChainHum
from levelhead.exchange.sound_check.meters import detector_words
from levelhead.exchange.walk import causes
from levelhead.exchange.walk.alone import Alone
from levelhead.exchange.walk.model import Candidate, Expected
from levelhead.exchange.walk.places import Ground, Place, is_loudspeaker
from levelhead.exchange.walk.words import expected_words, leg_words
from levelhead.planning.trial import Trial
from levelhead.quantity.decibels import P_REFERENCE_PA, power_sum_db
from levelhead.show.edits import Edit, Set
from levelhead.verdicts.hum.lifts import lifted
from levelhead.verdicts.hum.words import LOOPS, cause_words
from levelhead.verdicts.told.words import control_words

__all__ = ["candidates", "done_at", "readings_at", "seen_at"]

_WORTH_DB: Final = 3.0  # less than twice the power is not heard as louder hum, common practice
_SILENT_PA: Final = 1e-9
_LEAST_DB: Final = -60.0  # no panel shows less, common practice


def done_at(ground: Ground, place: Place) -> str:
    """What to do with nobody playing."""
    work = ground.work
    if place.kind == "source":
        called = work.called(place.items[0])
        return (
            "Nobody plays, sings or speaks for the whole walk. "
            f"{called}: its own volume down, if it has one; turned round and away from supplies, "
            "dimmers and screens."
        )
    if place.kind == "lead" and place.leg is not None:
        return (
            f"Muted, then open again: pull {leg_words(work, place.leg)} at the source's end. What "
            "hums on comes in on the lead or behind it."
        )
    if place.kind == "phantom":
        return "Hum that comes with phantom power comes through one wire or a broken screen."
    if place.kind == "gain":
        listening = ground.desk.listening(ground.route.port.block)
        press = "" if listening is None else f"{work.rig.controls[listening[0]].label} on. "
        return f"{press}Pull the plug of the input, muted: what is left comes from the desk."
    if place.kind == "routing":
        return (
            "Fader of the strip down, then the master. What stays comes in behind them, from other "
            "strips or behind the desk."
        )
    return (
        "Its level down. What stays is its own; what goes comes in by its lead: amplifier off, "
        "pull the lead at the far end, amplifier on."
    )


def readings_at(ground: Ground, place: Place) -> tuple[Expected, ...]:
    """The most that meters show, or the loudspeaker gives, in silence."""
    if is_loudspeaker(ground, place):
        return _at_loudspeaker(ground, place)
    if place.kind not in {"gain", "routing", "output"}:
        return ()
    solution = ground.work.check.trial.solution
    metered = [each for each in place.points if solution.point(each).meter is not None]
    return tuple(each for at in metered[-1:] if (each := _at_meter(ground, at)) is not None)


def _at_meter(ground: Ground, address: str) -> Expected | None:
    """What a meter shows of hum of this input and of the noise."""
    solution, sensed = ground.work.check.trial.solution, ground.route.sensed
    point, hum = solution.point(address), _hum(ground)
    gain_db = _gain_db(ground, sensed, address)
    if point.meter is None or point.meter.zero.value <= 0 or gain_db is None:
        return None
    if sensed not in hum.inputs:
        return None
    rms = hum.inputs[sensed].power.rms()
    floor_db = decibels(float(solution.floor[solution.number(address)]), point.unit)
    reads = []
    for volts in (rms.value, rms.high):
        level = decibels(volts, "V")
        parts = [each for each in (None if level is None else level + gain_db, floor_db) if each]
        reads.append(float(power_sum_db(parts)) if parts else -math.inf)
    unit = "dBFS" if point.unit == "FS" else "dB"
    zero_db = 20 * math.log10(point.meter.zero.value / REFERENCE_OF_UNIT[point.unit][0])
    least = 0.0 if unit == "dBFS" else zero_db
    typical, most = (max(each - least, _LEAST_DB) for each in reads)
    return Expected("meter", address, typical, None, most, unit, detector_words(point.meter.kind))


def _gain_db(ground: Ground, start: str, end: str) -> float | None:
    """From one point to another, in the units of both."""
    levels = [ground.alone.levels(each) for each in (start, end)]
    known = [each.nominal for each in levels if each is not None and each.nominal is not None]
    return known[1] - known[0] if len(known) == len(levels) else None


def _at_loudspeaker(ground: Ground, place: Place) -> tuple[Expected, ...]:
    """What the loudspeaker gives of it at 1 m, A-weighted."""
    hum, sensed = _hum(ground), ground.route.sensed
    if sensed not in hum.inputs or place.at not in hum.loudspeakers:
        return ()
    level = hum.brought_to(place.at, sensed).rms_a()
    typical, most = (
        20 * math.log10(max(each, _SILENT_PA) / P_REFERENCE_PA)
        for each in (level.value, level.high)
    )
    return (Expected("sound", place.at, typical, None, max(most, 0.0), "dB(A)"),)


def seen_at(ground: Ground, place: Place) -> str:
    """What is heard there in silence, while all is as planned."""
    told = " ".join(expected_words(each) for each in readings_at(ground, place))
    inputs = _inputs_of(ground, place)
    hum = _hum(ground)
    lines = [
        f"At {hum_place(ground, each)} {_level_words(hum, each)}"
        for each in inputs
        if each in hum.inputs
    ]
    return " ".join([told, *lines]).strip() or "Nothing you do here changes the hum."


def _level_words(hum: ChainHum, address: str) -> str:
    power = hum.inputs[address].power
    level = power.rms()
    typical, most = (decibels(each, "V") for each in (level.value, level.high))
    if typical is None or most is None:
        return "no hum is expected."
    return f"{typical:.0f} dBu of hum are usual, {most:.0f} the most."


def hum_place(ground: Ground, address: str) -> str:
    """The input that hum comes in by."""
    port = ground.work.rig.port_at(address)
    return address if port is None else ground.work.end(port)


def _inputs_of(ground: Ground, place: Place) -> list[str]:
    """Inputs at which hum is told here: that of the lead that comes in."""
    if place.leg is None:
        return []
    own = place.leg.into.address
    return [each for each in _hum(ground).inputs if each == own or each.startswith(f"{own}.")][:1]


def _hum(ground: Ground) -> ChainHum:
    return ground.work.check.trial.reading.hum


def candidates(ground: Ground, place: Place) -> Iterator[Candidate]:
    """What brings hum between two places, that of the ground network first."""
    if place.kind == "source":
        yield from _fields(ground, place)
    elif place.kind == "phantom":
        return
    elif place.kind == "gain":
        yield Candidate("the gain stands higher than planned: hum and noise come up with it")
        yield from causes.turned_down(ground, place)
    elif place.leg is not None:
        yield from _loops(ground, place)
        yield from _wires(ground, place)
        yield from _lifts(ground, place)
        yield Candidate(
            f"lead {place.leg.lead.number} lies beside mains cables, dimmers or supplies: move it "
            "away, cross them at a right angle"
        )
    else:
        yield Candidate("another strip or return that is open: mute one after another")
        yield from causes.shut(ground)


def _fields(ground: Ground, place: Place) -> Iterator[Candidate]:
    called = ground.work.called(place.items[0])
    if place.items[0].plan.is_on_mains:
        yield Candidate(f"the supply of {called}: on its battery, or with another supply, listen")
    yield Candidate(f"{called} picks up fields: turn it, move it away from supplies and dimmers")


def _loops(ground: Ground, place: Place) -> Iterator[Candidate]:
    """What makes most of the hum at the input here, by plan."""
    hum = _hum(ground)
    for address in _inputs_of(ground, place):
        power = hum.inputs[address].power
        words = cause_words(hum, address, power)
        if power.strongest()[0] in LOOPS:
            words += (
                ": both on one outlet, or an isolating transformer in the line; every mains earth "
                "stays"
            )
        yield Candidate(words)


def _wires(ground: Ground, place: Place) -> Iterator[Candidate]:
    """Screen and signal wires of the lead broken, and what that does to the hum, in decibels."""
    leg = place.leg
    if leg is None:
        return
    found = []
    for is_screen in (True, False):
        for pin, edit in causes.broken_wires(leg, screen=is_screen):
            more_db = _more_hum_db(ground, place, (edit,))
            if more_db is not None and more_db >= _WORTH_DB:
                name = "the screen" if is_screen else "the wire"
                what = f"{name} (pin {pin}) of lead {leg.lead.number} is broken"
                found.append((more_db, Candidate(f"{what}: {more_db:.0f} dB more hum", (edit,))))
    yield from (each for _, each in sorted(found, key=lambda each: -each[0]))


def _more_hum_db(ground: Ground, place: Place, edits: tuple[Edit, ...]) -> float | None:
    """How much more hum there is at the input with a fault. [dB]"""
    after: Trial | None = ground.work.check.trial.after(edits)
    hum = _hum(ground)
    own = [each for each in _inputs_of(ground, place) if each in hum.inputs]
    if after is None or not own:
        return None
    then = after.reading.hum
    if own[0] not in then.inputs:
        return None
    before_v, after_v = (each.inputs[own[0]].power.rms().value for each in (hum, then))
    return 20 * math.log10(after_v / before_v) if before_v > 0 and after_v > 0 else None


def _lifts(ground: Ground, place: Place) -> Iterator[Candidate]:
    """Switches of boxes without mains that open a signal ground and help."""
    if place.leg is None:
        return
    trial, hum = ground.work.check.trial, _hum(ground)
    for address in _inputs_of(ground, place):
        for control, option, then in lifted(trial.reading, place.leg.into.address):
            if address not in then.inputs:
                continue
            now_v, then_v = (each.inputs[address].power.rms().value for each in (hum, then))
            less_db = 20 * math.log10(now_v / then_v) if now_v > 0 and then_v > 0 else 0.0
            less_db -= _signal_lost_db(ground, address, Set(control, option))
            if less_db >= _WORTH_DB:
                yield Candidate(
                    f"{control_words(trial.solution.rig, control)} stands on "
                    f"{trial.solution.rig.setting(control)}: on {option} there is {less_db:.0f} dB "
                    "less",
                    (Set(control, option),),
                )


def _signal_lost_db(ground: Ground, address: str, edit: Edit) -> float:
    """What a switch takes of the signal itself: a pad is no cure. [dB]"""
    after = ground.work.check.trial.after([edit])
    then = None if after is None else Alone(after, ground.route).levels(address)
    now = ground.alone.levels(address)
    if now is None or now.nominal is None or then is None or then.nominal is None:
        return 0.0
    return now.nominal - then.nominal
