"""Contacts of sockets: what a plug joins or parts."""

from __future__ import annotations

from pydantic import Field

from levelhead.gear.model.base import Entry, When

__all__ = ["ContactEntry"]


class ContactEntry(Entry):
    """Two pins, written ``port.pin``, that are one wire while all sockets in ``empty`` are empty.

    A plug pushed home opens the contact; one at its first click leaves it closed.
    """

    joins: tuple[str, str]
    empty: tuple[str, ...] = Field(min_length=1)
    when: When | None = None
