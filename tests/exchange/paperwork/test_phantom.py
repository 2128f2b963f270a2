"""Lists that send a hand to a phantom switch, where a check calls that switch harm."""

from __future__ import annotations

import pytest

from levelhead.exchange.paperwork.phantom import hurt_by_phantom
from levelhead.exchange.paperwork.work import Paperwork
from levelhead.exchange.sheets.start_up import START_UP
from levelhead.exchange.sound_check import sound_check
from levelhead.planning.check import Check
from tests.verdicts.shows import tried_text


def work(socket: str, cable: str, phantom: str = "off") -> Paperwork:
    """A condenser microphone and a media player on a desk with one phantom switch for all."""
    trial = tried_text(f"""
        items:
          vox: {{type: mic-vocal-condenser}}
          cd: {{type: player-media}}
          desk: {{type: mixer-analogue-16}}
        links:
          - {{from: vox.out, to: desk.ch1.mic, via: [cable-xlr 10 m]}}
          - {{from: cd.out-left, to: desk.ch2.{socket}, via: [{cable} 3 m]}}
        settings: {{desk: {{phantom: {phantom}}}}}
        """)
    return Paperwork(Check(trial.judgement.verdict, trial.judgement.findings, (), trial))


@pytest.mark.parametrize("phantom", ["off", "on"])
def test_a_player_on_a_microphone_input_is_mended_before_the_switch(phantom: str) -> None:
    """48 V on a capacitor of 16 V, whether the show has the switch on yet or not."""
    hall = work("mic", "lead-phono-xlr-open", phantom)
    (hurt,) = hurt_by_phantom(hall, "desk")
    assert "cd, line output left" in hurt
    step = next(each for each in sound_check(hall).steps if each.part == "phantom")
    assert step.do.startswith("desk: mend first: ")
    assert hurt in step.do
    assert step.caution is not None
    assert hurt in step.caution
    rows = [row["do"] for row in START_UP.rows(hall) if "Phantom 48 V on" in row["do"]]
    assert rows[0].startswith("Mend first: ")


@pytest.mark.parametrize("phantom", ["off", "on"])
def test_on_a_line_input_nothing_stands_before_the_switch(phantom: str) -> None:
    hall = work("line", "lead-phono-jack", phantom)
    assert hurt_by_phantom(hall, "desk") == ()
    step = next(each for each in sound_check(hall).steps if each.part == "phantom")
    assert "mend first" not in step.do
