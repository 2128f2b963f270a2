"""What a check cannot speak of, because the rig has none of it: a note, never an alarm."""

from __future__ import annotations

from levelhead.rig.model import Rig, RigItem

__all__ = ["notes_on"]

_EMPTY = "No item is in the show: nothing was judged."
_UNPLUGGED = "Nothing is plugged: no link joins two sockets, and no connection was judged."
_SILENT = (
    "No loudspeaker is in the rig: nothing behind {mixer} was judged, such as how loud it gets and "
    "what its outputs drive. Plug one into an output."
)


def notes_on(rig: Rig) -> tuple[str, ...]:
    """Notes on a rig.

    A list of inputs alone has a mixer with nothing behind it: that its inputs are fine says nothing
    of what is heard. Where something hangs on its outputs, such as a recorder, that was judged.
    Without a link no connection was.
    """
    if not rig.items or not rig.show.links:
        return (_UNPLUGGED if rig.items else _EMPTY,)
    if any(path.to_air for item in rig.items.values() for _, path in item.paths()):
        return ()
    mixers = [item for item in rig.items.values() if _mixes(item)]
    if not mixers or any(_is_plugged_behind(rig, each) for each in mixers):
        return ()
    return (_SILENT.format(mixer=" and ".join(each.label for each in mixers)),)


def _mixes(item: RigItem) -> bool:
    """Whether it is a mixer; a wireless set adds up the signals of its own two outputs as well."""
    return item.plan.kind == "mixer" and any(
        origin.kind == "mix" for _, path in item.paths() for origin in path.origins
    )


def _is_plugged_behind(rig: Rig, item: RigItem) -> bool:
    """Whether a plug is in any of the item's outputs."""
    ports = (port for port in rig.ports.values() if port.item.id == item.id)
    return any(port.plan.drives and port.link is not None for port in ports)
