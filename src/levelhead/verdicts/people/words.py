"""Sentences and cautions of everything that can hurt people, and where its thresholds come from."""

from __future__ import annotations

from typing import Final

from levelhead.verdicts.explain import Explained, Threshold
from levelhead.verdicts.told.finding import Severity

__all__ = [
    "DOSE",
    "EARS",
    "EARTH",
    "EXPLAINED",
    "EXPOSURE",
    "EXPOSURE_CAUTION",
    "FIXINGS",
    "MAINS_CAUTION",
    "MEASURED",
    "NO_DEVICE",
    "OVERHEAD",
    "PEOPLE",
    "RESIDUAL",
    "RIGGING_CAUTION",
    "SENTENCES",
    "STOP",
    "SWITCHING",
    "TINGLE",
    "TOUCH",
]

PEOPLE: Final = "people"  # the family
EARTH: Final = "people.earth"
TINGLE: Final = "people.tingle"
RESIDUAL: Final = "people.residual-current"
NO_DEVICE: Final = "people.no-residual-device"
TOUCH: Final = "people.touchable-volts"
EARS: Final = "people.ears"
EXPOSURE: Final = "people.exposure"
SWITCHING: Final = "people.switching"
OVERHEAD: Final = "people.overhead"
FIXINGS: Final = "people.fixings"
MEASURED: Final = "people.measured-level"

STOP: Final = (
    "Stop. Switch off at the outlet, unplug, keep people away. An electrician looks at it before "
    "anybody touches it again; local rules decide. No audio lead, box or windscreen takes the "
    "place of a protective earth."
)
RIGGING_CAUTION: Final = (
    "Whatever hangs or stands over people is work for a qualified rigger: made for it, rated with "
    "a reserve, and held a second time by a bond of its own. Local rules decide."
)
MAINS_CAUTION: Final = (
    "Mains can kill and burn. Work on it is for a licensed electrician under local rules; what is "
    "hot, smells or trips is switched off and stays off until one has looked at it."
)
EXPOSURE_CAUTION: Final = (
    "Hearing does not come back. Local rules on sound levels and the employer's duties come first; "
    "a meter at the place where people are decides, not this reckoning."
)

SENTENCES: Final = {
    (EARTH, Severity.HARM): "{items} has no protective earth ({supply}). One insulation fault puts "
    "{volts} on it and on all bare metal joined with it; whoever touches an earthed microphone as "
    "well takes {currents}, which can kill.",
    (EARTH, "screens"): "{items} has no protective earth ({supply}) and is earthed by audio leads "
    "alone. After one insulation fault {volts} stand on it while a screen carries what should "
    "blow the fuse, and the whole {mains} once that screen has burnt: {currents} through whoever "
    "touches an earthed microphone as well, which can kill.",
    (TINGLE, Severity.HARM): "{items} leaks {current} through whoever touches it and an earthed "
    "microphone: more than a hand can let go of.",
    (TINGLE, Severity.CARE): "{items} is earthed nowhere and leaks {current} through whoever "
    "touches it and an earthed microphone; {felt} is felt. It goes away once the screen of a sound "
    "lead joins it to the desk. A tingle that somebody feels is looked at by an electrician first.",
    (TINGLE, Severity.FINE): "{items} is earthed nowhere and leaks {current} through whoever "
    "touches it and an earthed microphone; {felt} is felt.",
    (RESIDUAL, Severity.CARE): "{items} leak {current} into the earth of {circuit}, whose "
    "residual-current device may trip from {limit} on: the show may go dark without a fault. Split "
    "the load over circuits that have one each.",
    (RESIDUAL, Severity.FINE): "{items} leak {current} into the earth of {circuit}; its "
    "residual-current device may trip from {limit} on.",
    (NO_DEVICE, "untold"): "{items} hang on {circuit} outdoors, and the show tells of no "
    "residual-current device there. It works behind one of {limit}: ask whoever feeds it.",
    (NO_DEVICE, "coarse"): "{items} hang on {circuit} outdoors, whose residual-current device of "
    "{rated} saves cables from fire and not people. It works behind one of {limit}.",
    (TOUCH, Severity.HARM): "{volts} can stand on the bare contacts of {port}, more than the "
    "{limit} that may be touched.",
    (TOUCH, Severity.CARE): "{volts} can stand on the bare contacts of {port}, close to the "
    "{limit} that may be touched.",
    (TOUCH, Severity.FINE): "{volts} can stand on the bare contacts of {port}; {limit} may be "
    "touched.",
    (TOUCH, "covered"): "{volts} can stand at {port}, whose contacts are covered.",
    (EXPOSURE, "air"): "At 1 m of {who} the loud passage is {level}: whoever works there has a "
    "day's dose in {time}. Without walls it is {farther} at 8 m.",
    (
        EXPOSURE,
        "ear",
    ): "{who} gives {level} at the ear in the loud passage: a day's dose in {time}.",
    (EXPOSURE, "ear-over"): "{who} gives {level} at the ear in the loud passage, a day's dose in "
    "{time}, and the stay is {stay}. It works with {works}: {most} are the most for so long.",
    (SWITCHING, Severity.FINE): "Switch on {first}, and {last} last; off the other way round, "
    "{last_off} first. What a desk or a processor gives when it is switched is then heard by "
    "nobody.",
    (OVERHEAD, Severity.FINE): "{item} is {height} up. How it is held cannot be seen from here: a "
    "rigger looks at it before anybody stands below.",
    (FIXINGS, Severity.HARM): "{item} hangs over people by one fixing: when it gives way, nothing "
    "else holds it. Keep people out from below and take it down until a qualified rigger has hung "
    "it with a second bond of its own; on a stand meanwhile.",
    (SWITCHING, "phantom"): " Mute the channel or wait before phantom power is switched: its step "
    "goes through an open one.",
}

_AUDIO_TOUCH: Final = "IEC 60065, 9.1.1.1; IEC 62368-1, Table E.1"
_BODY: Final = "IEC TS 60479-1"
_DEVICE: Final = "IEC 60364-4-41, 411.3.3, from memory"
DOSE: Final = "NIOSH 98-126, Table 1-1"
EXPLAINED: Final = (
    Explained(
        EARTH,
        "Gear that needs a protective earth, on a supply whose earth the show calls lost: volts on "
        "it to earth after one insulation fault, through the solved ground network, and what that "
        "drives through a body of 1 to 2 kohm. Always harm. No edit is offered: an electrician.",
        (Threshold("current that can kill", 30.0, "mA", _BODY),),
        _BODY,
    ),
    Explained(
        TINGLE,
        "Leakage of all supplies of a group of gear that is joined by screens and earthed nowhere, "
        "through a body of 2 kohm (IEC 60990) to earth. Faults of insulation cannot be seen.",
        (
            Threshold("current that is felt", 0.5, "mA", _BODY),
            Threshold("current that a hand cannot let go of: harm", 10.0, "mA", _BODY),
        ),
        _BODY,
    ),
    Explained(
        RESIDUAL,
        "Leakages of gear with a protective earth on one circuit, added, against half of what its "
        "residual-current device is rated for. Judged where the show states `rcd`.",
        (Threshold("share of the rating that must not trip it", 0.5, "1", "IEC 61008-1"),),
        "IEC 61008-1",
    ),
    Explained(
        NO_DEVICE,
        "Circuits of a show outdoors with gear on the mains: residual current at which a device "
        "cuts them off, as the show tells it (`rcd`). Indoors it is a question for the venue.",
        (Threshold("rating of a device that saves people", 30.0, "mA", _DEVICE),),
        _DEVICE,
    ),
    Explained(
        TOUCH,
        "Largest clean sine that can arrive at a loudspeaker socket through the network, as all "
        "controls stand, against what may be touched; what a socket leaves bare is a fact of the "
        "connector.",
        (
            Threshold("audio volts that may be touched", 71.0, "V", _AUDIO_TOUCH),
            Threshold("the same with a warning, professional", 120.0, "V", _AUDIO_TOUCH),
        ),
        _AUDIO_TOUCH,
    ),
    Explained(
        EARS,
        "Largest sine that headphones or earphones give at the ear with their volume as it stands "
        "and all before it at its ceiling (a microphone drops, feedback, a solo): ceilings, "
        "limiters that are on and currents through the network, times their sensitivity. Where "
        "the show does not say how the volume stands, what everything up gives is care. The loud "
        "passage as set, A-weighted, against what a player may give.",
        (
            Threshold("slip that is fine: a day's dose in 90 s", 110.0, "dB SPL", DOSE),
            Threshold("slip that is harm: a day's dose in 9 s", 120.0, "dB SPL", DOSE),
            Threshold("loud passage as set: care", 100.0, "dB(A)", "EN 50332-2; EN 62368-1, 10.6"),
        ),
        "NIOSH 98-126, Table 1-1; EN 50332; Directive 2003/10/EC sets 140 dB(C) as a peak",
    ),
    Explained(
        EXPOSURE,
        "A-weighted level of the nominal signal at 1 m of the loudest loudspeaker, and at the ear "
        "in headphones, with the time in which it makes a day's dose: 85 dB(A) for 8 h, half the "
        "time for each 3 dB. In the air no room, no distance of people: told, not judged. At the "
        "ear, with the volume stated, for the longest stay that an area gives. Venues: 100 dB "
        "LAeq,15min (WHO 2022); work: 80, 85 and 87 dB LEX,8h (Directive 2003/10/EC).",
        (
            Threshold("level for 8 h", 85.0, "dB(A)", "NIOSH 98-126"),
            Threshold("LEX,8h at the ear that is care", 87.0, "dB(A)", "Directive 2003/10/EC"),
        ),
        "NIOSH 98-126, Table 1-1",
    ),
    Explained(
        SWITCHING,
        "Order of switching, from the ways of the signal: what drives loudspeakers last on and "
        "first off. Told, not judged.",
    ),
    Explained(
        OVERHEAD,
        "Loudspeakers whose place in the show is over raised hands. Told with the usual caution, "
        "not judged: nothing is known of fixings.",
        (Threshold("height from which it is told", 2.5, "m", "common practice"),),
    ),
    Explained(
        FIXINGS,
        "Items for which the show tells `fixings`: one alone is harm. Nothing is told of loads, "
        "fixings or how it is done; that is for a qualified rigger.",
        (Threshold("fixings, each by itself, below which it is harm", 2.0, "", "common practice"),),
    ),
)
