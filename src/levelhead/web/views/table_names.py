"""Words that tables show in place of ids: what people call a thing, beside what the file says.

A field has ``<field>_label`` where the file holds an id; a row has ``called``, its name. The file's
own text stays beside them: it is what is typed over.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Final

from levelhead.exchange.paperwork.named import Named
from levelhead.show.lengths import length_text
from levelhead.show.model import Show

__all__ = ["with_names"]

Row = dict[str, Any]
Rows = dict[str, Row]


def with_names(
    tables: Mapping[str, Rows], names: Named, before: Mapping[str, Rows], *, is_as_before: bool
) -> dict[str, Rows]:
    """The same tables with their words.

    ``before`` are tables that have theirs; ``is_as_before`` says that what people call things is
    as it was then, so that a row which an edit left alone is taken from there.
    """
    known = before if is_as_before else {}
    return {
        name: _named(rows, _WORDS[name], names, known.get(name, {})) if name in _WORDS else rows
        for name, rows in tables.items()
    }


def _named(rows: Rows, words: Callable[[Named, str, Row], Row], names: Named, known: Rows) -> Rows:
    if rows is known:
        return rows
    return {
        key: known[key]
        if key in known and row.items() <= known[key].items()
        else {**row, **words(names, key, row)}
        for key, row in rows.items()
    }


def _item(names: Named, key: str, row: Row) -> Row:
    return {
        "called": names.item(key),
        "type_label": names.gear(row["type"]),
        "supply_label": _supply_words(names.show, row["supply"]),
    }


def _source(names: Named, key: str, row: Row) -> Row:
    source = names.show.sources[key]
    also = (f"{names.item(item)}: {length_text(far)}" for item, far in source.also.items())
    return {
        "called": names.source(key),
        "type_label": names.gear(row["type"]),
        "at_label": names.item(row["at"]),
        "also_label": ", ".join(also),
    }


def _link(names: Named, key: str, row: Row) -> Row:
    del row
    link = next(each for each in names.show.links if key in each.ends.values())
    ends = list(link.ends.values())
    return {
        "called": names.ends(ends[:1]),
        "ends_label": names.ends(ends),
        "via_label": " + ".join(names.cable(each) for each in link.via),
    }


def _supply_words(show: Show, name: str) -> str:
    supply = show.supplies.get(name)
    return name if supply is None else supply.label or name


_WORDS: Final[Mapping[str, Callable[[Named, str, Row], Row]]] = {
    "items": _item,
    "sources": _source,
    "links": _link,
    "figures": lambda names, key, _: {"called": names.place(key)},
    "settings": lambda names, key, _: {"called": names.place(key)},
    "stock": lambda names, key, _: {"called": names.thing(key)},
    "supplies": lambda _, key, row: {"called": row["label"] or key},
}
