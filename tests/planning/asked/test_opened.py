"""What is asked about plays: sends and switches opened, feeds where they are heard."""

from __future__ import annotations

from collections.abc import Iterator

from levelhead.chain.solution import Solution
from levelhead.planning.asked.little_rig import Question
from levelhead.planning.asked.opened import opened
from levelhead.planning.asked.reading import read_question
from levelhead.planning.trial import try_show
from levelhead.verdicts.told.severity import Severity
from tests.planning.asking import BOOK, asked


def test_every_output_plays_in_its_question() -> None:
    """What is shut in a mixer is opened, and a feed goes where it is heard; else all reads fine.

    A stage box plays what a desk sends it, and nobody speaks on an intercom.
    """
    silent = []
    for type_id, port, role in _outputs():
        sink = "loudspeaker-passive-12.in" if role == "loudspeaker" else "recorder-line-pro.in-left"
        reading = read_question(BOOK, Question(f"{type_id}.{port}", sink))
        rig, _ = reading.rig(BOOK, reading.second[0])
        trial = opened(try_show(rig.show, BOOK), rig)
        solution = trial.solution
        points = [each for each in solution.graph.index if f"{each}.".startswith(f"{rig.from_}.")]
        if points and type_id not in solution.dead:
            silent += [rig.from_] if not any(plays(solution, each) for each in points) else []
    assert silent == ["stagebox-digital-16.line1.out", "intercom-party-line.line"]


def plays(solution: Solution, address: str) -> bool:
    """Whether a signal stands there."""
    return solution.levels(address).nominal is not None


def _outputs() -> Iterator[tuple[str, str, str]]:
    """Outputs and inserts of every gear type, of each kind of strip one."""
    for type_id in BOOK.ids:
        if BOOK.sketch(type_id).ends or BOOK.sketch(type_id).sounds:
            continue
        seen = set()
        for block in BOOK.plan(type_id, {}, {}).blocks:
            for name, port in block.plan.ports.items():
                is_new = (block.block, name) not in seen
                if is_new and port.role in ("out", "insert", "loudspeaker") and not port.is_digital:
                    yield type_id, block.address(name), port.role
                seen.add((block.block, name))


def test_a_group_output_is_judged_with_a_channel_in_it() -> None:
    """A recorder at -10 dBV clips on it as on an aux output; it was fine, for nothing came."""
    told = asked("group out", "recorder")
    assert told.verdict is Severity.FAILS
    assert "mixer-analogue-16.group1.out" in [each.at for each in told.levels]
