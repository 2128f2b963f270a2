"""Names that are almost right, or the trade's other word: what was probably meant."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Final

__all__ = ["address_meant", "did_you_mean"]

_LIKENESS: Final = 0.6  # of 1; lower names strangers, higher misses a doubled letter
_MOST: Final = 2  # names offered
_NUMBERED: Final = re.compile(r"(.*?)-?(\d*)")

# what panels and people call a control or a socket, by the names that gear types here have for it
_TRADE: Final[Mapping[str, tuple[str, ...]]] = {
    **dict.fromkeys(("aux", "mon", "monitor", "fx", "mix", "foldback"), ("send", "aux")),
    **dict.fromkeys(("volume", "vol", "level", "slider"), ("fader", "level", "volume", "gain")),
    **dict.fromkeys(("trim", "sensitivity", "input-gain", "preamp", "head"), ("gain", "trim")),
    **dict.fromkeys(("master", "lr", "mains", "main-level"), ("main", "level", "main-left")),
    **dict.fromkeys(("48v", "48-v", "p48", "phantom-power"), ("phantom",)),
    **dict.fromkeys(("hpf", "lo-cut", "high-pass", "highpass", "bass-cut", "lc"), ("low-cut",)),
    **dict.fromkeys(("solo", "cue", "afl"), ("pfl",)),
    **dict.fromkeys(("balance", "panorama"), ("pan", "balance")),
    **dict.fromkeys(("phase", "invert", "flip"), ("polarity",)),
    **dict.fromkeys(("on", "off", "cut", "channel-on"), ("mute",)),
    **dict.fromkeys(("bus", "sub", "subgroup"), ("group",)),
    **dict.fromkeys(("input", "in", "xlr"), ("mic", "in", "line")),
    **dict.fromkeys(("jack", "trs"), ("line", "in")),
    **dict.fromkeys(("output", "out"), ("out",)),
    **dict.fromkeys(("thru", "through", "loop"), ("link", "thru")),
    **dict.fromkeys(("headphones", "phones-out", "cans"), ("phones",)),
}


def did_you_mean(name: str, known: Iterable[str]) -> str:
    """Ask for the nearest known names; nothing when none is near.

    >>> did_you_mean("gian", ["gain", "fader", "pan"])
    "Did you mean 'gain'?"
    >>> did_you_mean("width", ["gain", "fader"])
    ''
    """
    import difflib  # only when something went wrong

    near = difflib.get_close_matches(name, list(known), n=_MOST, cutoff=_LIKENESS)
    return f"Did you mean {' or '.join(repr(each) for each in near)}?" if near else ""


def address_meant(address: str, known: Iterable[str]) -> str:
    """Ask for the nearest address: the trade's other word in the same place, else a like spelling.

    >>> known = ["desk.ch1.send1", "desk.ch1.tap", "desk.ch1.pan", "desk.ch2.send1", "desk.main"]
    >>> address_meant("desk.ch1.aux1", known)
    "Did you mean 'desk.ch1.send1'?"
    >>> address_meant("desk.ch1.send-2", known)
    "Did you mean 'desk.ch1.send1' or 'desk.ch2.send1'?"
    """
    names = dict.fromkeys(known)
    item, _, local = address.partition(".")
    block, _, last = local.rpartition(".")
    matched = _NUMBERED.fullmatch(last)
    stem, number = matched.groups() if matched else (last, "")
    places = [f"{item}.{block}.", f"{item}."] if block else [f"{item}."]
    words = _TRADE.get(last, ()) or tuple(f"{each}{number}" for each in _TRADE.get(stem, ()))
    words = (last, *words)  # the same word may stand once for the whole item
    meant = [f"{place}{word}" for word in words for place in places if f"{place}{word}" in names]
    if meant:
        return f"Did you mean {meant[0]!r}?"
    return did_you_mean(address, names)
