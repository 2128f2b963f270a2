"""Names in messages: fields as people read them, and what a name that is not known meant."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final, TypeAlias

from levelhead.show.addresses import shortened

__all__ = ["Path", "did_you_mean", "path_text"]

Path: TypeAlias = Sequence[str | int]

_LONGEST_COMPARED: Final = 64  # characters; longer names have no near ones


def did_you_mean(word: str, known: Iterable[str], otherwise: str) -> str:
    """A question back if a known name looks like the word, else another remedy.

    Examples
    --------
    >>> did_you_mean("lable", ["label", "type"], "Leave it out.")
    "Did you mean 'label'?"
    """
    if len(word) > _LONGEST_COMPARED:
        return otherwise
    import difflib  # only when something went wrong

    near = difflib.get_close_matches(word, list(known), n=1, cutoff=0.6)
    return f"Did you mean {near[0]!r}?" if near else otherwise


def path_text(path: Path) -> str:
    """A field as people read it; items of lists are counted from 1.

    Examples
    --------
    >>> path_text(["links", 3, "via", 0])
    'links[4].via[1]'
    """
    parts = [
        f"[{part + 1}]" if isinstance(part, int) else f".{shortened(part)[1:-1]}" for part in path
    ]
    return "".join(parts).removeprefix(".")
