"""Thirty rigs of our own for the gain plan: sources, a desk, loudspeakers; no gain is set."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np

__all__ = ["COUNT", "rig_texts"]

COUNT: Final = 30
_SEED: Final = 20261205


@dataclass(frozen=True, slots=True)
class _Source:
    """A source: its items, what stands in the air, and the output that goes to the desk."""

    item: str
    voice: str | None = None
    box: str | None = None


_SOURCES: Final = (
    _Source("mic-vocal-dynamic", "voice-singer"),
    _Source("mic-vocal-dynamic", "voice-singer-loud"),
    _Source("mic-vocal-condenser", "voice-singer-quiet"),
    _Source("mic-gooseneck-condenser", "voice-talker"),
    _Source("mic-kick-dynamic", "sound-kick"),
    _Source("mic-instrument-dynamic", "sound-snare"),
    _Source("mic-instrument-condenser", "sound-overheads"),
    _Source("mic-instrument-dynamic", "sound-guitar-amp"),
    _Source("mic-instrument-condenser", "sound-violin"),
    _Source("guitar-acoustic-preamp", box="di-active"),
    _Source("bass-active", box="di-active"),
)
_DESKS: Final = (("mixer-compact-8", 8), ("mixer-analogue-16", 12), ("mixer-digital-16", 12))
_POWERED: Final = ("loudspeaker-powered-10", "loudspeaker-powered-12", "loudspeaker-powered-15")
_PASSIVE: Final = ("loudspeaker-passive-10", "loudspeaker-passive-12", "loudspeaker-passive-15")


def rig_texts(count: int = COUNT) -> Iterator[tuple[str, str]]:
    """Name and show file of each rig; the same ones each time."""
    rng = np.random.default_rng(_SEED)
    for number in range(1, count + 1):
        desk, most = _DESKS[number % len(_DESKS)]
        sources = [_SOURCES[each] for each in rng.integers(0, len(_SOURCES), rng.integers(2, most))]
        yield f"rig {number}", _rig(desk, sources, is_powered=number % 2 == 0, rng=rng)


def _rig(desk: str, sources: list[_Source], *, is_powered: bool, rng: np.random.Generator) -> str:
    items, voices, links, settings = [f"  desk: {{type: {desk}}}"], [], [], []
    digital = desk.startswith("mixer-digital")
    for channel, source in enumerate(sources, 1):
        name, length = f"source-{channel}", int(rng.integers(5, 30))
        items.append(f"  {name}: {{type: {source.item}}}")
        if source.voice is not None:
            voices.append(f"  voice-{channel}: {{type: {source.voice}, at: {name}}}")
        out = f"{name}.out"
        if source.box is not None:
            items.append(f"  box-{channel}: {{type: {source.box}}}")
            links.append(f"  - {{from: {out}, to: box-{channel}.in, via: [cable-jack 5 m]}}")
            out = f"box-{channel}.out"
        links.append(f"  - {{from: {out}, to: desk.ch{channel}.mic, via: [cable-xlr {length} m]}}")
        if digital:
            settings.append(f"    ch{channel}: {{phantom: on}}")
    items += _loudspeakers(links, is_powered=is_powered, rng=rng)
    if not digital:
        settings.append("    phantom: on")
    sections = (("items", items), ("sources", voices), ("links", links))
    body = [line for title, lines in sections if lines for line in (f"{title}:", *lines)]
    head = ["levelhead: 1", "show: {name: Rig of the benchmark}"]
    return "\n".join([*head, *body, "settings:", "  desk:", *settings]) + "\n"


def _loudspeakers(links: list[str], *, is_powered: bool, rng: np.random.Generator) -> list[str]:
    kind = str(rng.choice(_POWERED if is_powered else _PASSIVE))
    items = [f"  {side}: {{type: {kind}}}" for side in ("left", "right")]
    if is_powered:
        links += [
            f"  - {{from: desk.main-{side}.out, to: {side}.in, via: [cable-xlr 20 m]}}"
            for side in ("left", "right")
        ]
        return items
    for number, side in enumerate(("left", "right"), 1):
        amp = f"amp.ch{number}"
        links.append(f"  - {{from: desk.main-{side}.out, to: {amp}.in, via: [cable-xlr 20 m]}}")
        links.append(f"  - {{from: {amp}.out, to: {side}.in, via: [cable-loudspeaker-4 10 m]}}")
    return [*items, "  amp: {type: amplifier-two-channel}"]
