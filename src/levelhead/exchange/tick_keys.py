"""What ticks of a sound check are kept by: the item that a step is about."""

from __future__ import annotations

import hashlib
from collections import Counter
from typing import Final

from levelhead.exchange.paperwork.work import Paperwork
from levelhead.exchange.sheets.line_check import line_keys
from levelhead.exchange.sound_check import SoundCheck, Step

__all__ = ["step_content", "step_keys"]

_LENGTH: Final = 12


def step_keys(work: Paperwork, order: SoundCheck) -> tuple[str, ...]:
    """The key of each step: of a source its item, else its part and place; each once."""
    items, told, keys = line_keys(work), Counter[str](), []
    for step in order.steps:
        key = items.get(step.at) if step.part == "sources" else None
        name = key or f"{step.part} {step.at}".strip()
        told[name] += 1
        keys.append(name if told[name] == 1 else f"{name} {told[name]}")
    return tuple(keys)


def step_content(step: Step) -> str:
    """A hash of what is done in a step: a tick holds for that."""
    return hashlib.sha256(step.do.encode()).hexdigest()[:_LENGTH]
