"""Clocks, sample rates and shared preamplifiers of what is joined by numbers.

Between two ends of a digital link the numbers have to come at one pace: both ends follow one clock,
or a sample-rate converter stands at the input. What has no clock of its own takes what arrives.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from typing import Final

from levelhead.quantity.formatting import format_si
from levelhead.rig.model import Rig, RigItem, RigPort
from levelhead.verdicts.explain import PRACTICE, Explained, Threshold
from levelhead.verdicts.read.places import kept_while, plugged
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity

__all__ = [
    "CLOCKS",
    "EXPLAINED",
    "RATES",
    "SENTENCES",
    "SHARED_GAIN",
    "check_clocks",
    "check_shared_gains",
]

CLOCKS, RATES, NO_MASTER = "digital.two-clocks", "digital.sample-rates", "digital.no-clock"
SHARED_GAIN: Final = "digital.shared-gain"
APART: Final = 20e-6  # two good crystals of 10 ppm each: AES11, grade 2
_RATE_TOLERANCE: Final = 1e-3  # 1000 ppm: level II of IEC 60958-3
_USUAL_RATE_HZ: Final = 48000.0

SENTENCES: Final = {
    CLOCKS: "{one} and {other} run on clocks of their own, that of {master} and that of "
    "{second}: at 20 "
    "millionths apart a sample slips every {time}, with a click each time.",
    RATES: "{one} sends {this} and {other} runs at {that}: mute or noise.",
    NO_MASTER: "{one} and {other} wait for each other's clock: nobody sets the pace.",
    SHARED_GAIN: "{desks} both move the preamplifiers of {box}: one turn for the hall turns up the "
    "stage, towards feedback. It works while one desk alone moves them and both know.",
}


@kept_while(plugged)
def check_clocks(reading: Reading) -> Iterator[Finding]:
    """Every link of numbers: does one clock set the pace at both ends?"""
    for sender, receiver in _links(reading.rig):
        both = sender.item.plan.clock, receiver.item.plan.clock
        if None in both or (receiver.plan.figure("resampled") or 0) > 0:
            continue
        yield from _judge(reading.rig, sender, receiver)


def _links(rig: Rig) -> Iterator[tuple[RigPort, RigPort]]:
    """Both ends of each link of numbers; of one that goes both ways, either end first."""
    for link in rig.links:
        ports = [rig.ports[each] for each in link.ports]
        kinds = {port.plan.carries for port in ports}
        if len(ports) == 2 and len(kinds) == 1 and all(port.plan.is_digital for port in ports):  # noqa: PLR2004 -- two ends
            one, other = sorted(ports, key=lambda port: port.plan.role == "in")
            yield one, other


def _master(rig: Rig, item: RigItem) -> str | None:
    """The item whose clock sets the pace of another; ``None`` if they wait for each other."""
    seen: set[str] = set()
    while item.id not in seen:
        seen.add(item.id)
        before = _followed(rig, item)
        if before is None:
            return item.id
        item = before
    return None


def _followed(rig: Rig, item: RigItem) -> RigItem | None:
    """The item that another takes its clock from; without a plug there it falls back on its own."""
    clock = item.plan.clock
    if clock is None or clock.port is None:
        return None
    address = f"{item.id}.{clock.port}"
    for link in rig.links:
        if address in link.ports:
            others = (rig.ports[each].item for each in link.ports if each != address)
            return next(others, None)
    return None


def _judge(rig: Rig, sender: RigPort, receiver: RigPort) -> Iterator[Finding]:
    masters = _master(rig, sender.item), _master(rig, receiver.item)
    labels = {"one": sender.item.label, "other": receiver.item.label}
    if None in masters:
        why = Compared("clocks that set the pace", 0.0, 1.0, "")
        yield _finding(NO_MASTER, sender, receiver, labels, (why,))
        return
    if masters[0] == masters[1]:
        return
    rates = [_rate(rig, str(each)) for each in masters]
    if abs(rates[0] / rates[1] - 1) > _RATE_TOLERANCE:
        apart = 100 * (max(rates) / min(rates) - 1)
        words = {**labels, "this": format_si(rates[0], "Hz"), "that": format_si(rates[1], "Hz")}
        why = Compared("rate against rate", apart, 100 * _RATE_TOLERANCE, "%")
        yield _finding(RATES, sender, receiver, words, (why,))
        return
    slip_s = 1 / (rates[1] * APART)
    names = [rig.items[str(each)].label for each in masters]
    words = {**labels, "master": names[0], "second": names[1], "time": format_si(slip_s, "s")}
    why = Compared("time between slips at 20 ppm", slip_s, None, "s")
    count = Compared("clocks that set the pace", 2.0, 1.0, "")
    yield _finding(CLOCKS, sender, receiver, words, (count, why))


def _rate(rig: Rig, item: str) -> float:
    figure = rig.items[item].plan.sample_rate
    return _USUAL_RATE_HZ if figure is None else figure.value


def _finding(
    code: str,
    sender: RigPort,
    receiver: RigPort,
    words: dict[str, str],
    why: tuple[Compared, ...],
) -> Finding:
    return Finding(
        code=code,
        severity=Severity.FAILS,
        where=receiver.address,
        what=SENTENCES[code].format(**words),
        why=why,
        source="clock and sample rate at both ends of the link, as their switches stand",
        basis="AES11; IEC 60958-3",
        ports=(sender.address, receiver.address),
    )


# --- shared preamplifiers ---


@kept_while(plugged)
def check_shared_gains(reading: Reading) -> Iterator[Finding]:
    """Gear whose preamplifiers are moved from several desks, not all of which make up for it."""
    for box, ports in _moved_from(reading.rig).items():
        loose = [port for port in ports if not (port.plan.figure("makes-up") or 0) > 0]
        if len({port.item.id for port in ports}) > 1 and loose:
            yield _shared(reading.rig.items[box], ports, len(loose))


def _moved_from(rig: Rig) -> dict[str, list[RigPort]]:
    """Sockets from which the gains of each item are moved."""
    found: dict[str, list[RigPort]] = defaultdict(list)
    for link in rig.links:
        ports = [rig.ports[each] for each in link.ports]
        moving = [port for port in ports if (port.plan.figure("moves-gain") or 0) > 0]
        for port in ports:
            if port not in moving:
                found[port.item.id] += moving
    return found


def _shared(box: RigItem, ports: list[RigPort], loose: int) -> Finding:
    desks = list(dict.fromkeys(port.item.label for port in ports))
    return Finding(
        code=SHARED_GAIN,
        severity=Severity.CARE,
        where=ports[0].address,
        what=SENTENCES[SHARED_GAIN].format(desks=" and ".join(desks), box=box.label),
        why=(Compared("desks that do not make up for a turned gain", float(loose), 0.0, ""),),
        source="who moves the gain of the preamplifiers, and who makes up for it",
        basis="common practice",
        ports=tuple(port.address for port in ports),
    )


EXPLAINED: Final = (
    Explained(
        CLOCKS,
        "Whose clock each end of a digital link follows; two different ones slip unless a "
        "sample-rate "
        "converter stands between.",
        (Threshold("taken as apart", 1e6 * APART, "ppm", "AES11, grade 2: 10 ppm each"),),
        "AES11",
    ),
    Explained(
        RATES,
        "Sample rates at both ends of a digital link without a sample-rate converter.",
        (
            Threshold(
                "apart from which no receiver locks", 100 * _RATE_TOLERANCE, "%", "IEC 60958-3"
            ),
        ),
        "IEC 60958-3",
    ),
    Explained(
        NO_MASTER, "Items that follow each other's clock, so that none sets the pace.", (), "AES11"
    ),
    Explained(
        SHARED_GAIN,
        "Desks from which the gain of one preamplifier is moved, and whether each makes up for it.",
        (Threshold("desks that do not: care", 1.0, "", PRACTICE),),
    ),
)
