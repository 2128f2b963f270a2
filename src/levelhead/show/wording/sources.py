"""Edits of sources in the crew's words."""

from __future__ import annotations

from levelhead.show.edits import AddSource, ChangeSource, RemoveSource, RenameSource
from levelhead.show.lengths import length_text
from levelhead.show.model import Show, Source
from levelhead.show.wording.base import edit_words, label_of, place_words

__all__: list[str] = []


@edit_words.register
def _(edit: AddSource, show: Show) -> str:
    return f"Add source {_source(edit.source, show)}"


@edit_words.register
def _(edit: RemoveSource, show: Show) -> str:
    return f"Remove source {label_of(show.sources.get(edit.source), edit.source)}"


@edit_words.register
def _(edit: ChangeSource, show: Show) -> str:
    return f"Change source {_source(edit.source, show)}"


def _source(source: Source, show: Show) -> str:
    away = "" if source.distance_m is None else f", {length_text(source.distance_m)} away"
    loud = "" if source.level is None else f", {source.level} at 1 m"
    at = place_words(source.at, show)
    return f"{label_of(source, source.id)}: {source.type} at {at}{away}{loud}"


@edit_words.register
def _(edit: RenameSource, show: Show) -> str:
    return f"Rename source {label_of(show.sources.get(edit.source), edit.source)} to {edit.new_id}"
