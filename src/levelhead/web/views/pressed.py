"""What the program says at a terminal, told on a page: what to press in place of what to type.

Errors of the core name the command that helps. Whoever has the app before them has no terminal at
hand, so the sentence with a command gives way to the place of the app that does the same.
"""

from __future__ import annotations

import re
from typing import Final

__all__ = ["COMMANDS", "in_the_app"]

COMMANDS: Final = {
    "check": "Findings say what is wrong, and what mends it.",
    "feedback": "Plan tries what buys most before feedback.",
    "gains": "Gains tells where each control goes.",
    "gear": "Begin to type in a field for gear: what fits is offered below it.",
    "levels": "Look at it in Levels.",
    "open": "Open it from the first page.",
    "paper": "Print it from Paper.",
    "walk": "Press Wrong? on Show day.",
}
_SENTENCES: Final = re.compile(r"(?<=[.?!]) +(?=[A-Z'])")
_COMMAND: Final = re.compile(rf"\blevelhead ({'|'.join(COMMANDS)})\b")


def in_the_app(text: str) -> str:
    """A message with what to press in each sentence that names a command.

    Examples
    --------
    >>> in_the_app("A reading fits nowhere. Places: levelhead levels SHOW. Read it again.")
    'A reading fits nowhere. Look at it in Levels. Read it again.'
    >>> in_the_app("Ask the other way round.")
    'Ask the other way round.'
    """
    if "levelhead " not in text:
        return text
    sentences: dict[str, None] = {}  # each once
    for sentence in _SENTENCES.split(text):
        named = _COMMAND.findall(sentence)
        sentences[COMMANDS[named[-1]] if named else sentence] = None
    return " ".join(sentences)
