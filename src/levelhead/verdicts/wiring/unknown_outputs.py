"""Line outputs of which nobody knows how they are made, on a lead that is not balanced.

Solved branch by branch: the copper is drawn with each circuit that the output may have. Where the
branches agree there is nothing to say; else the lead of least regret, and the order to try.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Final

from levelhead.chain.copper.of_rig import solve_copper
from levelhead.circuit.loads.loading import columns_of, shorted_legs
from levelhead.quantity.formatting import format_level
from levelhead.rig.model import RigLink, RigPort
from levelhead.verdicts.explain import Explained, Threshold
from levelhead.verdicts.read.places import kept_while, plugged
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import LimitState
from levelhead.verdicts.wiring.lost import LOST_CARE_DB, lost_on_the_way_db

__all__ = ["BRANCHES", "EXPLAINED", "SENTENCES", "UNKNOWN", "check_unknown_outputs"]

UNKNOWN: Final = "wiring.unknown-output"
BRANCHES: Final[Mapping[str, str]] = {
    "symmetrical-output": "symmetrical",
    "cross-coupled-output": "cross-coupled",
    "transformer-output": "transformer",
}

SENTENCES: Final[Mapping[Severity, str]] = {
    Severity.CARE: "Nobody knows the circuit of {output}, and on this lead it matters: {branches}. "
    "Try pin 3 tied to pin 1 first, and listen for distortion when loud; then pin 3 open, and "
    "listen for a thin sound. A transformer in between suits all.",
    Severity.FINE: "Nobody knows the circuit of {output}; on this lead it does not matter.",
}
EXPLAINED: Final = (
    Explained(
        UNKNOWN,
        "Level that a lead brings, and legs that it shorts, for each circuit that a line output "
        "may have: symmetrical, cross-coupled, transformer. Care where one of them is not well.",
        (Threshold("level lost from which a branch is care", LOST_CARE_DB, "dB", "Rayburn"),),
        "Rayburn, Balanced to unbalanced; Self, Small Signal Audio Design",
    ),
)


@dataclass(frozen=True, slots=True)
class _Branch:
    """An output taken as one circuit: level lost in the lead, and whether a leg is held."""

    circuit: str
    lost_db: float
    is_held: bool

    @property
    def is_well(self) -> bool:
        """Whether nobody would act."""
        return not self.is_held and self.lost_db <= LOST_CARE_DB

    @property
    def words(self) -> str:
        """For people: ``cross-coupled loses 12.0 dB``."""
        held = " and has a leg shorted" if self.is_held else ""
        return f"{BRANCHES[self.circuit]} loses {format_level(max(self.lost_db, 0.0), 'dB')}{held}"


@kept_while(plugged)
def check_unknown_outputs(reading: Reading) -> Iterator[Finding]:
    """Outputs of an unknown circuit: does it matter on the lead that is plugged?"""
    for link in reading.rig.links:
        ports = [reading.rig.ports[each] for each in link.ports]
        outputs = [each for each in ports if each.plan.circuit == "unknown-output"]
        inputs = [each for each in ports if each.plan.role == "in" and each.plan.circuit]
        for output in outputs:
            for port in inputs:
                branches = [_solved(reading, link, output, port, each) for each in BRANCHES]
                yield _judge(output, port, branches)


def _solved(
    reading: Reading, link: RigLink, output: RigPort, port: RigPort, circuit: str
) -> _Branch:
    """The copper of the link alone, drawn with this circuit."""
    drawn = replace(output, plan=replace(output.plan, circuit=circuit))
    rig = replace(reading.rig, links=(link,), ports={**reading.rig.ports, output.address: drawn})
    copper = solve_copper(rig)
    driver = (output.address, None)
    for island, solved in zip(copper.islands, copper.solved, strict=True):
        if columns_of(island, driver) and port.address in island.senses:
            lost_db = lost_on_the_way_db(island, solved, driver, port.address)
            return _Branch(circuit, lost_db, bool(shorted_legs(island, solved, driver)))
    return _Branch(circuit, 0.0, is_held=False)


def _judge(output: RigPort, port: RigPort, branches: list[_Branch]) -> Finding:
    is_one = all(each.is_well for each in branches)
    severity = Severity.FINE if is_one else Severity.CARE
    most_db = max(each.lost_db for each in branches)
    words = {"output": output.label, "branches": ", ".join(each.words for each in branches)}
    return Finding(
        code=UNKNOWN,
        severity=severity,
        where=output.address,
        what=SENTENCES[severity].format(**words),
        why=tuple(
            Compared(f"lost if it is {BRANCHES[each.circuit]}", each.lost_db, LOST_CARE_DB, "dB")
            for each in branches
        ),
        state=LimitState(LOST_CARE_DB - most_db, "dB"),
        source="the lead solved with each circuit that the output may have",
        basis="Rayburn, Balanced to unbalanced; Self, Small Signal Audio Design",
        ports=(output.address, port.address),
    )
