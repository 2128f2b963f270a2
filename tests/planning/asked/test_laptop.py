"""Questions about a laptop: how far up its volume goes, and what that is worth.

Figures are worked out here from the definitions, never taken from the program.
"""

from __future__ import annotations

import math

import pytest

from levelhead.gear.book import GearBook
from levelhead.planning.asked.answer import Answer, Question, answer
from levelhead.verdicts.told.severity import Severity
from tests.planning.asking import BOOK, asked, asked_with, point


def laptop_volume_db(told: Answer) -> float:
    return told.trial.solution.rig.setting_db("laptop.volume")


def test_a_laptop_goes_in_with_its_volume_full() -> None:
    told = asked("laptop headphones", "stereo line input of compact mixer")
    assert told.verdict is Severity.FINE
    assert laptop_volume_db(told) == 0.0


def test_it_is_turned_down_where_the_input_clips() -> None:
    """A mic input of +30 dB clips at -10 dBu: only the laptop's own volume stands before it."""
    told = asked("laptop headphones", "powered loudspeaker mic input")
    trim = point(told, ".trim")
    assert told.verdict is Severity.FINE
    assert trim.headroom == pytest.approx(6.0, abs=0.1)
    assert -30.0 < laptop_volume_db(told) < -10.0


def book_with_a_faint_laptop() -> GearBook:
    """The same laptop, whose output distorts from 0.4 V on."""
    return BOOK.extended(
        {
            "laptop-faint": {
                "like": "laptop",
                "label": "Faint notebook",
                "words": ["faint notebook"],
                "path": {
                    "sides": ["left", "right"],
                    "from": [
                        {
                            "generator": {
                                "level": "-9 dBFS",
                                "peak-to-rms": "11.5 dB",
                                "spectrum": "programme",
                                "shared": "0.7",
                            }
                        }
                    ],
                    "stages": [
                        {"stage": "volume", "control": "volume", "ceiling": "0 dBFS"},
                        {
                            "stage": "converter",
                            "full-scale": "1.8 V",
                            "ceiling": "0.4 V",
                            "noise": "-90 dBV",
                        },
                    ],
                    "to": "phones",
                },
            }
        }
    )


def test_it_is_turned_down_where_its_own_output_distorts() -> None:
    """Peaks of -0.5 dBFS are 1.70 V: 12.5 dB over 0.4 V, and 6 dB of reserve."""
    question = Question("faint notebook", "stereo line input of compact mixer")
    told = answer(question, book_with_a_faint_laptop())
    peak_db = -9 + 11.5 - 3.0103 + 20 * math.log10(1.8 / 0.4)
    assert told.trial.solution.rig.setting_db("laptop-faint.volume") == pytest.approx(
        -(peak_db + 6.0), abs=0.1
    )


def test_a_volume_that_somebody_has_set_stays() -> None:
    down = {"laptop.volume": "-12 dB"}
    told = asked_with("laptop headphones", "stereo line input of compact mixer", down)
    assert laptop_volume_db(told) == -12.0


def test_a_quarter_of_its_volume_is_worse_by_12_db_at_the_desks_output() -> None:
    """20 lg 4 = 12.04 dB: the signal falls, the noise of the converter stays."""
    into = "stereo line input of compact mixer"
    full = asked("laptop headphones", into).levels[-1]
    quarter = asked_with("laptop headphones", into, {"laptop.volume": "-12 dB"}).levels[-1]
    assert full.at == quarter.at
    assert full.unit == "dBu"
    assert full.signal_over_noise is not None
    assert quarter.signal_over_noise is not None
    lost_db = full.signal_over_noise - quarter.signal_over_noise
    assert lost_db == pytest.approx(20 * math.log10(4), abs=0.5)


def test_that_figure_is_printed() -> None:
    told = asked("laptop headphones", "stereo line input of compact mixer")
    assert any("At a quarter" in note and "12.0 dB worse" in note for note in told.notes)
