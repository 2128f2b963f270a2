"""Sheets on paper. What sets them comes in with the first of these names that is asked for."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from levelhead.paper.content import Page
    from levelhead.paper.pdf import sheets_to_pdf, sheets_to_pictures

__all__ = ["Page", "sheets_to_pdf", "sheets_to_pictures"]


def __getattr__(name: str) -> Any:
    """Load a name when it is asked for: plain data needs no typesetter."""
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module("levelhead.paper.pdf"), name)
