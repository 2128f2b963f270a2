"""Another microphone in the place of one that rings, as loud at the loudspeakers as before."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Final

import pytest

from levelhead.acoustics.rings.rings_of import ringing_of
from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.gear.book import load_book
from levelhead.planning.air.other_microphones import other_microphones
from levelhead.rig.build import build_rig
from levelhead.show.document import load_show
from levelhead.show.edits import Edit, Set, apply

SHOW: Final = Path(__file__).parents[3] / "src/levelhead/examples/school-play.yaml"


def edited(solution: Solution, edits: Sequence[Edit]) -> Solution:
    show, _ = apply(solution.rig.show, list(edits))
    return solve(build_rig(show, load_book()))


@pytest.mark.parametrize("trim", ["12 dB", "20 dB"])
def test_it_is_evened_by_what_every_way_to_a_loudspeaker_passes(trim: str) -> None:
    """Its gain, or what follows once that is at its end: never headphones, never one side."""
    solution = solve(build_rig(load_show(SHOW).show, load_book()))
    solution = edited(solution, [Set(f"desk.ch{n}.trim", trim) for n in (1, 2, 3, 4)])
    found = list(other_microphones(solution, ringing_of(solution), edited))
    assert found
    for each in found:
        turned = [edit.address for edit in each.edits if isinstance(edit, Set)]
        item = next(edit.item for edit in each.edits if hasattr(edit, "type"))
        sources = {s.id for s in solution.rig.sources if s.at == item}
        ways = [
            way
            for way in each.after.paths
            if way[0] in sources and way[-1].partition(".")[0] in {"left", "right"}
        ]
        passed = [{each.after.point(at).control for at in way[1:]} for way in ways]
        assert ways
        assert all(address in controls for address in turned for controls in passed)
