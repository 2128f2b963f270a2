"""Ground networks against ngspice: the whole rig in one netlist, uncut, with its earths and mains.

Ours is cut at the 0 V of the items and put together again; theirs is not.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from levelhead.circuit.ground.earths import MAIN_EARTH, Branch, Earths, HumSource, earths_of
from levelhead.circuit.ground.mains import Cause, Mains
from levelhead.circuit.ground.network import Ground, solve_ground
from levelhead.circuit.ground.sketch import GroundSketch, common_of, draw_ground, shared_zeros
from levelhead.circuit.hum.at_inputs import PortHum, hum_at_inputs
from levelhead.circuit.network import GROUND, Kind, Network, NetworkBuilder
from levelhead.circuit.placed.pieces import Piece
from levelhead.gear.book import load_book
from levelhead.rig.build import build_rig
from levelhead.rig.model import Rig
from levelhead.show.document import load_show
from tests.circuit.ground_rigs import rig_of
from tests.oracle.spice import BANDS_HZ, Spiced, simulate

pytestmark = pytest.mark.oracle

VOLTAGE_SHARE = 10 ** (0.01 / 20) - 1  # 0.01 dB
# V per V. Of earth potentials ngspice rounds what nearly cancels to 1e-8: it prints the same small
# number at all frequencies where a capacitance decides. Leakages are small everywhere.
ROUNDING = 2e-8
ROUNDING_OF_LEAKAGE = 1e-10
NEXT_TO_NOTHING_OHM = 1e-3  # of a leakage, beside the megohms of its capacitance

HALL = Path(__file__).parents[2] / "src" / "levelhead" / "examples" / "village-hall.yaml"

LOOP = """
items:
  one: {type: player-earthed, supply: stage}
  two: {type: amp-unbalanced, supply: hall}
links:
  - {from: one.out, to: two.in, via: [cable-phono 15 m]}
  - {from: one.more, to: two.second, via: [lead-1-ohm 1 m]}
"""
BALANCED = """
items:
  one: {type: symmetrical, supply: stage}
  unlike: {type: ten-ohm}
  two: {type: amp-balanced, supply: hall}
  three: {type: player, supply: wings}
  iso: {type: isolator}
  four: {type: amp-unbalanced, supply: wings}
links:
  - {from: one.out, to: unlike.in, via: [cable-xlr 30 m]}
  - {from: unlike.out, to: two.in, via: [cable-xlr 2 m]}
  - {from: three.out, to: iso.in, via: [cable-phono 2 m]}
  - {from: iso.out, to: four.in, via: [cable-phono 2 m]}
"""
DI = """
items:
  keys: {type: keyboard-stereo, supply: stage}
  laptop: {type: laptop}
  di: {type: di-passive}
  desk: {type: mixer-compact, supply: hall}
  pow: {type: loudspeaker-powered-12, supply: wings}
links:
  - {from: keys.out-left, to: di.in, via: [cable-jack 3 m]}
  - {from: di.out, to: desk.ch1.mic, via: [cable-xlr 30 m]}
  - ends: {a: laptop.phones, left: desk.st1.in-left, right: desk.st1.in-right}
    via: [lead-mini-two-jacks 2 m]
  - {from: desk.aux.out, to: pow.in, via: [lead-jack-balanced-xlr 20 m]}
"""


class BandMains(Mains):
    """Mains whose lines are the 31 bands that ngspice sweeps, each of 1 V."""

    @property
    def lines_hz(self) -> NDArray[np.float64]:
        return BANDS_HZ

    @property
    def earth_spectrum(self) -> NDArray[np.float64]:
        return np.ones(len(BANDS_HZ))

    class_1_spectrum = class_2_spectrum = charger_spectrum = earth_spectrum


@dataclass
class Whole:
    """A rig as one network: a source for each branch, a sense for each input."""

    rig: Rig
    sketch: GroundSketch
    items: tuple[str, ...]
    earths: Earths
    builder: NetworkBuilder = field(default_factory=NetworkBuilder)
    numbers: dict[int, int] = field(default_factory=lambda: {GROUND: GROUND})

    def node(self, index: int) -> int:
        """Node of the sketch."""
        if index not in self.numbers:
            self.numbers[index] = self.builder.node()
        return self.numbers[index]

    def build(self) -> Network:
        """Copper, earths and leakages, without a cut."""
        builder = self.builder
        for winding in self.sketch.windings:
            plus, minus, other_plus, other_minus = (self.node(each) for each in winding.nodes)
            builder.transformer((plus, minus), (other_plus, other_minus), winding.figures)
        for part in self.sketch.elements:
            a, b = self.node(part.a), self.node(part.b)
            {
                Kind.RESISTOR: builder.resistor,
                Kind.CAPACITOR: builder.capacitor,
                Kind.INDUCTOR: builder.inductor,
            }[part.kind](a, b, part.value)
        self._draw_earths()
        for weights in self.sketch.senses.values():
            builder.sense({self.node(index): weight for index, weight in weights.items()})
        return builder.build()

    def _draw_earths(self) -> None:
        whole = Piece.of(self.rig, self.rig.links)
        zeros = {item: node for node, item in shared_zeros(self.sketch, whole).items()}
        rows = [self.node(zeros[item]) for item in self.items]
        rows += [self.builder.node() for _ in range(self.earths.node_count - len(rows))]
        for branch in self.earths.branches:
            a = rows[branch.a]
            b = GROUND if branch.b == MAIN_EARTH else rows[branch.b]
            self._draw_branch(branch, a, b)

    def _draw_branch(self, branch: Branch, a: int, b: int) -> None:
        if branch.farad is None:
            self.builder.source(a, b, branch.ohm)
            return
        inner = self.builder.node()
        self.builder.source(inner, b, NEXT_TO_NOTHING_OHM)
        self.builder.capacitor(inner, a, branch.farad)


@dataclass(frozen=True)
class Compared:
    """The same rig by both programs."""

    ground: Ground
    hum: dict[str, PortHum]
    theirs: Spiced
    senses: tuple[str, ...]
    branch_of_source: tuple[int, ...]


def compare(rig: Rig) -> Compared:
    """Solve a rig in both programs."""
    mains = BandMains(volts=230.0, hz=50.0)
    ground = solve_ground(rig, mains)
    sketch = draw_ground(rig)
    earths = earths_of(rig, ground.items, mains)
    whole = Whole(rig, sketch, ground.items, earths)
    (theirs,) = simulate([whole.build()])
    return Compared(
        ground,
        dict(hum_at_inputs(ground)),
        theirs,
        tuple(sketch.senses),
        tuple(earths.branch_of_source),
    )


def rounding_of(source: HumSource) -> float:
    """What ngspice rounds away for such a source."""
    is_potential = source.cause in {Cause.STRIP, Cause.OUTLETS, Cause.CIRCUITS}
    return ROUNDING if is_potential else ROUNDING_OF_LEAKAGE


def rigs() -> dict[str, Rig]:
    """A few rigs of each kind, and the example that people see first."""
    document = load_show(HALL)
    hall = build_rig(document.show, load_book(), document)
    return {"loop": rig_of(LOOP), "balanced": rig_of(BALANCED), "di": rig_of(DI), "hall": hall}


@pytest.fixture(scope="module", params=["loop", "balanced", "di", "hall"])
def compared(request: pytest.FixtureRequest) -> Compared:
    return compare(rigs()[request.param])


def test_hum_between_the_pins_agrees(compared: Compared) -> None:
    """Every input, every source, every band, in size and phase."""
    assert compared.hum
    for row, address in enumerate(compared.senses):
        if address in compared.hum:
            for number, source in enumerate(compared.ground.sources):
                theirs_v = compared.theirs.transfer[row, compared.branch_of_source[number]]
                volts = compared.hum[address].volts
                ours_v = volts[number] if len(volts) else np.zeros_like(theirs_v)  # of one 0 V
                np.testing.assert_allclose(
                    ours_v / source.emf_v,
                    theirs_v,
                    rtol=VOLTAGE_SHARE,
                    atol=rounding_of(source),
                    err_msg=f"{address}, {source.cause} of {source.who}",
                )


def test_what_both_legs_share_agrees(compared: Compared) -> None:
    """Balanced inputs: the common voltage before rejection, in size."""
    checked = 0
    for address, hum in compared.hum.items():
        if hum.power.cmrr is None:
            continue
        checked += 1
        row = compared.senses.index(common_of(address))
        let_through = 10 ** (-hum.power.cmrr.value / 10)
        for number, source in enumerate(compared.ground.sources):
            common = np.sqrt(hum.power.shared[1, number] / let_through) / source.emf_v
            theirs = np.abs(compared.theirs.transfer[row, compared.branch_of_source[number]])
            np.testing.assert_allclose(common, theirs, rtol=VOLTAGE_SHARE, atol=rounding_of(source))
    assert checked or all(hum.power.cmrr is None for hum in compared.hum.values())


def test_the_rigs_have_every_kind_of_source() -> None:
    """An oracle proves nothing about causes that never occur in what it is asked."""
    causes = {
        source.cause
        for rig in rigs().values()
        for source in solve_ground(rig, BandMains(volts=230.0, hz=50.0)).sources
    }
    assert len(causes) == 6
