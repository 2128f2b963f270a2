"""Numbers of a desk's channels and sends: ``ch 5``, ``aux 2``. Which one it is plays no part."""

from __future__ import annotations

import re
from typing import Final

__all__ = ["without_channel_numbers"]

_CHANNEL: Final = r"(?:ch|chan|channel|strip)"
_STEREO: Final = r"(?:st|stereo)"
_SEND: Final = r"(?:aux|aux send|send|bus|group|matrix)"
_OF_A_DESK: Final = re.compile(r"\b(?:mixer|desk|console|board|soundboard)\b", re.IGNORECASE)
_ALONE: Final = (
    (re.compile(rf"(?:the )?(?:{_CHANNEL}|input) ?\d{{1,2}}", re.IGNORECASE), "mixer"),
    (re.compile(rf"(?:the )?{_STEREO} ?\d", re.IGNORECASE), "mixer stereo line"),
    (re.compile(rf"(?:the )?({_SEND}) ?\d{{1,2}}( out(?:put)?)?", re.IGNORECASE), r"mixer \1 out"),
    (
        re.compile(r"(?:the )?(?:main|master)s? (?:l|r|left|right)( out(?:put)?)?", re.IGNORECASE),
        "mixer main out",
    ),
    (re.compile(r"(?:the )?(?:insert|insert point)s?", re.IGNORECASE), "mixer insert"),
    (re.compile(r"(?:the )?stereo (?:return|channel)", re.IGNORECASE), "mixer stereo line"),
)
_BESIDE_IT: Final = (
    (re.compile(rf"[ .]?\b{_CHANNEL} ?\d{{1,2}}\b", re.IGNORECASE), " "),
    (re.compile(rf"[ .]?\b{_STEREO} ?\d\b(?! ?\w*ohm| ?w\b|/)", re.IGNORECASE), " stereo line "),
    (re.compile(rf"[ .]?\b({_SEND}) ?\d{{1,2}}\b(?! ?\w*ohm)", re.IGNORECASE), r" \1 "),
)


def without_channel_numbers(text: str) -> str:
    """What was typed without the number of a channel; alone it is that of a desk.

    >>> without_channel_numbers("ch 5"), without_channel_numbers("desk.stereo1")
    ('mixer', 'desk stereo line')
    >>> without_channel_numbers("mic input of desk ch3"), without_channel_numbers("aux 2")
    ('mic input of desk', 'mixer aux out')
    """
    for pattern, meant in _ALONE:
        alone = pattern.fullmatch(text.strip())
        if alone is not None:
            return alone.expand(meant)
    if _OF_A_DESK.search(text) is None:
        return text
    for pattern, instead in _BESIDE_IT:
        text = pattern.sub(instead, text)
    return " ".join(text.split())
