"""What was told lately, so that a page that was away for a while needs not be told everything."""

from __future__ import annotations

import secrets
from collections import deque
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any, Final

__all__ = ["Past", "together"]

MOST_PATCHES: Final = 400
Json = dict[str, Any]


@dataclass(slots=True)
class Past:
    """The last patches of one run of the program; ``run`` tells it from those before."""

    run: str = field(default_factory=lambda: secrets.token_hex(4))
    _patches: deque[Json] = field(default_factory=lambda: deque(maxlen=MOST_PATCHES))

    def keep(self, patch: Json) -> None:
        """Note a patch that pages were told."""
        if patch["revision"] != patch["after"]:
            self._patches.append(patch)

    def since(self, run: str, revision: int, now: int) -> Json | None:
        """Tables as they changed after a revision; ``None`` if that is too far back to tell."""
        if run != self.run or revision > now:
            return None
        missed = [each for each in self._patches if each["after"] >= revision]
        if revision < now and (not missed or missed[0]["after"] != revision):
            return None
        return together(each["tables"] for each in missed)


def together(patches: Iterable[Json]) -> Json:
    """Patches of tables as one.

    Examples
    --------
    >>> together(
    ...     [{"stock": {"set": {"a": 1, "b": 1}, "order": ["a", "b"]}}, {"stock": {"order": ["a"]}}]
    ... )
    {'stock': {'set': {'a': 1}, 'order': ['a']}}
    """
    found: Json = {}
    for tables in patches:
        for name, patch in tables.items():
            table = found.setdefault(name, {})
            if "set" in patch:
                table["set"] = {**table.get("set", {}), **patch["set"]}
            if "order" in patch:
                table["order"] = patch["order"]
                stays = set(patch["order"])
                kept = {key: row for key, row in table.get("set", {}).items() if key in stays}
                if "set" in table:
                    table["set"] = kept
    return found
