"""Drawn controls in the cells of a sheet, with the words that are said instead."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from markupsafe import Markup

from levelhead.drawing.knobs import control_drawing
from levelhead.exchange import Row
from levelhead.gear.positions import Face

__all__ = ["drawn_face", "face_content"]


def drawn_face(text: str, row: Row) -> Markup:
    """The drawing of a cell."""
    return control_drawing(Face.from_text(text), label=_words(row))


def face_content(text: str, row: Row, shown: Callable[[str], str]) -> dict[str, Any]:
    """The same as the page reads it."""
    return {"svg": str(drawn_face(text, row)), "words": shown(_words(row))}


def _words(row: Row) -> str:
    """The control, where it stands and where it goes: what the columns beside it say."""
    now, plan = row.get("now", ""), row.get("plan", "")
    moved = f"now {now}, plan {plan}" if now != plan else f"stays at {now}"
    return f"{row.get('control', '')}: {moved}"
