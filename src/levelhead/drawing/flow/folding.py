"""What may be drawn as one box: everything that feeds one item and nothing else."""

from __future__ import annotations

from collections.abc import Collection, Iterable

__all__ = ["feeders_of"]


def feeders_of(
    box: str, boxes: Iterable[str], pairs: Collection[tuple[str, str]]
) -> frozenset[str]:
    """Boxes whose signal reaches this one alone, and that nothing else feeds.

    Parameters
    ----------
    pairs
        Who gives to whom.

    Examples
    --------
    >>> pairs = [("mic", "desk"), ("bass", "di"), ("di", "desk"), ("desk", "amp")]
    >>> sorted(feeders_of("desk", ["mic", "bass", "di", "desk", "amp", "spare"], pairs))
    ['bass', 'di', 'mic']
    """
    gives = {one for one, _ in pairs}
    found = {each for each in boxes if each != box and each in gives}
    while True:
        outside = {one for one, other in pairs if other not in found | {box}}
        outside |= {other for one, other in pairs if one not in found}
        if not found & outside:
            return frozenset(found)
        found -= outside
