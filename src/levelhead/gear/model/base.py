"""What all parts of an entry have in common."""

from __future__ import annotations

from typing import Annotated, TypeAlias

from pydantic import BaseModel, ConfigDict, Field

__all__ = ["Entry", "Times", "When", "field_names", "spelled"]

When: TypeAlias = dict[str, str]
"""Switches and the options at which a part of an entry is there: ``{lift: closed}``."""

Times: TypeAlias = Annotated[int, Field(ge=1, le=1024)]
"""How often something repeats; more is a slip of the keyboard."""


def spelled(name: str) -> str:
    """A field as the file writes it: with hyphens, and ``from`` for ``from_``."""
    return name.rstrip("_").replace("_", "-")


class Entry(BaseModel):
    """Strict, frozen, and spelled with hyphens in the file."""

    model_config = ConfigDict(
        extra="forbid", frozen=True, alias_generator=spelled, populate_by_name=True
    )


def field_names() -> frozenset[str]:
    """Every field that some part of an entry has, to guess what was meant."""
    kinds = [Entry]
    for kind in kinds:
        kinds += kind.__subclasses__()
    return frozenset(spelled(name) for kind in kinds for name in kind.model_fields)
