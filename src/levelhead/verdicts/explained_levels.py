"""What stands behind the codes of level, phantom power, plugs, hum and routing."""

from __future__ import annotations

from typing import Final

from levelhead.verdicts.enough.clipping import CODE as CLIPS_AS_SET
from levelhead.verdicts.enough.gain import SET_TOO_LOW_DB, TOO_LOW
from levelhead.verdicts.enough.lent import SHARED_MAKEUP_DB
from levelhead.verdicts.enough.limiters import CODE as LIMITED
from levelhead.verdicts.enough.limiters import LIMITED_FINE_DB
from levelhead.verdicts.enough.volume import QUIET_ENOUGH_DB
from levelhead.verdicts.explain import PRACTICE, Explained, Threshold
from levelhead.verdicts.harm.level import AMPLE_DB as HARM_AMPLE_DB
from levelhead.verdicts.hum.listener import LISTENER
from levelhead.verdicts.hum.sound import AMPLE_DB as HUM_AMPLE_DB
from levelhead.verdicts.hum.sound import CLEAN_DB, COVERED_DB
from levelhead.verdicts.hum.words import HEARD, IN_SIGNAL, SUM
from levelhead.verdicts.phantom.arrives import AMPLE_V
from levelhead.verdicts.read.gain_plan import PEAK_RESERVE_DB
from levelhead.verdicts.read.spans import COMFORTABLE_TRAVEL

__all__ = ["EXPLAINED"]

_PEAKS: Final = Threshold("headroom on peaks that is fine", PEAK_RESERVE_DB, "dB", PRACTICE)
_CLIPS: Final = Threshold("headroom on peaks below which it fails", 0.0, "dB", "definition")
_PHANTOM: Final = (
    Threshold("volts over the least that fail", 0.0, "V", "IEC 61938"),
    Threshold("volts over the least that are fine whatever the doubts", AMPLE_V, "V", PRACTICE),
)
_HUM: Final = (
    Threshold("typical hum under what is heard: fine", HUM_AMPLE_DB, "dB", PRACTICE),
    Threshold("programme over hum: nobody complains", CLEAN_DB, "dB", PRACTICE),
    Threshold("programme over hum: heard between the words", COVERED_DB, "dB", PRACTICE),
    Threshold("background of the listener", LISTENER.background_a.value, "dB SPL(A)", PRACTICE),
    Threshold("distance of the listener", LISTENER.distance.value, "m", PRACTICE),
)

EXPLAINED: Final = (
    Explained(
        "harm.level",
        "Volts that all outputs on an input can bring through the network at their ceilings, "
        "controls up and in the worst phase, against the volts that the input survives.",
        (
            Threshold("spare below which it harms", 0.0, "dB", "damage figure of the input"),
            Threshold("spare that is fine whatever the doubts", HARM_AMPLE_DB, "dB", PRACTICE),
        ),
        "the input's own damage level, with its range",
    ),
    Explained(
        TOO_LOW,
        "Gain that brings the nominal level at an input to the zero of its meter, against the gain "
        "at hand, the fader's last part and what the masters lend: 6 dB, or all that masters and "
        "loudspeakers behind have left where the source stands clear of the noise there. An input "
        "without gain and meter is judged at the meter of its mix.",
        (
            Threshold(
                "travel of the control that is fine", 100 * COMFORTABLE_TRAVEL, "%", PRACTICE
            ),
            Threshold("what masters lend one weak source", SHARED_MAKEUP_DB, "dB", PRACTICE),
            Threshold("over A-weighted noise: all behind lends", CLEAN_DB, "dB", PRACTICE),
        ),
    ),
    Explained(
        "enough.too-high",
        "Peaks at an input, against the ceiling of the first stage at its lowest gain.",
        (_CLIPS, _PEAKS),
    ),
    Explained(
        CLIPS_AS_SET,
        "Peaks at every stage as all controls stand, against its ceiling.",
        (_CLIPS, _PEAKS),
    ),
    Explained(
        LIMITED,
        "What a limiter takes off the peaks as all controls stand; a compressor is meant to work.",
        (Threshold("taken off the peaks: fine", LIMITED_FINE_DB, "dB", PRACTICE),),
    ),
    Explained(
        "enough.set-too-low",
        "Gain as it is set, against the gain that brings nominal to the meter's zero.",
        (
            Threshold(
                "gain below its place, at an input without a fader: care",
                SET_TOO_LOW_DB,
                "dB",
                PRACTICE,
            ),
            Threshold("what masters lend beside the fader", SHARED_MAKEUP_DB, "dB", PRACTICE),
        ),
    ),
    Explained(
        "enough.volume-down",
        "Signal over noise that a digital volume in front of its own analogue output costs.",
        (Threshold("signal over A-weighted noise: fine", QUIET_ENOUGH_DB, "dB", PRACTICE),),
    ),
    Explained(
        "phantom.too-low",
        "Volts at an item at its own current, through feed resistors and cable at direct current, "
        "against its least volts.",
        _PHANTOM,
        "IEC 61938",
    ),
    Explained(
        "phantom.missing",
        "Whether anything feeds an item that lives on phantom power alone.",
        _PHANTOM,
        "IEC 61938",
    ),
    Explained("fit.plug", "Whether each plug of a link goes into the socket that it is put in."),
    Explained(
        HEARD,
        "Hum that earths, screens, supplies and fields bring to an input and on to a loudspeaker, "
        "A-weighted at 1 m, against what a listener hears over the room.",
        _HUM,
    ),
    Explained(
        SUM,
        "Hum of all inputs of a loudspeaker together, A-weighted at 1 m, against what a listener "
        "hears over the room.",
        _HUM,
    ),
    Explained(
        IN_SIGNAL,
        "Hum at an input that no loudspeaker gives, A-weighted, against its signal.",
        _HUM[1:3],
    ),
    Explained("routing.unheard", "Ways of each signal that end at a loudspeaker: is there one?"),
    Explained(
        "routing.no-signal",
        "Ways that reach each plugged loudspeaker: is there one? One for the audience fails where "
        "something plays that could come there, and what shuts the way is gear that somebody has "
        "set. And each plugged input of a recorder, where something plays that could come there.",
    ),
)
