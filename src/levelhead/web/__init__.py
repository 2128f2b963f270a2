"""The local app. This brings in the web server: import it inside the command that opens it."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    from levelhead.web.app import Asker, Candidate, create_app
    from levelhead.web.serve import address_of, listen, run, serve

__all__ = ["Asker", "Candidate", "address_of", "create_app", "listen", "run", "serve"]

_OF_APP: Final = frozenset({"Asker", "Candidate", "create_app"})


def __getattr__(name: str) -> Any:
    """Import what is used when it is used: the process that judges needs no web server."""
    if name not in __all__:
        raise AttributeError(f"module 'levelhead.web' has no attribute {name!r}")
    return getattr(import_module(f"levelhead.web.{'app' if name in _OF_APP else 'serve'}"), name)
