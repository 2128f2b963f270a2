"""``levelhead gear [TYPE]``: the gear book, one type of it, or its weakest figures."""

from __future__ import annotations

from argparse import Namespace

from levelhead.cli.commands.gear_search import of_kind, types_meant
from levelhead.cli.reports.gear import gear_list, gear_page
from levelhead.cli.typed import Outcome, as_json, book_of, document_of
from levelhead.gear.book import GearBook
from levelhead.gear.names import did_you_mean
from levelhead.show.addresses import is_id

__all__ = ["gear"]


def gear(arguments: Namespace) -> Outcome:
    """A list of types, or a page on one."""
    book = book_of(arguments)
    if arguments.weak is not None:
        return _weak(book, arguments)
    if arguments.type:
        type_id = " ".join(arguments.type)
        is_mistyped = "-" in type_id and is_id(type_id) and did_you_mean(type_id, book.ids)
        is_words = type_id not in book and not is_mistyped and not arguments.json
        if is_words and (meant := types_meant(book, type_id)):
            said = f"No type is called '{type_id}'. What the words may mean:"
            return Outcome(f"{said}\n\n{gear_list(book, meant)}")
        found = book.entry(type_id).model_dump(mode="json", by_alias=True, exclude_none=True)
        return Outcome(
            as_json({"id": type_id, **found}) if arguments.json else gear_page(book, type_id)
        )
    ids = of_kind(book, types_meant(book, arguments.search), arguments.kind)
    if arguments.json:
        rows = ((each, book.entry(each)) for each in ids)
        return Outcome(
            as_json([{"id": each, "label": row.label, "kind": row.kind} for each, row in rows])
        )
    return Outcome(gear_list(book, ids))


def _weak(book: GearBook, arguments: Namespace) -> Outcome:
    """``levelhead gear --weak [SHOW]``: over the shipped examples and the shows that are named."""
    from levelhead.cli.reports.weak_figures import weak_page
    from levelhead.planning.trial import try_show
    from levelhead.planning.weak_figures import weak_figures
    from levelhead.show.shipped import shipped_examples

    documents = [
        *(each.document for each in shipped_examples()),
        *(document_of(path) for path in arguments.weak),
    ]
    trials = [try_show(document.show, book, document) for document in documents]
    weak = weak_figures(trials)
    if arguments.json:
        return Outcome(as_json([each.to_json() for each in weak]))
    return Outcome(weak_page(weak, [trial.show.name for trial in trials]))
