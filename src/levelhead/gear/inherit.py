"""``like``: what an entry takes over from another type, and a block from another block."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from levelhead.errors import GearError
from levelhead.gear.names import did_you_mean

__all__ = ["RawEntry", "laid_over", "resolved", "unknown_type"]

RawEntry = dict[str, Any]


def resolved(type_id: str, raw: Mapping[str, RawEntry]) -> RawEntry:
    """An entry with all that it is ``like`` filled in; nothing that it is made from is changed.

    Mappings are laid over one another, anything else is replaced, and null removes.

    Raises
    ------
    GearError
        No such type or block, or ``like`` on more than one level.

    Examples
    --------
    >>> raw = {"a": {"label": "A", "kind": "box"}, "b": {"like": "a", "label": "B"}}
    >>> resolved("b", raw)
    {'label': 'B', 'kind': 'box'}
    """
    entry = dict(raw[type_id])
    base = entry.pop("like", None)
    if base is not None:
        entry = laid_over(_base_of(type_id, str(base), raw), entry)
    if isinstance(entry.get("blocks"), dict):
        entry["blocks"] = _blocks(type_id, entry["blocks"])
    return entry


def laid_over(base: Mapping[str, Any], over: Mapping[str, Any]) -> RawEntry:
    """``base`` with ``over`` laid on it."""
    merged = dict(base)
    for key, value in over.items():
        if value is None:
            merged.pop(key, None)
        elif isinstance(value, dict) and isinstance(merged.get(key), dict):
            merged[key] = laid_over(merged[key], value)
        else:
            merged[key] = value
    return merged


def unknown_type(type_id: str, known: Iterable[str], *, where: str) -> GearError:
    """The error for a type that the book does not have; the nearest of the ``known`` are named."""
    words = type_id.replace("-", " ")
    remedy = f"{did_you_mean(type_id, known)} Look for it by words: levelhead gear {words}"
    return GearError(
        f"unknown gear type '{type_id}'",
        where=where,
        expected="a type of the gear book",
        remedy=remedy.strip(),
    )


def _base_of(type_id: str, base: str, raw: Mapping[str, RawEntry]) -> RawEntry:
    where = f"gear type '{type_id}'"
    if base not in raw:
        raise unknown_type(base, raw, where=where)
    if "like" in raw[base]:
        raise _too_deep(base, where)
    return raw[base]


def _blocks(type_id: str, blocks: Mapping[str, Any]) -> dict[str, Any]:
    return {
        name: _block(name, block, blocks, f"gear type '{type_id}', block '{name}'")
        for name, block in blocks.items()
    }


def _block(name: str, block: Any, blocks: Mapping[str, Any], where: str) -> Any:
    """A block laid over the one that it is like; what is no mapping is refused later."""
    base = block.get("like") if isinstance(block, dict) else None
    if base is None:
        return block
    if base not in blocks or base == name:
        raise GearError(
            f"no other block '{base}'",
            where=where,
            expected="a block of this type",
            remedy=did_you_mean(str(base), blocks) or "Name another block of this type.",
        )
    if "like" in blocks[base]:
        raise _too_deep(str(base), where)
    own = {key: value for key, value in block.items() if key != "like"}
    return laid_over(blocks[base], own)


def _too_deep(base: str, where: str) -> GearError:
    return GearError(
        f"'{base}' is itself like something else",
        where=where,
        expected="one level of 'like'",
        remedy="Refer to what stands at its root.",
    )
