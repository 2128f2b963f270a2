"""An asker with a handful of ready answers, in the frozen form, for tests of the page.

The figures are of the size that such chains have (common practice); only the page is tested.
"""

from __future__ import annotations

import copy
from dataclasses import dataclass
from typing import Any

from levelhead.errors import AskError
from levelhead.planning.asked.choices import Choices, SwitchChoice
from levelhead.show.edits import Edit
from levelhead.show.model import Show

Json = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Known:
    """One thing that can be asked for."""

    address: str
    label: str
    score: float = 1.0


SOURCES = (
    Known("mic-vocal-dynamic.out", "Vocal microphone, dynamic"),
    Known("mic-vocal-condenser.out", "Vocal microphone, condenser"),
    Known("keyboard-stereo.left", "Keyboard, left output"),
    Known("di-passive.out", "DI box, passive, output"),
    Known("media-player.out", "Media player, stereo output at -10 dBV"),
    Known("amplifier-two-channel.ch1.out", "Amplifier, two channels: loudspeaker output 1"),
)
TARGETS = (
    Known("mixer-compact.ch1.mic", "Mixer, compact: mic input 1"),
    Known("mixer-compact.ch5.line", "Mixer, compact: line input 5 (fixed)"),
    Known("loudspeaker-powered.in", "Loudspeaker, powered: input"),
)


def point(at: str, unit: str, *levels: float | None) -> Json:
    """One point: nominal, peak, ceiling, floor."""
    nominal, peak, ceiling, floor = levels
    headroom = None if peak is None or ceiling is None else round(ceiling - peak, 2)
    return {
        "at": at,
        "unit": unit,
        "nominal": nominal,
        "peak": peak,
        "ceiling": ceiling,
        "floor": floor,
        "headroom": headroom,
    }


def finding(code: str, severity: str, where: str, what: str, **more: Any) -> Json:
    """One finding with every field of the frozen form."""
    empty: Json = {
        "why": [],
        "margin": None,
        "margin_unit": "dB",
        "p_holds": None,
        "flips": [],
        "settle_by": None,
        "remedies": [],
        "assumed": [],
        "source": "common practice",
        "basis": "",
    }
    family = code.partition(".")[0]
    head = {"code": code, "family": family, "severity": severity, "where": where, "what": what}
    return {**head, **empty, **more}


XLR_PINS = [["1", "1"], ["2", "2"], ["3", "3"]]

MIC_FINE: Json = {
    "verdict": "fine",
    "findings": [
        finding(
            "level.headroom",
            "fine",
            "mixer-compact.ch1.preamp",
            "Peaks leave 19.1 dB below the ceiling of mic input 1 with the gain at 32 dB.",
            why=[
                {"name": "peak at the preamp", "value": 1.9, "limit": 21.0, "unit": "dBu"},
                {"name": "headroom on peaks", "value": 19.1, "limit": 6.0, "unit": "dB"},
            ],
            margin=13.1,
            p_holds=0.998,
            flips=[
                {
                    "input": "gain of mic input 1",
                    "kind": "choice",
                    "from": "32 dB",
                    "to": "45 dB",
                },
                {
                    "input": "the singer's level at 1 m",
                    "kind": "chance",
                    "from": "82 dB SPL",
                    "to": "97 dB SPL",
                },
            ],
            assumed=["singer 5 cm from the microphone", "sensitivity 1.8 mV/Pa, typical"],
        )
    ],
    "links": [{"from": "mic-vocal-dynamic.out", "to": "mixer-compact.ch1.mic", "verdict": "fine"}],
    "cable": {"type": "cable-xlr", "label": "XLR cable", "length_m": 10.0, "pins": XLR_PINS},
    "levels": [
        point("singer", "dB SPL", 106.0, 116.5, None, 38.2),
        point("mic-vocal-dynamic.capsule", "dB SPL", 106.0, 116.5, 145.0, 19.0),
        point("mixer-compact.ch1.mic", "dBu", -40.6, -30.1, -1.0, -129.4),
        point("mixer-compact.ch1.preamp", "dBu", -8.6, 1.9, 21.0, -95.3),
        point("mixer-compact.ch1.fader", "dBu", -8.6, 1.9, 21.0, -93.8),
        point("mixer-compact.main-left.level", "dBu", -11.6, -1.1, 21.0, -84.7),
    ],
    "gain": {
        "control": "mixer-compact.ch1.gain",
        "set": 32.0,
        "low": 26.0,
        "high": 42.0,
        "unit": "dB",
        "kind": "knob",
        "position": 0.64,
        "place": "half past 1 (64 % of its travel)",
    },
    "depends_on": [],
}

DI_FAILS: Json = {
    "verdict": "fails",
    "findings": [
        finding(
            "level.too-low",
            "fails",
            "mixer-compact.ch5.line",
            "The signal is 17.6 dB too low for line input 5, which has no gain.",
            why=[
                {"name": "nominal at the input", "value": -17.6, "limit": 0.0, "unit": "dBu"},
                {"name": "input impedance", "value": 20000.0, "limit": None, "unit": "ohm"},
            ],
            margin=-17.6,
            p_holds=0.01,
            settle_by="Read the level at the input's meter with the fader at zero.",
            remedies=[
                {
                    "do": "Plug into mic input 1 and set its gain to 20 dB",
                    "edits": [{"plug": "di-passive.out", "to": "mixer-compact.ch1.mic"}],
                    "verdict_after": "fine",
                },
                {
                    "do": "Leave the DI box out: a jack lead up to 3 m from the keyboard",
                    "edits": [{"unplug": "di-passive.out"}],
                    "verdict_after": "care",
                },
            ],
            assumed=["turns ratio 12:1"],
            source="handbook",
        ),
        finding(
            "loading.output",
            "fine",
            "di-passive.out",
            "The line input loads the DI box by less than 0.1 dB.",
            margin=0.95,
            p_holds=0.99,
        ),
    ],
    "links": [{"from": "di-passive.out", "to": "mixer-compact.ch5.line", "verdict": "fails"}],
    "cable": {
        "type": "lead-xlr-jack-trs",
        "label": "XLR to balanced jack",
        "length_m": 2.0,
        "pins": [["1", "sleeve"], ["2", "tip"], ["3", "ring"]],
    },
    "levels": [
        point("di-passive.in", "dBu", 4.0, 14.0, 24.0, -98.0),
        point("di-passive.out", "dBu", -17.6, -7.6, 2.4, -118.9),
        point("mixer-compact.ch5.fader", "dBu", -17.6, -7.6, 21.0, -92.5),
    ],
    "gain": None,
    "depends_on": [],
}

AMPLIFIER_HARMS: Json = {
    "verdict": "harm",
    "findings": [
        finding(
            "damage.loudspeaker-level",
            "harm",
            "loudspeaker-powered.in",
            "The loudspeaker output can put 49 V on an input that stands 15 V.",
            why=[
                {"name": "what the output can deliver", "value": 49.0, "limit": 15.0, "unit": "V"},
            ],
            caution="Switch the amplifier off before you pull a plug: it carries tens of volts.",
            margin=-10.3,
            p_holds=0.0,
            remedies=[
                {
                    "do": "Take the link output of the amplifier's input instead",
                    "edits": [{"unplug": "amplifier-two-channel.ch1.out"}],
                    "verdict_after": "fine",
                }
            ],
        ),
        finding(
            "level.too-high",
            "fails",
            "loudspeaker-powered.trim",
            "Peaks lie 11.8 dB above the ceiling of the input stage.",
            margin=-11.8,
            p_holds=0.0,
        ),
    ],
    "links": [
        {"from": "amplifier-two-channel.ch1.out", "to": "loudspeaker-powered.in", "verdict": "harm"}
    ],
    "cable": {
        "type": "lead-speaker-jack",
        "label": "Loudspeaker lead to jack",
        "length_m": 5.0,
        "pins": [["1+", "tip"], ["1-", "sleeve"], ["1-", "ring"]],
    },
    "levels": [
        point("amplifier-two-channel.ch1.in", "dBu", -8.0, 2.0, 22.0, -95.0),
        point("amplifier-two-channel.ch1.power", "dBu", 23.8, 33.8, 36.0, -66.0),
        point("loudspeaker-powered.trim", "dBu", 23.8, 33.8, 22.0, -66.0),
    ],
    "gain": None,
    "depends_on": [],
}

PLAYER_DEPENDS: Json = {
    "verdict": "depends",
    "findings": [
        finding(
            "wiring.stereo-into-balanced",
            "care",
            "mixer-compact.ch5.line",
            "Left and right arrive at opposite legs: what both carry may vanish.",
            flips=[
                {
                    "input": "wiring of the player's socket",
                    "kind": "fact",
                    "from": "stereo",
                    "to": "balanced mono",
                }
            ],
            settle_by="Look at the player's socket: is it marked stereo or balanced?",
            remedies=[
                {
                    "do": "Use a lead from stereo jack to two mono jacks, into inputs 5 and 6",
                    "edits": [],
                    "verdict_after": "fine",
                }
            ],
        )
    ],
    "links": [],
    "cable": {
        "type": "lead-mini-two-jacks",
        "label": "Y lead, 3.5 mm stereo to two jacks",
        "length_m": 3.0,
        "pins": [
            ["tip", "left tip"],
            ["sleeve", "left sleeve"],
            ["sleeve", "right sleeve"],
            ["ring", "right tip"],
        ],
    },
    "levels": [
        point("media-player.out", "dBFS", -18.0, -6.0, 0.0, -92.0),
        point("mixer-compact.ch5.line", "dBu", None, None, 21.0, -95.0),
    ],
    "gain": {
        "control": "mixer-compact.ch5.fader",
        "set": 0.0,
        "low": -6.0,
        "high": 3.0,
        "unit": "dB",
        "kind": "fader",
        "position": 0.75,
        "place": "75 % of its travel",
    },
    "depends_on": [
        {
            "input": "media-player.socket",
            "branches": [
                {"value": "stereo", "verdict": "fails"},
                {"value": "balanced", "verdict": "fine"},
            ],
        }
    ],
    "notes": ["media-player.volume at 0 dB: signal is 68.2 dB above noise at the desk's output."],
    "others": ["Media player, digital output (media-player.digital)"],
}

CONDENSER_CARE: Json = {
    **MIC_FINE,
    "verdict": "care",
    "findings": [
        finding(
            "phantom.missing",
            "care",
            "mixer-compact.ch1.mic",
            "Works while phantom power is on at the mixer.",
            remedies=[
                {
                    "do": "Switch phantom power on at the mixer",
                    "edits": [{"set": "mixer-compact.phantom", "to": "on"}],
                    "verdict_after": "fine",
                }
            ],
        )
    ],
}

ANSWERS = {
    "mic-vocal-dynamic.out": MIC_FINE,
    "mic-vocal-condenser.out": CONDENSER_CARE,
    "keyboard-stereo.left": DI_FAILS,
    "di-passive.out": DI_FAILS,
    "media-player.out": PLAYER_DEPENDS,
    "amplifier-two-channel.ch1.out": AMPLIFIER_HARMS,
}
GAIN = "mixer-compact.ch1.gain"


class FakeAsker:
    """Answers by the source alone; cable length and gain move the answer, to be seen moving."""

    def __init__(self) -> None:
        self.asked: list[Json] = []

    def find_candidates(self, text: str, side: str) -> list[Known]:
        """Things with all words of the text in their label or address."""
        known = SOURCES if side == "from" else TARGETS
        words = text.lower().split()
        return [
            one for one in known if all(w in f"{one.label} {one.address}".lower() for w in words)
        ]

    def answer(self, request: Json) -> Json:
        """A ready answer, with the length and the gain that were asked for."""
        self.asked.append(request)
        source = self._found(request["from"], "from")
        target = self._found(request["to"], "to")
        answer = copy.deepcopy(ANSWERS[source.address])
        answer["from"] = {"address": source.address, "label": source.label}
        answer["to"] = {"address": target.address, "label": target.label}
        if request["length_m"] is not None:
            answer["cable"]["length_m"] = request["length_m"]
        if GAIN in request["settings"]:
            self._turn(answer, float(request["settings"][GAIN].split()[0]))
        return answer

    def choices(self, given: Json) -> Choices:
        """Two cables, and a pad where there is a microphone input."""
        pad = SwitchChoice("mixer-compact.ch1.pad", "pad", ("off", "20-db"), "off")
        has_pad = given["to"]["address"].endswith(".mic")
        cables = (("cable-xlr", "XLR cable"), ("cable-xlr-reversed", "XLR cable, reversed"))
        return Choices(cables, (pad,) if has_pad else ())

    def show_text(self, request: Json, title: str) -> str:
        """No rig stands behind these answers: an empty show."""
        self.asked.append(request)
        return f'levelhead: 1\nshow: {{name: "{title}"}}\n'

    def edits_into(self, request: Json, show: Show) -> tuple[Edit, ...]:
        """Nothing."""
        del show
        self.asked.append(request)
        return ()

    def _found(self, text: str, side: str) -> Known:
        found = self.find_candidates(text, side)
        if not found:
            raise AskError(
                f"nothing fits '{text}'",
                where=f"'{side}'",
                expected="a piece of gear of the gear book",
                remedy="Type fewer letters and pick from the list.",
            )
        return found[0]

    @staticmethod
    def _turn(answer: Json, gain_db: float) -> None:
        """Move the gain and every level behind it."""
        change_db = gain_db - answer["gain"]["set"]
        answer["gain"] |= {"set": gain_db, "position": gain_db / 50, "place": f"at {gain_db}"}
        for entry in answer["levels"][3:]:
            entry["nominal"] += change_db
            entry["peak"] += change_db
            entry["headroom"] = entry["ceiling"] - entry["peak"]
