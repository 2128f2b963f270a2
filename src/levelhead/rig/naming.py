"""What stands at controls and sockets, in the words of the panel."""

from __future__ import annotations

from levelhead.rig.model import Rig

__all__ = ["control_label", "point_label"]


def control_label(rig: Rig, address: str) -> str:
    """What stands at a control, numbered where the panel has several: ``bus send 4``."""
    name = address.rpartition(".")[2]
    number = name[len(name.rstrip("0123456789")) :]
    label = rig.controls[address].label
    return f"{label} {number}" if label and number else label


def point_label(local: str) -> str:
    """A point within its item, in words: the strip, then what is there.

    Examples
    --------
    >>> point_label("st1.input-left"), point_label("trim"), point_label("")
    ('st1, input left', 'trim', 'at the microphone')
    """
    return local.replace(".", ", ").replace("-", " ") or "at the microphone"
