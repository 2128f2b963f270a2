"""What happens to the entries of ``links``, of which one may stand for many links by its ranges.

An entry whose links stay as they are keeps its text. Where only some of its links change, it is
split into the longest runs that ranges can still name; entries that a person wrote apart are never
joined.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from levelhead.show.model import Link
from levelhead.show.written.plain import Plain, as_one_entry, plain_link
from levelhead.show.written.steps import ABSENT, Step, paired

__all__ = ["link_steps"]


def link_steps(
    written: Sequence[tuple[Link, ...]], as_ends: Sequence[bool], new: Sequence[Link]
) -> list[Step]:
    """Steps of the entries of ``links``.

    Parameters
    ----------
    written : sequence of tuple of Link
        Links that each entry of the text stands for.
    as_ends : sequence of bool
        Whether each entry is written with ``ends``.
    new : sequence of Link
        All links of the show to be written.
    """
    owners = _owners(written, new)
    steps: list[Step] = []
    seen: set[int] = set()
    for owner, run in groupby(range(len(new)), key=lambda number: owners[number]):
        links = [new[number] for number in run]
        if owner is None:
            steps += [Step(None, "", ABSENT, plain_link(link)) for link in links]
        elif owner in seen:
            steps += [
                Step(None, "", ABSENT, piece) for piece in _pieces(links, as_ends=as_ends[owner])
            ]
        else:
            seen.add(owner)
            steps += _owned(owner, written[owner], links, as_ends=as_ends[owner])
    return list(_with_dropped(steps, written))


def _owners(written: Sequence[tuple[Link, ...]], new: Sequence[Link]) -> list[int | None]:
    """For each new link, the entry that it, or the link that it was before, is written in."""
    flat = [(entry, link) for entry, links in enumerate(written) for link in links]
    owners: list[int | None] = [None] * len(new)
    for index, number in paired([link for _, link in flat], new, _related):
        if number is not None and index is not None:
            owners[number] = flat[index][0]
    return owners


def _related(old: Link, new: Link) -> bool:
    """Whether one may be a change of the other: a common end, or like sockets of other items."""
    if list(old.ends) != list(new.ends):
        return False
    pairs = [(old.ends[end].partition("."), new.ends[end].partition(".")) for end in old.ends]
    return any(before == after for before, after in pairs) or all(
        before[2] == after[2] for before, after in pairs
    )


def _owned(owner: int, before: tuple[Link, ...], after: list[Link], *, as_ends: bool) -> list[Step]:
    """Steps of one entry: untouched, changed as a whole, or split."""
    if list(before) == after:
        return [Step(owner, "", None, None)]
    first, *rest = _pieces(after, as_ends=as_ends)
    old = as_one_entry(before, as_ends=as_ends)
    return [Step(owner, "", old or {}, first), *(Step(None, "", ABSENT, piece) for piece in rest)]


def _pieces(links: Sequence[Link], *, as_ends: bool) -> list[dict[str, Plain]]:
    """Entries for links of one range, each as long as a range can name."""
    pieces = []
    start = 0
    while start < len(links):
        piece, end = plain_link(links[start], as_ends=as_ends), start + 1
        if (whole := as_one_entry(links[start:], as_ends=as_ends)) is not None:
            piece, end = whole, len(links)
        while (
            end < len(links)
            and (more := as_one_entry(links[start : end + 1], as_ends=as_ends)) is not None
        ):
            piece, end = more, end + 1
        pieces.append(piece)
        start = end
    return pieces


def _with_dropped(steps: list[Step], written: Sequence[tuple[Link, ...]]) -> Iterator[Step]:
    """The steps, with those of entries that go where they stood."""
    kept = {step.index for step in steps}
    gone = [index for index in range(len(written)) if index not in kept]
    for step in steps:
        while step.index is not None and gone and gone[0] < step.index:
            yield Step(gone.pop(0), "", None, ABSENT)
        yield step
    yield from (Step(index, "", None, ABSENT) for index in gone)
