"""Connectors: their pins, what mates with what, and which pins carry the signal.

Pin names are those printed on the connector or used by the trade: XLR 1, 2, 3 (IEC 61076-2-103),
jack tip, ring, sleeve (IEC 60603-11), loudspeaker connectors 1+, 1-, 2+, 2-.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

__all__ = [
    "CONNECTORS",
    "Connector",
    "SignalPins",
    "half_in",
    "insert_pins",
    "is_jack_in_combined",
    "mates",
    "signal_pins",
]

_COMBINED: Final = "combo"  # takes an XLR and a jack, at contacts of their own
_OF_XLR: Final = "xlr-m"


@dataclass(frozen=True, slots=True)
class Connector:
    """One kind of plug or socket.

    ``ground`` is the pin that meets the screen and the 0 V of the item; ``plus`` and ``minus``
    are the pins between which a balanced (or, without a third pin, an unbalanced) signal stands.
    ``microphone`` is the pole of a headset's microphone, where there is one. ``is_bare`` says that
    a finger reaches the contacts while it is in use, ``is_mains`` that it goes into an outlet.
    """

    name: str
    label: str
    pins: tuple[str, ...]
    plus: str
    minus: str
    ground: str
    fits: tuple[str, ...]
    microphone: str | None = None
    is_bare: bool = False
    is_mains: bool = False

    @property
    def is_balanced(self) -> bool:
        """Whether it has a third pin, so that a signal need not share the ground."""
        return self.minus != self.ground

    @property
    def slides(self) -> bool:
        """Whether each contact of a plug passes over others on its way in, as those of jacks do."""
        return self.is_balanced and "tip" in self.pins


@dataclass(frozen=True, slots=True)
class SignalPins:
    """The pins of one signal at a port."""

    plus: str
    minus: str
    ground: str


_XLR: Final = ("1", "2", "3")
_TRS: Final = ("tip", "ring", "sleeve")
_TRRS: Final = ("tip", "ring", "ring2", "sleeve")
_TS: Final = ("tip", "sleeve")
_HALF_IN_SOCKET: Final = "jack-trs"  # has contacts that a plug at its first click rests on
_SPEAKER_2: Final = ("1+", "1-")
_DATA: Final = ("data+", "data-", "shell")
_SPEAKER_4: Final = ("1+", "1-", "2+", "2-")


def _balanced(name: str, label: str, pins: tuple[str, ...], *fits: str) -> Connector:
    if pins == _XLR:
        return Connector(name, label, pins, plus="2", minus="3", ground="1", fits=fits)
    return Connector(name, label, pins, plus="tip", minus="ring", ground="sleeve", fits=fits)


def _two_pole(name: str, label: str, *fits: str) -> Connector:
    return Connector(name, label, _TS, plus="tip", minus="sleeve", ground="sleeve", fits=fits)


# A socket lists the plugs that fit it; a plug of a cable lists nothing. A mono jack plug in a
# three-pole socket joins ring and sleeve: that is done where links meet ports.
CONNECTORS: Final[dict[str, Connector]] = {
    connector.name: connector
    for connector in (
        _balanced("xlr-f", "XLR, female", _XLR, "xlr-m"),
        _balanced("xlr-m", "XLR, male", _XLR, "xlr-f"),
        _balanced("jack-trs", "6.35 mm jack, three-pole", _TRS, "jack-trs", "jack-ts"),
        _two_pole("jack-ts", "6.35 mm jack, two-pole", "jack-ts", "jack-trs"),
        # the ring carries no signal: what touches it switches something inside
        Connector(
            "jack-switched", "6.35 mm jack, two-pole, ring contact as a switch", _TRS,
            "tip", "sleeve", "sleeve", ("jack-ts", "jack-trs"),
        ),
        _balanced("mini-trs", "3.5 mm jack, three-pole", _TRS, "mini-trs", "mini-ts"),
        _two_pole("mini-ts", "3.5 mm jack, two-pole", "mini-ts", "mini-trs"),
        Connector(
            "mini-trrs", "3.5 mm jack, four-pole", _TRRS, "tip", "ring", "ring2",
            ("mini-trrs", "mini-trs", "mini-ts"), microphone="sleeve",
        ),
        # the older order of the poles: microphone on the second ring, ground on the sleeve
        Connector(
            "mini-trrs-ground-last", "3.5 mm jack, four-pole, ground on the sleeve", _TRRS,
            "tip", "ring", "sleeve", ("mini-trrs", "mini-trs", "mini-ts"), microphone="ring2",
        ),
        _two_pole("phono", "Phono (RCA)", "phono"),
        _balanced(_COMBINED, "XLR and jack combined", _XLR, "xlr-m", "jack-trs", "jack-ts"),
        Connector(
            "speaker-2", "Loudspeaker connector, two-pole", _SPEAKER_2, "1+", "1-", "1-",
            ("speaker-2",),
        ),
        Connector(
            "speaker-4", "Loudspeaker connector, four-pole", _SPEAKER_4, "1+", "1-", "1-",
            ("speaker-4", "speaker-2"),
        ),
        Connector(
            "terminals", "Screw terminals, pair", _SPEAKER_2, "1+", "1-", "1-",
            ("terminals", "bare"),
        ),
        # screw terminals have a cover, these have none
        Connector(
            "posts", "Binding posts, bare", _SPEAKER_2, "1+", "1-", "1-",
            ("posts", "bare"), is_bare=True,
        ),
        Connector(
            "bare", "Bare wire ends", _SPEAKER_2, "1+", "1-", "1-", ("terminals", "posts"),
            is_bare=True,
        ),
        # has no place on audio: there so that a lead or a box that has one can be told
        Connector(
            "mains", "Mains connector", _SPEAKER_2, "1+", "1-", "1-", ("mains",), is_mains=True,
        ),
        # not a socket: solder inside, which no plug reaches
        Connector("inside", "Inside, no socket", ("plus", "minus"), "plus", "minus", "minus", ()),
        _two_pole("bnc", "Coaxial, bayonet (BNC)", "bnc"),
        # of many pairs, or of many kinds of plug, one stands for all
        Connector("network", "Network (RJ45)", _DATA, "data+", "data-", "shell", ("network",)),
        Connector("usb", "USB", _DATA, "data+", "data-", "shell", ("usb",)),
        Connector("hdmi", "HDMI", _DATA, "data+", "data-", "shell", ("hdmi",)),
    )
}  # fmt: skip

# How the contacts of a plug meet those of a socket of another shape.
_MEETING: Final[dict[tuple[str, str], dict[str, str]]] = {
    ("jack-trs", "jack-ts"): {"tip": "tip", "ring": "sleeve", "sleeve": "sleeve"},
    ("jack-ts", "jack-trs"): {"tip": "tip", "sleeve": "sleeve"},
    ("jack-switched", "jack-ts"): {"tip": "tip", "ring": "sleeve", "sleeve": "sleeve"},
    ("mini-trs", "mini-ts"): {"tip": "tip", "ring": "sleeve", "sleeve": "sleeve"},
    ("mini-ts", "mini-trs"): {"tip": "tip", "sleeve": "sleeve"},
    ("mini-trrs", "mini-trs"): {
        "tip": "tip", "ring": "ring", "ring2": "sleeve", "sleeve": "sleeve",
    },
    ("mini-trrs", "mini-ts"): {
        "tip": "tip", "ring": "sleeve", "ring2": "sleeve", "sleeve": "sleeve",
    },
    ("mini-trrs-ground-last", "mini-trs"): {
        "tip": "tip", "ring": "ring", "ring2": "sleeve", "sleeve": "sleeve",
    },
    ("mini-trrs-ground-last", "mini-ts"): {
        "tip": "tip", "ring": "sleeve", "ring2": "sleeve", "sleeve": "sleeve",
    },
    ("combo", "jack-trs"): {"2": "tip", "3": "ring", "1": "sleeve"},
    ("combo", "jack-ts"): {"2": "tip", "3": "sleeve", "1": "sleeve"},
    ("combo", "xlr-m"): {"1": "1", "2": "2", "3": "3"},
}  # fmt: skip


def mates(socket: str, plug: str) -> dict[str, str] | None:
    """Pins of a socket, each with the plug's pin that touches it; ``None`` when it won't go in.

    >>> mates("xlr-f", "xlr-m")
    {'1': '1', '2': '2', '3': '3'}
    >>> mates("xlr-f", "jack-ts") is None
    True
    """
    if plug not in CONNECTORS[socket].fits:
        return None
    special = _MEETING.get((socket, plug))
    if special is not None:
        return special
    shared = (pin for pin in CONNECTORS[socket].pins if pin in CONNECTORS[plug].pins)
    return {pin: pin for pin in shared}


def is_jack_in_combined(socket: str, plug: str) -> bool:
    """Whether a plug goes to the jack's contacts of a socket that takes XLR and jack alike.

    >>> is_jack_in_combined("combo", "jack-trs"), is_jack_in_combined("combo", "xlr-m")
    (True, False)
    """
    return socket == _COMBINED and plug != _OF_XLR


def half_in(socket: str, plug: str) -> tuple[tuple[str, str], ...] | None:
    """Pins of a socket and of a plug that touch while the plug stands at its first click.

    Its tip rests on the ring contact and its long body on the sleeve; the tip contact, and with it
    the switch of the socket, stays as it is without a plug (common practice with inserts and patch
    bays). ``None`` for anything but 6.35 mm jacks in a three-pole socket.

    >>> half_in("jack-trs", "jack-ts")
    (('ring', 'tip'), ('sleeve', 'sleeve'))
    >>> half_in("phono", "phono") is None
    True
    """
    if socket != _HALF_IN_SOCKET or plug not in CONNECTORS[socket].fits:
        return None
    body = CONNECTORS[plug].pins[1:]
    return (("ring", "tip"), *(("sleeve", pin) for pin in body))


def insert_pins(socket: str, *, ring_send: bool) -> dict[str, SignalPins]:
    """Pins of an insert socket: ``send`` on the tip and ``return`` on the ring, or the other way.

    >>> insert_pins("jack-trs", ring_send=False)["send"].plus
    'tip'
    """
    connector = CONNECTORS[socket]
    first, second = ("return", "send") if ring_send else ("send", "return")
    ground = connector.ground
    return {
        first: SignalPins(connector.plus, ground, ground),
        second: SignalPins(connector.minus, ground, ground),
    }


def signal_pins(socket: str, signal: str | None = None) -> SignalPins:
    """Pins of a signal: the only one, or ``left`` (tip) and ``right`` (ring) of a stereo socket.

    ``microphone`` is that of a headset, on a socket of four poles.

    >>> signal_pins("mini-trrs", "microphone")
    SignalPins(plus='sleeve', minus='ring2', ground='ring2')
    """
    connector = CONNECTORS[socket]
    if signal is None:
        return SignalPins(connector.plus, connector.minus, connector.ground)
    if signal == "microphone":
        pole = connector.microphone or connector.plus
        return SignalPins(pole, connector.ground, connector.ground)
    pin = {"left": connector.plus, "right": connector.minus}[signal]
    return SignalPins(pin, connector.ground, connector.ground)
