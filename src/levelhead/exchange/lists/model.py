"""What was understood of a list: channels, each guess with its words, and what must be asked."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any

__all__ = ["Channel", "Choice", "Guess", "Question"]


@dataclass(frozen=True, slots=True)
class Guess:
    """Something that the list does not say outright.

    ``about`` is what it is about (``what``, ``words``, ``microphone``, ``box``, ``pair``,
    ``phantom``, ``channel``, ``cable``), ``taken`` what was taken, ``words`` those of the list
    that it came from, ``why`` the reason.
    """

    about: str
    taken: str
    words: str
    why: str


@dataclass(frozen=True, slots=True)
class Choice:
    """One likely answer, and what it means for people."""

    answer: str
    label: str


@dataclass(frozen=True, slots=True)
class Question:
    """What only a person can tell. ``key`` is what an answer is given for.

    Anything may be answered that the table of words or the gear book knows; the choices are the
    likely ones.
    """

    key: str
    ask: str
    where: tuple[str, ...]
    choices: tuple[Choice, ...]

    def to_json(self) -> dict[str, Any]:
        """As docs/lists.md prints it."""
        return {
            **asdict(self),
            "where": list(self.where),
            "choices": [asdict(c) for c in self.choices],
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class Channel:
    """One input as it was understood; types are those of the gear book.

    Parameters
    ----------
    where : str
        The row of the list.
    numbers : tuple of int
        Channels of the desk; none: the next that is free.
    count : int
        How many inputs it takes.
    name : str
        What the list calls it.
    thing : str or None
        Row of the table of words: ``kick``, ``vocal``.
    way : str
        How it reaches the desk: ``mic``, ``di`` or ``line``; empty while it is not known.
    source : str or None
        What sounds in the air, in front of a microphone.
    item : str or None
        The microphone, or the instrument or player with a plug of its own.
    box : str or None
        The box between that and the desk.
    is_pair : bool
        Left and right of one thing.
    side : str
        ``left`` or ``right`` of two rows.
    phantom : bool or None
        What the list says about phantom power; ``None`` where it says nothing.
    gain_db, cable_m : float or None
        What the list says; ``None`` where it says nothing.
    pad : bool
        Whether the list wants a pad.
    bars_phantom : bool
        Whether the list says in words that there must be no phantom power; a dash only says that
        it is not needed.
    note : str
        Stand, place on stage and remarks.
    is_spare : bool
        Kept free by the list.
    open : tuple of str
        Keys of the questions without whose answers it cannot be built.
    """

    where: str
    name: str
    numbers: tuple[int, ...] = ()
    count: int = 1
    thing: str | None = None
    way: str = ""
    source: str | None = None
    item: str | None = None
    box: str | None = None
    is_pair: bool = False
    side: str = ""
    phantom: bool | None = None
    gain_db: float | None = None
    cable_m: float | None = None
    pad: bool = False
    bars_phantom: bool = False
    note: str = ""
    is_spare: bool = False
    guesses: tuple[Guess, ...] = ()
    open: tuple[str, ...] = ()

    @property
    def is_understood(self) -> bool:
        """Whether nothing has to be asked before it can be built."""
        return self.is_spare or (not self.open and self.item is not None)

    def to_json(self) -> dict[str, Any]:
        """As docs/lists.md prints it."""
        found = asdict(self)
        return {
            **found,
            "numbers": list(self.numbers),
            "guesses": list(found["guesses"]),
            "open": list(self.open),
        }
