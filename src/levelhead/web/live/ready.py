"""What first edits and looks need, loaded when the page is there and before they come."""

from __future__ import annotations

from importlib import import_module
from typing import Final

__all__ = ["get_ready"]

_LATER: Final = (
    "levelhead.exchange.rows.filling",
    "levelhead.exchange.rows.moved",
    "levelhead.exchange.things.edits",
    "levelhead.web.live.shown",
)


def get_ready() -> None:
    """Load it; whoever comes first waits for what is not there yet."""
    for name in _LATER:
        import_module(name)
