"""Gains of what a list plugs in, where planning puts them: something to begin the check with."""

from __future__ import annotations

from collections.abc import Sequence

from levelhead.errors import LevelheadError
from levelhead.gear.book import GearBook
from levelhead.planning.settle import settled
from levelhead.planning.trial import try_show
from levelhead.show.addresses import strip_of
from levelhead.show.edits import Edit, Plug, Set, apply
from levelhead.show.model import Show

__all__ = ["planned_gains"]


def planned_gains(show: Show, edits: Sequence[Edit], book: GearBook) -> tuple[Set, ...]:
    """Settings of the strips that edits plug into; what is set or locked already stays.

    Parameters
    ----------
    show : Show
        Before the edits.
    edits : sequence of Edit
        From :func:`list_edits`.
    book : GearBook
        Where its types are.
    """
    plugged = {end for edit in edits if isinstance(edit, Plug) for end in edit.link.ends.values()}
    after = apply(show, edits)[0]
    mixers = {item.id for item in after.items.values() if book.entry(item.type).kind == "mixer"}
    strips = {strip_of(end) for end in plugged if end.partition(".")[0] in mixers}
    if not strips:
        return ()
    try:
        trial = try_show(after, book)
        free = {each for each in trial.solution.rig.controls if strip_of(each) in strips}
        free -= after.locks | set(after.settings)
        moved = settled(trial, set(trial.solution.rig.controls) - free).show
    except LevelheadError:  # the show itself has errors; check tells them with their places
        return ()
    return tuple(
        Set(address, value)
        for address, value in moved.settings.items()
        if address in free and after.settings.get(address) != value
    )
