"""Ids, addresses and ranges: the names of things in a show.

An id is kebab-case (``vox-1``); an address is an item's id and up to three more parts
(``desk.ch7.mic``); a range names several addresses at once (``desk.ch[5-8].mic``). Numbers are
those on the panel, from 1.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import Final, TypeAlias

from levelhead.errors import ShowError

__all__ = [
    "LARGEST_RANGE",
    "LONGEST_ID",
    "MOST_PARTS",
    "Address",
    "expand_range",
    "in_number_order",
    "is_address",
    "is_id",
    "item_of",
    "join_range",
    "joined_ranges",
    "renamed_address",
    "shortened",
    "split_address",
    "strip_of",
]

Address: TypeAlias = str

LONGEST_ID: Final = 64  # characters; longer ones fit no label of a cable
MOST_PARTS: Final = 4  # the item and up to three more
LARGEST_RANGE: Final = 1024  # addresses; more is a slip of the keyboard
_MOST_DIGITS: Final = 6  # of a number in a range
_SHOWN: Final = 60  # characters of a text that an error quotes

_ID: Final = re.compile(r"[a-z0-9][a-z0-9-]*")
_RANGE: Final = re.compile(r"\[([^\[\]]*)\]")
_DIGITS: Final = re.compile(r"[0-9]+")
_BOUNDS: Final = re.compile(
    rf"([1-9][0-9]{{0,{_MOST_DIGITS - 1}}})-([1-9][0-9]{{0,{_MOST_DIGITS - 1}}})"
)
_REMEDY: Final = (
    "Write it like desk.ch7.mic: small letters, digits and hyphens, dots between the parts."
)


def shortened(text: str) -> str:
    """Text as an error quotes it: in quotes, cut where it gets too long to read."""
    return repr(text if len(text) <= _SHOWN else text[:_SHOWN] + "...")


def is_id(text: str) -> bool:
    """Whether a text is an id: ``[a-z0-9][a-z0-9-]*``.

    Examples
    --------
    >>> is_id("vox-1"), is_id("Vox 1")
    (True, False)
    """
    return len(text) <= LONGEST_ID and _ID.fullmatch(text) is not None


def is_address(text: str) -> bool:
    """Whether a text is the address of one place: two to four ids with dots between."""
    parts = text.split(".", MOST_PARTS)
    return 2 <= len(parts) <= MOST_PARTS and all(is_id(part) for part in parts)  # noqa: PLR2004 - item and port


def split_address(address: Address) -> tuple[str, ...]:
    """Parts of an address, the item first.

    Raises
    ------
    ShowError
        Not two to four ids with dots between.

    Examples
    --------
    >>> split_address("desk.ch7.mic")
    ('desk', 'ch7', 'mic')
    """
    if not is_address(address):
        raise ShowError(
            f"{shortened(address)} is no address",
            where="address",
            expected="an item and one to three more names, with dots between",
            remedy=_REMEDY,
        )
    return tuple(address.split("."))


def item_of(address: Address) -> str:
    """Item that an address belongs to: the part before the first dot."""
    return address.partition(".")[0]


def strip_of(address: Address) -> Address:
    """Strip that a socket or control stands in: all but the last part; the item, without a strip.

    Examples
    --------
    >>> strip_of("desk.ch7.mic"), strip_of("keys.out-left"), strip_of("keys")
    ('desk.ch7', 'keys', 'keys')
    """
    return address.rpartition(".")[0] or address


def renamed_address(address: Address, old_item: str, new_item: str) -> Address:
    """The address after its item was renamed; addresses of other items stay as they are.

    Examples
    --------
    >>> renamed_address("box.out1", "box", "stage-box"), renamed_address("boxes.out1", "box", "x")
    ('stage-box.out1', 'boxes.out1')
    """
    item, dot, rest = address.partition(".")
    return f"{new_item}{dot}{rest}" if item == old_item else address


def expand_range(text: str) -> list[Address]:
    """Addresses that a text names: itself, or one for each number of its range.

    Raises
    ------
    ShowError
        Not an address, more than one range, or a range that does not run from one number from 1 to
        another.

    Examples
    --------
    >>> expand_range("desk.ch[5-7].mic")
    ['desk.ch5.mic', 'desk.ch6.mic', 'desk.ch7.mic']
    >>> expand_range("desk.ch7.mic")
    ['desk.ch7.mic']
    """
    match = _RANGE.search(text)
    if match is None:
        split_address(text)
        return [text]
    addresses = [
        f"{text[: match.start()]}{number}{text[match.end() :]}"
        for number in _numbers(match[1], text)
    ]
    for address in addresses[:1]:
        split_address(address)
    return addresses


def _numbers(bounds: str, text: str) -> range:
    """Numbers of ``5-8``, or of ``8-5`` downwards."""
    match = _BOUNDS.fullmatch(bounds)
    if match is None:
        raise _range_error(text, f"[{bounds}] in {shortened(text)} is no range")
    first, last = int(match[1]), int(match[2])
    if abs(last - first) >= LARGEST_RANGE:
        raise _range_error(text, f"{shortened(text)} names {abs(last - first) + 1} places")
    step = 1 if last >= first else -1
    return range(first, last + step, step)


def _range_error(text: str, what: str) -> ShowError:
    """Error about a range."""
    return ShowError(
        what,
        where=f"range {shortened(text)}",
        expected=f"a first and a last number from 1, at most {LARGEST_RANGE} places",
        remedy="Write it like desk.ch[5-8].mic, one pair of brackets in an address.",
    )


def join_range(addresses: Sequence[Address]) -> str | None:
    """The range that names these addresses in this order, the opposite of :func:`expand_range`.

    One address is its own range; ``None`` if no range names just these.

    Examples
    --------
    >>> join_range(["desk.ch9.mic", "desk.ch10.mic"])
    'desk.ch[9-10].mic'
    >>> join_range(["desk.ch1.mic", "desk.ch3.mic"]) is None
    True
    """
    if len(addresses) == 1:
        return addresses[0]
    first, last = addresses[0], addresses[-1]
    for match in _DIGITS.finditer(first):
        before, after = first[: match.start()], first[match.end() :]
        end = last[len(before) : len(last) - len(after)]
        text = f"{before}[{match[0]}-{end}]{after}"
        if end.isdigit() and end != match[0] and _names_just(text, addresses):
            return text
    return None


def _names_just(text: str, addresses: Sequence[Address]) -> bool:
    """Whether a range names just these addresses, in this order."""
    try:
        return expand_range(text) == list(addresses)
    except ShowError:  # leading zeros, or too many
        return False


def joined_ranges(addresses: Iterable[Address]) -> list[str]:
    """Addresses in the order of their numbers, those that a range names together as one.

    Examples
    --------
    >>> joined_ranges(["desk.ch10.mic", "desk.ch2.mic", "desk.ch9.mic", "keys.out-left"])
    ['desk.ch2.mic', 'desk.ch[9-10].mic', 'keys.out-left']
    """
    found: list[list[Address]] = []
    for each in sorted(dict.fromkeys(addresses), key=in_number_order):
        together = join_range([*found[-1], each]) if found else None
        if together is None:
            found.append([each])
        else:
            found[-1].append(each)
    return [join_range(each) or each[0] for each in found]


def in_number_order(address: Address) -> list[tuple[int, str]]:
    """A key that puts ``m2`` before ``m10``."""
    parts = re.split(r"(\d+)", address)
    return [(int(part), "") if part.isdigit() else (-1, part) for part in parts]
