"""No socket of the gear book is a blind hole: each is named by a path, a part, a mix or a wire."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any, Final

from levelhead.gear.book import GearBook, load_book

OF_SIGNALS: Final = {"in", "out", "loudspeaker", "insert"}
NOT_FED_YET: Final = {("stagebox-digital-16", "line", "out")}  # by what comes over its network
_SAYS_NOTHING: Final = {"words", "label", "note", "usual"}


def said(entry: Any) -> Iterator[str]:
    """All that an entry says but what its ports are; what a port is joined to counts."""
    if isinstance(entry, dict):
        for key, value in entry.items():
            if key == "ports":
                yield from (str(port["joined"]) for port in value.values() if port["joined"])
            elif key not in _SAYS_NOTHING:
                yield str(key)
                yield from said(value)
    elif isinstance(entry, list | tuple):
        for each in entry:
            yield from said(each)
    else:
        yield str(entry)


def blind(book: GearBook, type_id: str) -> Iterator[tuple[str, str, str]]:
    """Audio sockets of a type that nothing else of it names; sides of a pair go by their name."""
    entry = book.entry(type_id).model_dump()
    text = " ".join(said(entry))
    of_blocks = {name: block["ports"] for name, block in entry["blocks"].items()}
    for block, ports in {"": entry["ports"], **of_blocks}.items():
        for name, port in ports.items():
            pair = re.escape(re.sub("-(left|right)$", "", name))
            is_named = re.search(rf"(?<![\w-]){pair}(?![\w])", text) is not None
            is_audio = port["role"] in OF_SIGNALS and port["carries"] == "audio"
            if is_audio and not port["joined"] and not is_named:
                yield type_id, block, name


def test_no_socket_is_a_blind_hole() -> None:
    """An entry ``like`` another that writes its path anew loses what stood there: an insert."""
    book = load_book()
    gear = [each for each in book.ids if not (book.sketch(each).ends or book.sketch(each).sounds)]
    assert {hole for each in gear for hole in blind(book, each)} == NOT_FED_YET
