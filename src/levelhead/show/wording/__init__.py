"""Edits in the crew's words, each kind once, for screens, sheets, reports and histories.

Each module has the words of those edits that ``show.edits`` has in the module of the same name;
``items`` also of those of ``item_fields``.
"""

from __future__ import annotations

from levelhead.show.edits import Edit
from levelhead.show.model import Show
from levelhead.show.wording import items, links, measured, rooms, settings, sources, supplies
from levelhead.show.wording.base import edit_words

__all__ = ["sentence"]

_REGISTERED = (items, links, measured, rooms, settings, sources, supplies)  # by being loaded


def sentence(edit: Edit, show: Show) -> str:
    """What a person does to make an edit come true, with the labels of the show before it.

    Examples
    --------
    >>> from levelhead.show.edits import Plug
    >>> from levelhead.show.model import Cable, Item, Link
    >>> show = Show(
    ...     "Hall",
    ...     items={
    ...         "vox-1": Item("vox-1", "mic", "Anna's microphone"),
    ...         "desk": Item("desk", "mixer"),
    ...     },
    ... )
    >>> link = Link({"a": "vox-1.out", "b": "desk.ch1.mic"}, (Cable("cable-xlr", 10.0),))
    >>> print(sentence(Plug(link), show))
    Plug Anna's microphone (vox-1.out) into desk.ch1.mic with cable-xlr 10 m
    """
    return edit_words(edit, show)
