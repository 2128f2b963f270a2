"""A talker in a hall with one loudspeaker: one number of it decides."""

from __future__ import annotations

from levelhead.chain.solve import solve
from levelhead.gear.book import load_book
from levelhead.rig.build import build_rig
from levelhead.show.document import parse_show
from levelhead.verdicts.judge import Judgement, judge
from levelhead.verdicts.told.finding import Finding, Severity

__all__ = ["CHAIRS", "HALL", "judged", "level_at", "one", "show_text"]

HALL = "{corners: [[-6, -4], [6, -4], [6, 16], [-6, 16]], height: 6 m, reverberation: 1 s}"
CHAIRS = "corners: [[-4, 2], [4, 2], [4, 12], [-4, 12]]"


def show_text(
    *,
    room: str | None = HALL,
    areas: str | None = f"{{chairs: {{label: Chairs, {CHAIRS}}}}}",
    box: str = "at: [0, 0, 2.5], aim: [0, 9, 1.2]",
    level_db: float = -20.0,
    gain_db: float = 40.0,
    vox: str = "at: [0, -2, 1.5]",
    talker: str = "voice-talker-loud",
    more: str = "",
) -> str:
    """The show file; ``more`` are lines of items, ``room`` and ``areas`` may be missing."""
    text = f"""levelhead: 1
show: {{name: Talk}}
items:
  vox: {{type: mic-vocal-dynamic, label: Microphone, {vox}}}
  desk: {{type: mixer-compact, label: Desk}}
  box: {{type: loudspeaker-powered-12, label: Box, {box}}}
{more}
sources: {{ada: {{type: {talker}, label: Ada, at: vox, distance: 5 cm}}}}
links:
  - {{from: vox.out, to: desk.ch1.mic, via: [cable-xlr 10 m]}}
  - {{from: desk.main-left.out, to: box.in, via: [cable-xlr 10 m]}}
settings:
  desk: {{ch1: {{gain: {gain_db} dB, fader: 0 dB}}}}
  box: {{level: {level_db} dB}}
"""
    text += "" if room is None else f"room: {room}\n"
    return text + ("" if areas is None else f"areas: {areas}\n")


def judged(text: str) -> Judgement:
    """Its verdicts."""
    return judge(solve(build_rig(parse_show(text, "talk.yaml").show, load_book())))


def one(text: str, code: str) -> Finding | None:
    """The only finding of a code, if there is one."""
    found = [each for each in judged(text).findings if each.code == code]
    assert len(found) <= 1
    return found[0] if found else None


def level_at(text: str, place: str) -> float:
    """Mean level that findings tell of an area. [dB(A)]"""
    for each in judged(text).findings:
        if each.where == f"areas.{place}.level":
            assert each.why[0].value is not None
            return each.why[0].value
    raise AssertionError(place)


FINE, CARE, FAILS, HARM = Severity.FINE, Severity.CARE, Severity.FAILS, Severity.HARM
