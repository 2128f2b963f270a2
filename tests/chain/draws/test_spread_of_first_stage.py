"""What a mix leads into spreads like any other stage."""

from __future__ import annotations

import numpy as np
import pytest

from levelhead.chain.draws.levels import draw_levels_db
from levelhead.chain.solve import solve
from levelhead.gear.book import load_book
from levelhead.rig.build import build_rig
from levelhead.show.model import Cable, Item, Link, Show, Source

POWERED = Show(
    "Small powered mixer",
    items={"vox": Item("vox", "mic-vocal-dynamic"), "desk": Item("desk", "mixer-powered")},
    sources={"mia": Source("mia", "voice-singer", "vox", 0.05)},
    links=(Link({"a": "vox.out", "b": "desk.ch1.mic"}, (Cable("cable-xlr", 5.0),)),),
    settings={"desk.ch1.gain": "35 dB", "desk.ch1.fader": "0 dB"},
)


def test_the_first_stage_behind_a_mix_spreads_as_its_range_says() -> None:
    """Variances of independent figures add: what the amplifier adds is a quarter of its range."""
    solution = solve(build_rig(POWERED, load_book()))
    at = ["desk.main-left.level", "desk.power-left.amplifier"]
    drawn = draw_levels_db(solution, at, draws=20_000, rng=np.random.default_rng(5))
    before, behind = drawn.std(axis=0)
    gain = next(
        stage.gain_db
        for block in solution.rig.items["desk"].plan.blocks
        for path in block.plan.paths
        for stage in path.stages
        if block.name == "power-left" and stage.name == "amplifier"
    )
    own_db = (gain.high - gain.low) / 4
    assert behind == pytest.approx(np.hypot(before, own_db), rel=0.03)
