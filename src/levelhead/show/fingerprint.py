"""Fingerprint of a show: it stands on every sheet and tells which state it was made from."""

from __future__ import annotations

import hashlib
import json
from dataclasses import replace
from typing import Final

from levelhead.show.model import Show
from levelhead.show.written.plain import plain_show

__all__ = ["fingerprint"]

LENGTH: Final = (
    8  # characters; two of a thousand states of one show collide once in ten thousand shows
)


def fingerprint(show: Show) -> str:
    """Eight hexadecimal characters over everything that changes the work.

    Name, date and version of the show (they stand beside it), notes and the order of entries do not
    count; every label, plug, setting, lock, place, supply and thing in stock does.

    Examples
    --------
    >>> fingerprint(Show("Hall")) == fingerprint(Show("Club", date="2026-12-05", version=2))
    True
    """
    plain = plain_show(
        replace(
            show,
            items={name: replace(item, note="") for name, item in show.items.items()},
            supplies={name: replace(supply, note="") for name, supply in show.supplies.items()},
            room=None if show.room is None else replace(show.room, note=""),
            areas={name: replace(area, note="") for name, area in show.areas.items()},
            measured={name: replace(each, note="") for name, each in show.measured.items()},
        )
    )
    del plain["show"]
    for name in ("room", "areas", "measured"):  # shows that have none keep the fingerprint they had
        if not plain[name]:
            del plain[name]
    plain["links"] = sorted(json.dumps(link, sort_keys=True) for link in plain["links"])
    content = json.dumps(plain, sort_keys=True, separators=(",", ":"))
    return hashlib.sha256(content.encode()).hexdigest()[:LENGTH]
