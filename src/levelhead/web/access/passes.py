"""Who may come in from another device: two secret words, one to change the show, one to look.

A device shows one of them once, by the address that it was given, and keeps it in a cookie. This
machine needs none: what comes from here, to an address of here, is its own user.
"""

from __future__ import annotations

import secrets
import socket
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from typing import Final, Literal, TypeAlias

__all__ = ["COOKIE", "NAME_COOKIE", "Passes", "Right", "own_addresses", "reach_words"]

Right: TypeAlias = Literal["change", "look"]

COOKIE: Final = "levelhead-pass"
NAME_COOKIE: Final = "levelhead-name"
_BYTES: Final = 12  # 96 bits: 16 letters, which a phone still types
_NOWHERE: Final = ("192.0.2.1", 9)  # an address of RFC 5737 that leads nowhere; nothing is sent


def _word() -> str:
    return secrets.token_urlsafe(_BYTES)


@dataclass(frozen=True, slots=True)
class Passes:
    """Secret words of one run of the program, and the names under which devices reach it."""

    hosts: Sequence[str]
    port: int
    words: Mapping[Right, str] = field(
        default_factory=lambda: {"change": _word(), "look": _word()}, repr=False
    )

    def right_of(self, shown: str) -> Right | None:
        """What a word gives leave to."""
        for right, word in self.words.items():
            if secrets.compare_digest(shown.encode(), word.encode()):
                return right
        return None

    def address(self, right: Right) -> str:
        """What another device opens to come in."""
        return f"http://{self.hosts[0]}:{self.port}/join/{self.words[right]}"


def reach_words(passes: Passes | None) -> str:
    """Who can reach the program, in one line.

    Examples
    --------
    >>> reach_words(None)
    'Only this machine can reach this.'
    >>> reach_words(Passes(("192.168.7.2",), 8000))
    'Whoever is in this network and has a code can come in (192.168.7.2).'
    """
    if passes is None:
        return "Only this machine can reach this."
    return f"Whoever is in this network and has a code can come in ({passes.hosts[0]})."


def own_addresses() -> tuple[str, ...]:
    """Addresses and names under which others in the network find this machine, the best first.

    Asks the system which of its addresses leads out, and sends nothing.
    """
    found: dict[str, None] = {}
    probe = socket.socket(socket.AF_INET, socket.SOCK_DGRAM)
    with probe, suppress(OSError):  # there may be a network without a way out
        probe.connect(_NOWHERE)
        found[str(probe.getsockname()[0])] = None
    name = socket.gethostname()
    with suppress(OSError):
        known = socket.getaddrinfo(name, None, socket.AF_INET)
        found |= dict.fromkeys(str(each[4][0]) for each in known)
    found = {each: None for each in found if not each.startswith("127.")}
    return (*found, name, f"{name}.local")
