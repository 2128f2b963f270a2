"""What happens to each entry when a show is written over its text: kept, dropped or added.

Order matters only where people read it (items, sources, links). Elsewhere entries stay where they
stand.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from typing import Any, Final

from levelhead.show.written.plain import Plain

__all__ = ["ABSENT", "Step", "list_steps", "map_steps", "paired"]

ABSENT: Final = object()  # the value of an entry that is not there


@dataclass(frozen=True, slots=True)
class Step:
    """One entry: number ``index`` in the text, or a new one; ``new`` is ABSENT if it goes."""

    index: int | None
    key: str
    old: Plain
    new: Plain

    @property
    def stays(self) -> bool:
        """Whether neither the entry nor its name comes or goes."""
        return self.index is not None and self.new is not ABSENT


def map_steps(
    written: Sequence[str], old: Mapping[str, Plain], new: Mapping[str, Plain], *, ordered: bool
) -> list[Step]:
    """Steps of a mapping.

    Parameters
    ----------
    written : sequence of str
        Names in the text. Some may stand for nothing (an empty block) and be in neither mapping;
        they stay.
    old, new : mapping
        Values before and after.
    ordered : bool
        Whether the order of ``new`` counts.
    """
    wanted = list(new) if ordered else _merged(written, old, new)
    steps = []
    for index, number in paired(written, wanted, lambda a, b: _alike(old.get(a), new.get(b))):
        if number is None:
            steps.append(
                Step(index, written[index or 0], old.get(written[index or 0], ABSENT), ABSENT)
            )
        else:
            key = wanted[number]
            before = ABSENT if index is None else old.get(written[index], ABSENT)
            steps.append(Step(index, key, before, new.get(key, before)))
    return steps


def list_steps(old: Sequence[Plain], new: Sequence[Plain]) -> list[Step]:
    """Steps of a list; a value (or a list, such as a corner) takes the place of the one before."""
    return [
        Step(
            index,
            "",
            ABSENT if index is None else old[index],
            ABSENT if number is None else new[number],
        )
        for index, number in paired(_hashable(old), _hashable(new), _any)
    ]


def _any(_old: Any, _new: Any) -> bool:
    return True


def _hashable(values: Sequence[Plain]) -> tuple[Any, ...]:
    """The same, with lists inside (corners of a room) as tuples."""
    return tuple(_hashable(each) if isinstance(each, list) else each for each in values)


def paired(
    old: Sequence[Any], new: Sequence[Any], alike: Callable[[Any, Any], bool]
) -> Iterator[tuple[int | None, int | None]]:
    """Places of entries before and after: both for one that stays or was changed into one alike."""
    opcodes = SequenceMatcher(None, old, new, autojunk=False).get_opcodes()
    for _, old_first, old_last, new_first, new_last in opcodes:
        at = old_first
        for number in range(new_first, new_last):
            found = next(
                (
                    index
                    for index in range(at, old_last)
                    if old[index] == new[number] or alike(old[index], new[number])
                ),
                None,
            )
            if found is not None:
                yield from ((index, None) for index in range(at, found))
                at = found + 1
            yield found, number
        yield from ((index, None) for index in range(at, old_last))


def _merged(
    written: Sequence[str], old: Mapping[str, Plain], new: Mapping[str, Plain]
) -> list[str]:
    """Names in the order of the text: renamed ones in place, new ones where ``new`` has them."""
    gone = [key for key in written if key in old and key not in new]
    came = [key for key in new if key not in written]
    renamed = _renamed(gone, came, old, new)
    merged = [renamed.get(key, key) for key in written if key not in gone or key in renamed]
    before = None
    for key in new:
        if key not in merged:
            merged.insert(0 if before is None else merged.index(before) + 1, key)
        before = key
    return merged


def _renamed(
    gone: Sequence[str], came: Sequence[str], old: Mapping[str, Plain], new: Mapping[str, Plain]
) -> dict[str, str]:
    """Old name to new name of mappings whose content stayed the same."""
    renamed: dict[str, str] = {}
    for key in gone:
        twins = (each for each in came if each not in renamed.values() and new[each] == old[key])
        twin = next(twins, None) if isinstance(old[key], dict) else None
        if twin is not None:
            renamed[key] = twin
    return renamed


def _alike(old: Plain, new: Plain) -> bool:
    """Whether one may be the other under another name."""
    if not isinstance(old, dict) or not isinstance(new, dict):
        return False
    return old == new or ("type" in old and old["type"] == new.get("type"))
