"""Leads whose ends are of one kind: inputs only, or outputs only."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from levelhead.rig.model import RigLink
from levelhead.verdicts.explain import Explained
from levelhead.verdicts.loading.joined import joined_currents
from levelhead.verdicts.read.places import kept_while, plugged
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.wiring.lost import is_input, senses_of

__all__ = ["EXPLAINED", "NO_INPUT", "NO_OUTPUT", "SENTENCES", "check_ends_meet"]

NO_OUTPUT, NO_INPUT = "wiring.inputs-only", "wiring.outputs-only"
SENTENCES: Final = {
    NO_OUTPUT: {Severity.FAILS: "{one} is joined to {other}: two inputs, and nothing drives them."},
    NO_INPUT: {
        Severity.FAILS: "{one} is joined to {other}: two outputs drive one another, and nothing "
        "listens."
    },
}


@kept_while(plugged)
def check_ends_meet(reading: Reading) -> Iterator[Finding]:
    """Leads that join inputs only, or outputs only."""
    for link in reading.rig.links:
        audio = [each for each in link.ports if reading.rig.ports[each].plan.circuit is not None]
        if len(audio) == len(link.ports):
            if all(is_input(reading, each) for each in audio):
                yield from _undriven(reading, link)
            elif all(_is_output(reading, each) for each in audio):
                yield _unheard(reading, link)
        elif any(_is_output(reading, each) for each in audio) and _gives_only(reading, link):
            yield _unheard(reading, link)


def _is_output(reading: Reading, port: str) -> bool:
    plan = reading.rig.ports[port].plan
    return plan.role != "in" and plan.circuit is not None


def _gives_only(reading: Reading, link: RigLink) -> bool:
    """Outputs all, of boxes without power too, on a network where no input listens."""
    ports = reading.rig.ports
    if not all(ports[each].plan.drives for each in link.ports):
        return False
    for island in reading.solution.islands:
        names = {name if name in ports else name.rpartition(".")[0] for name in island.pins}
        if not names.isdisjoint(link.ports):
            return not any(is_input(reading, name) for name in names if name in ports)
    return False


def _undriven(reading: Reading, link: RigLink) -> Iterator[Finding]:
    """Two inputs on a lead to which nothing else on the island brings a signal."""
    senses = {sense for port in link.ports for sense in senses_of(reading, port)}
    for island in reading.solution.islands:
        if senses & set(island.senses) and not island.drives:
            yield _one_kind(reading, link, NO_OUTPUT, None)
            return


def _unheard(reading: Reading, link: RigLink) -> Finding:
    first = link.ports[0]
    joined = next((each for each in joined_currents(reading) if each.output[0] == first), None)
    current = None
    if joined is not None:
        current = Compared(
            "current when the signals differ fully", joined.total_a, joined.limit_a, "A"
        )
    return _one_kind(reading, link, NO_INPUT, current)


def _one_kind(reading: Reading, link: RigLink, code: str, current: Compared | None) -> Finding:
    one, other = link.ports[:2]
    missing = "outputs on this lead" if code == NO_OUTPUT else "inputs on this lead"
    return Finding(
        code=code,
        severity=Severity.FAILS,
        where=one,
        what=SENTENCES[code][Severity.FAILS].format(
            one=reading.rig.ports[one].label, other=reading.rig.ports[other].label
        ),
        why=(current or Compared(missing, 0.0, 1.0, ""),),
        source="roles of the sockets at the ends of the lead",
        basis="common practice",
        ports=link.ports,
    )


EXPLAINED: Final = (
    Explained(NO_OUTPUT, "Outputs among the ends of a lead that joins inputs: is there one?"),
    Explained(NO_INPUT, "Inputs among the ends of a lead that joins outputs: is there one?"),
)
