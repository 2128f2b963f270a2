"""Gain plans against published worked examples: cascaded noise, and an amplifier's attenuator."""

from __future__ import annotations

import math
from collections.abc import Sequence

import pytest

from levelhead.gear.book import GearBook
from levelhead.planning.gains.make import make_plan
from levelhead.show.model import Show
from tests.chain.bench import BOOK, Items, bench_show, entries

SOURCE_DBU = -100.0  # noise of the source, flat: noise figures count from it

AMPLIFIER = {
    "label": "Amplifier and loudspeaker with a level control",
    "kind": "loudspeaker",
    "source": "standard",
    "earth": "mains",
    "ports": {"in": entries()["monitor"]["ports"]["in"]},
    "controls": {"level": {"range": ["off", "0 dB"], "default": "0 dB"}},
    "path": {
        "from": "in",
        "stages": [
            {"stage": "attenuator", "control": "level"},
            {"stage": "driver", "sensitivity": {"level": "100 dB SPL", "at": "0 dBu"}},
        ],
        "to": "air",
    },
}
WITH_ATTENUATOR = GearBook(entries() | {"speaker": AMPLIFIER})


def cascade(stages: Sequence[tuple[float, float]]) -> Show:
    """Stages of (noise figure, gain) in dB, in boxes of three, into a recorder."""
    tone = {"output.noise": f"{SOURCE_DBU} dBu", "generator.level": "-30 dBu"}
    items: Items = {"t": ("tone", tone)}
    links, before = [], "t.out"
    padded = [*stages, *[(0.0, 0.0)] * (-len(stages) % 3)]
    for number in range(0, len(padded), 3):
        box, figures = f"b{number // 3}", {}
        for name, (figure_db, gain_db) in zip(
            ("one", "two", "three"), padded[number : number + 3], strict=True
        ):
            figures[f"{name}.gain"] = f"{gain_db} dB"
            if figure_db:
                figures[f"{name}.noise"] = f"{_own_noise_dbu(figure_db, gain_db):.6f} dBu"
        items = {**items, box: ("box", figures)}
        links.append((before, f"{box}.in"))
        before = f"{box}.out"
    return bench_show({**items, "r": "recorder"}, [*links, (before, "r.in")])


def _own_noise_dbu(figure_db: float, gain_db: float) -> float:
    """What a stage adds at its output: ``(F - 1) N0 G``."""
    return SOURCE_DBU + gain_db + 10 * math.log10(10 ** (figure_db / 10) - 1)


@pytest.mark.reference(
    "Friis, Proc. IRE 32 (1944) 419: CV-16, printed 1.62 dB; CV-17, printed 3.83"
)
@pytest.mark.parametrize(
    ("stages", "printed_db"),
    [
        ([(1.5, 20.0), (6.0, 10.0), (10.0, 0.0)], 1.62),
        ([(2.0, -2.0), (1.5, 18.0), (1.0, -1.0), (8.0, -6.0)], 3.83),
    ],
)
def test_noise_of_a_cascade_in_the_plans_model(
    stages: list[tuple[float, float]], printed_db: float
) -> None:
    """Noise over signal at the end against that of the source; the print has two decimals."""
    made = make_plan(cascade(stages), BOOK)
    (noise,), (end,) = made.model.noises, made.model.ends
    signal_db = made.model.levels[end.point].level_db(made.settings)
    source = make_plan(cascade([(0.0, 0.0)]), BOOK)
    (quiet,), (own,) = source.model.noises, source.model.ends
    figure_db = (noise.level_db(made.settings) - signal_db) - (
        quiet.level_db(source.settings) - source.model.levels[own.point].level_db(source.settings)
    )
    assert figure_db == pytest.approx(printed_db, abs=0.01)


@pytest.mark.reference(
    "A printed guide to gain structure (address withheld: a maker's manual): amplifiers that clip "
    "at +6 dBu with attenuators fully up, behind a console that gives +18 dBu, give away 12 dB"
)
def test_the_attenuator_takes_what_the_console_has_over_the_amplifier() -> None:
    """Both at their ceilings together: 12 dB down, within half a decibel."""
    items: Items = {
        "t": ("tone", {"generator.level": "+4 dBu", "generator.peak-to-rms": "3.01 dB"}),
        "d": (
            "desk",
            {
                "ch.preamp.ceiling": "+60 dBu",
                "ch.fader.ceiling": "+60 dBu",
                "main.level.ceiling": "+18 dBu",
                "main.level.noise": "-70 dBu",
            },
        ),
        "s": ("speaker", {"driver.ceiling": "106 dB SPL"}),  # 100 dB SPL at 0 dBu: full at +6 dBu
    }
    links = [("t.out", "d.ch1.line"), ("d.main-left.out", "s.in")]
    show = bench_show(items, links, settings={"d.ch1.gain": "14 dB"}, locks=["d.ch1.gain"])
    plan = make_plan(show, WITH_ATTENUATOR, reserve_db=0.0).plan
    level = plan.position("s.level")
    assert level is not None
    assert level.gain_planned_db == pytest.approx(-12.0, abs=0.5)
    (lineup,) = plan.lineups
    assert lineup.planned.console_over_db == pytest.approx(0.0, abs=0.5)
    assert lineup.full_up.attenuator_db == pytest.approx(0.0, abs=0.05)
    assert lineup.saved_db == pytest.approx(12.0, abs=0.5)  # all the noise is the console's
