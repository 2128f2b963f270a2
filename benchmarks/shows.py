"""Made-up shows of any size for the benchmarks: text as a person types it, and their desk."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any, Final

from levelhead.gear.book import GearBook, load_book

DESK: Final = "mixer-of-the-benchmark"
_LENGTHS_M: Final = (5, 10, 15, 20)
_CHANNELS: Final = 32  # of a digital desk
_MISTAKEN_DB: Final = 20  # a gain this far under its place is a finding


def book_for(channels: int) -> GearBook:
    """The gear book with a desk of this many mic channels, otherwise like the compact mixer."""
    desk: dict[str, Any] = {
        "like": "mixer-compact",
        "label": f"Mixer with {channels} mic channels",
        "blocks": {"ch": {"repeat": channels}},
    }
    return load_book().extended({DESK: desk})


def show_text(channels: int, *, are_alike: bool = False, mistakes: int = 0) -> str:
    """A show that fills all mic channels and four loudspeakers.

    Of four channels two take a dynamic microphone, one a condenser, one a keyboard through a
    passive DI. Everything is fine, but for the gains of as many channels as there are ``mistakes``.
    ``are_alike``: equal sources have equal cables, as on a well packed stage; else each channel has
    a length of its own, so that no two circuits are the same.
    """
    items, sources, links, settings = _desk()
    fader_db = -10 * math.log10(channels / 4)  # the more channels, the less of each
    for channel in range(1, channels + 1):
        add, gain_db = _KINDS[channel % len(_KINDS)]
        add(channel, items, sources, links)
        gain_db -= _MISTAKEN_DB if channel <= mistakes else 0
        settings.append(
            f"    ch{channel}: {{gain: {gain_db} dB, fader: {fader_db:.0f} dB, aux: -6 dB}}"
        )
        length_m = _length_m(channel, are_alike=are_alike)
        links[-1] = links[-1].replace("LENGTH", f"{length_m:g} m")
    head = [f"levelhead: 1\nshow: {{name: {channels} channels}}"]
    sections = {"items": items, "sources": sources, "links": links, "settings": settings}
    body = [line for name, lines in sections.items() for line in (f"{name}:", *lines)]
    return "\n".join([*head, *body]) + "\n"


def _length_m(channel: int, *, are_alike: bool) -> float:
    if are_alike:
        return _LENGTHS_M[channel % len(_KINDS)]
    return round(5 + 0.1 * channel, 1)


def condensers_text(count: int) -> str:
    """Condensers on digital desks of 32 channels whose phantom power nobody has switched on."""
    items, sources, links, settings = [], [], [], []
    for first in range(0, count, _CHANNELS):
        desk = f"desk-{first // _CHANNELS + 1}"
        items += [f"  {desk}: {{type: mixer-digital-32}}"]
        items += [f"  {desk}-left: {{type: loudspeaker-powered-12}}"]
        links += [f"  - {{from: {desk}.main-left.out, to: {desk}-left.in, via: [cable-xlr 20 m]}}"]
        settings += [f"  {desk}-left: {{level: -20 dB}}", f"  {desk}:"]
        for channel in range(1, min(_CHANNELS, count - first) + 1):
            name = first + channel
            items.append(f"  mic-{name}: {{type: mic-vocal-condenser}}")
            sources.append(f"  voice-{name}: {{type: voice-singer, at: mic-{name}}}")
            to = f"{desk}.ch{channel}.mic"
            links.append(f"  - {{from: mic-{name}.out, to: {to}, via: [cable-xlr 10 m]}}")
            settings.append(f"    ch{channel}: {{gain: 30 dB, fader: -15 dB}}")
    sections = {"items": items, "sources": sources, "links": links, "settings": settings}
    body = [line for name, lines in sections.items() for line in (f"{name}:", *lines)]
    return "\n".join([f"levelhead: 1\nshow: {{name: {count} condensers}}", *body]) + "\n"


Lines = list[str]


def _desk() -> tuple[Lines, Lines, Lines, Lines]:
    items = [f"  desk: {{type: {DESK}}}"]
    links = []
    for output, names in (("main-left", "left"), ("main-right", "right"), ("aux", "monitor")):
        items.append(f"  {names}: {{type: loudspeaker-powered-12}}")
        cable = "lead-jack-balanced-xlr" if output == "aux" else "cable-xlr"
        links.append(f"  - {{from: desk.{output}.out, to: {names}.in, via: [{cable} 20 m]}}")
    settings = ["  left: {level: -20 dB}", "  right: {level: -20 dB}", "  monitor: {level: -20 dB}"]
    return items, [], links, [*settings, "  desk:", "    phantom: on", "    main: 0 dB"]


def _mic(type_id: str) -> Callable[[int, Lines, Lines, Lines], None]:
    def add(channel: int, items: Lines, sources: Lines, links: Lines) -> None:
        items.append(f"  mic-{channel}: {{type: {type_id}}}")
        sources.append(f"  voice-{channel}: {{type: voice-singer, at: mic-{channel}}}")
        links.append(_line(f"mic-{channel}.out", channel))

    return add


def _keyboard(channel: int, items: Lines, sources: Lines, links: Lines) -> None:
    del sources
    items.append(f"  keys-{channel}: {{type: keyboard-stereo}}")
    items.append(f"  di-{channel}: {{type: di-passive}}")
    links.append(
        f"  - {{from: keys-{channel}.out-left, to: di-{channel}.in, via: [cable-jack 3 m]}}"
    )
    links.append(_line(f"di-{channel}.out", channel))


def _line(output: str, channel: int) -> str:
    return f"  - {{from: {output}, to: desk.ch{channel}.mic, via: [cable-xlr LENGTH]}}"


_KINDS: Final = (  # what adds a source, and its gain
    (_mic("mic-vocal-dynamic"), 36),
    (_mic("mic-vocal-condenser"), 24),
    (_mic("mic-vocal-dynamic"), 36),
    (_keyboard, 30),
)
