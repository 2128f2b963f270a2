"""What differs at the pins of one link: a broken wire, wires that changed places, tied pins."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from levelhead.errors import ShowError
from levelhead.gear.connectors import CONNECTORS
from levelhead.gear.names import did_you_mean
from levelhead.rig.model import Node, PinChange, Segment
from levelhead.show.model import Link

__all__ = ["OPEN", "pin_changes"]

OPEN: Final = "open"  # state of a pin on which no conductor ends


def pin_changes(
    link: Link, segments: Sequence[Segment], contacts: Sequence[tuple[Node, Node]], *, where: str
) -> tuple[PinChange, ...]:
    """Changes that the ``pins`` of a link make to the plugs at its ends.

    A pin may be named with the end of the link that it is at (``b.1``); without one it is at the
    first end whose plug has such a pin. ``open`` breaks its conductor there. Pins that name one
    another in a ring have changed places; a pin that names another one is tied to it.

    Raises
    ------
    ShowError
        No plug at the ends has such a pin.
    """
    plugs = dict(_plugs(link, segments, contacts))
    named = {_place(pin, plugs, where): state for pin, state in link.pins.items()}
    return tuple(
        _change(plugs[end], pin, state, _states(named, end), where)
        for (end, pin), state in named.items()
    )


@dataclass(frozen=True, slots=True)
class _Plug:
    """The plug at an end of a link: which cable, which end of it, and its pins."""

    segment: int
    end: str
    pins: tuple[str, ...]


def _plugs(
    link: Link, segments: Sequence[Segment], contacts: Sequence[tuple[Node, Node]]
) -> Iterator[tuple[str, _Plug]]:
    """Plugs by the link's own names of its ends."""
    cables = {segment.number: segment.cable for segment in segments}
    for name, address in link.ends.items():
        for pair in contacts:
            for port, cable in (pair, pair[::-1]):
                if port[:2] == ("port", address) and cable[0] == "cable":
                    number, end = int(cable[2]), str(cable[3])
                    pins = CONNECTORS[cables[number].ends[end]].pins
                    yield name, _Plug(number, end, pins)


def _place(pin: str, plugs: Mapping[str, _Plug], where: str) -> tuple[str, str]:
    """End of the link and pin that are meant."""
    end, dot, local = pin.partition(".")
    if dot and end in plugs and local in plugs[end].pins:
        return end, local
    for name, plug in plugs.items():
        if not dot and pin in plug.pins:
            return name, pin
    known = [*(each for plug in plugs.values() for each in plug.pins)]
    known += [f"{name}.{each}" for name, plug in plugs.items() for each in plug.pins]
    raise ShowError(
        f"no pin '{pin}' at the ends of this link",
        where=where,
        expected=f"one of {', '.join(dict.fromkeys(known))}",
        remedy=did_you_mean(pin, known) or "Name a pin as the plug has it.",
    )


def _states(named: Mapping[tuple[str, str], str], end: str) -> dict[str, str]:
    """What is said of the pins of one plug."""
    return {pin: state for (other, pin), state in named.items() if other == end}


def _change(plug: _Plug, pin: str, state: str, states: Mapping[str, str], where: str) -> PinChange:
    if state == OPEN:
        return PinChange(plug.segment, plug.end, pin, None)
    if state == pin or state not in plug.pins:
        raise ShowError(
            f"pin '{pin}' cannot be '{state}'",
            where=where,
            expected=f"open, or one of {', '.join(each for each in plug.pins if each != pin)}",
            remedy="Write open for a broken wire, else the pin that it is on.",
        )
    return PinChange(plug.segment, plug.end, pin, state, is_tie=not _is_ring(pin, states))


def _is_ring(pin: str, states: Mapping[str, str]) -> bool:
    """Whether following what each pin names leads back to this one."""
    at = pin
    for _ in states:
        at = states.get(at, "")
        if at == pin:
            return True
    return False
