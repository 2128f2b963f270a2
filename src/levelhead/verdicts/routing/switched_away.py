"""Inputs with something plugged in that nothing hears, for a switch chooses another socket."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from levelhead.rig.chosen_inputs import is_in_use, is_switched_away, switches_to
from levelhead.rig.model import RigPort
from levelhead.verdicts.explain import Explained
from levelhead.verdicts.read.places import carrying_ways, kept_while
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.words import control_words

__all__ = ["EXPLAINED", "SENTENCES", "SWITCHED_AWAY", "check_inputs_are_chosen", "unchosen"]

SWITCHED_AWAY: Final = "routing.switched-away"
SENTENCES: Final = {
    Severity.FAILS: "Nothing hears what is plugged into {input}: {control} stands at {option}, and "
    "there is no plug in what that chooses.",
    Severity.CARE: "Nothing hears what is plugged into {input} while {control} stands at {option}, "
    "as it comes: there is no plug in what that chooses. It works once somebody has moved it.",
}


def _reads(reading: Reading) -> tuple[object, ...]:
    """The ways that carry something, and which switches somebody has set."""
    return *carrying_ways(reading), frozenset(reading.rig.show.settings)


@kept_while(_reads)
def check_inputs_are_chosen(reading: Reading) -> Iterator[Finding]:
    """Inputs with a signal whose strip hears another socket, with nothing in it."""
    told: set[tuple[str, str]] = set()
    for port in unchosen(reading):
        strip = (port.item.id, port.block.name)
        if strip not in told:
            told.add(strip)
            yield _finding(reading, port)


def unchosen(reading: Reading) -> Iterator[RigPort]:
    """Such inputs, in the order of the rig."""
    rig, solution = reading.rig, reading.solution
    for address, port in rig.ports.items():
        if port.plan.role != "in" or port.link is None or not is_switched_away(rig, port):
            continue
        points = (address, *(f"{address}.{signal}" for signal in port.plan.signals))
        numbers = [solution.graph.index[each] for each in points if each in solution.graph.index]
        if (solution.nominal[numbers] > 0).any() and not is_in_use(rig, port.item, port.block):
            yield port


def _finding(reading: Reading, port: RigPort) -> Finding:
    """It fails where somebody has set the switch; one that nobody has spoken of may stand right."""
    rig = reading.rig
    turned = switches_to(rig, port.item, port.block, port.plan.name)
    control = next(iter(turned))
    is_set = not turned.keys().isdisjoint(rig.show.settings)
    severity = Severity.FAILS if is_set else Severity.CARE
    return Finding(
        code=SWITCHED_AWAY,
        severity=severity,
        where=port.address,
        what=SENTENCES[severity].format(
            input=port.label, control=control_words(rig, control), option=rig.setting(control)
        ),
        why=(Compared("ways from there as the switches stand", 0.0, 1.0, ""),),
        source="ways from the socket into its strip, as the switches stand",
        basis="common practice",
        ports=(port.address,),
    )


EXPLAINED: Final = (
    Explained(
        SWITCHED_AWAY,
        "Inputs with a signal from which no way leads on because a switch of their strip chooses "
        "another socket, one without a plug. It fails where the show sets that switch.",
    ),
)
