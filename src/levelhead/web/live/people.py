"""Who is at an open show: pages with their sockets, and the people behind them."""

from __future__ import annotations

import asyncio
import json
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any, Final

__all__ = ["Page", "as_text", "here", "tell_all"]

MOST_WAITING: Final = 512  # messages that a page has not taken yet: then it has to come again
Json = dict[str, Any]


@dataclass(slots=True, eq=False)
class Page:
    """One page with its socket; ``outbox`` ends with ``None`` when it is to be closed.

    ``run`` and ``seen`` are what it knew when it came: the run of the program and its revision.
    ``told`` is the undo and redo that stand on it.
    """

    id: str
    name: str
    may_change: bool = True
    run: str = ""
    seen: int = -1
    told: Json | None = None
    is_gone: bool = False
    outbox: asyncio.Queue[Json | str | None] = field(
        default_factory=lambda: asyncio.Queue(MOST_WAITING + 1)
    )

    def tell(self, news: Json | str) -> None:
        """Put a message into its outbox, or its text; a page that takes none is sent away."""
        if self.outbox.qsize() < MOST_WAITING:
            self.outbox.put_nowait(news)
        elif not self.outbox.full():
            self.outbox.put_nowait(None)


def as_text(news: Json | str) -> str:
    """A message as it goes out. What many pages are told is written once."""
    if isinstance(news, str):
        return news
    text = json.dumps(news, ensure_ascii=False, separators=(",", ":"))
    try:
        text.encode()
    except UnicodeEncodeError:  # half of a surrogate pair, which only JSON can carry
        text = json.dumps(news, separators=(",", ":"))
    return text


def tell_all(pages: Iterable[Page], news: Json) -> None:
    """Tell all of these pages."""
    text = as_text(news)
    for page in pages:
        page.tell(text)


def here(pages: Iterable[Page]) -> Json:
    """Who is here, each once, with the number of their pages and whether they may change things."""
    people: dict[str, Json] = {}
    for page in pages:
        one = people.setdefault(page.name, {"name": page.name, "may": "look", "pages": 0})
        one["pages"] += 1
        if page.may_change:
            one["may"] = "change"
    return {"kind": "here", "people": list(people.values())}
