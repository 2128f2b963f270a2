"""Edits of what was measured between items in the crew's words."""

from __future__ import annotations

from levelhead.show.edits import SetMeasured
from levelhead.show.model import Show
from levelhead.show.wording.base import edit_words, label_of

__all__: list[str] = []


@edit_words.register
def _(edit: SetMeasured, show: Show) -> str:
    if edit.measured is None:
        return f"Take the measured volts {edit.id} away"
    one, other = (label_of(show.items.get(each), each) for each in edit.measured.between)
    return f"Note {edit.measured.volts} measured between {one} and {other}"
