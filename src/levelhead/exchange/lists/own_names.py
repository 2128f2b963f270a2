"""Names in our own list that came back: of sources, of items, and of the types that they are."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from levelhead.exchange.lists.own_rows import OwnChanges, OwnRow
from levelhead.show.edits import ChangeSource, Edit, Relabel, Retype

__all__ = ["rename", "type_called"]


def rename(found: OwnChanges, row: OwnRow, base: Mapping[str, str], origin: str) -> None:
    """Names of sources and labels of items; the label of another type makes it that type."""
    chain = list(reversed(_chain(found, origin)))
    parts, before = _parts(row.cells.get("through")), _parts(base.get("through"))
    if parts != before:
        if len(parts) != len(before) or len(before) != len(chain):
            found.notes.append(f"{row.where}: '{row.cells.get('through')}' has other boxes on it")
        else:
            for item, new, old in zip(chain, parts, before, strict=True):
                if new != old:
                    found.changes.append(_changed_item(found, item, new))
    source, was = row.cells.get("source", ""), base.get("source", "")
    if source == was or "source" not in row.cells:
        return
    speaking = [each for each in found.show.sources.values() if each.at.partition(".")[0] in chain]
    if len(speaking) == 1:
        found.changes.append(ChangeSource(replace(speaking[0], label=source)))
    elif not speaking and chain and parts == before:
        found.changes.append(Relabel(chain[0], source))
    elif len(speaking) > 1:
        found.notes.append(f"{row.where}: several sources are heard there; rename them in the show")


def _parts(text: str | None) -> list[str]:
    return text.split(" > ") if text else []


def _changed_item(found: OwnChanges, item: str, label: str) -> Edit:
    kind = found.book.entry(found.show.items[item].type).kind
    type_id = type_called(found, label, kind)
    return Relabel(item, label) if type_id is None else Retype(item, type_id)


def _chain(found: OwnChanges, address: str) -> list[str]:
    """Items before an input, nearest first, as the sheet has them."""
    labels = _parts(found.printed.rows[address].get("through"))
    rig, chain, at = found.printed.rig, list[str](), address
    while len(chain) < len(labels):
        link = found.show.link_at(at)
        others = [end for end in (link.ends.values() if link else ()) if end != at]
        giving = next((end for end in others if rig.ports[end].plan.role != "in"), None)
        if giving is None:
            break
        item = giving.partition(".")[0]
        chain.append(item)
        plugged = [
            each.address
            for each in rig.ports.values()
            if each.item.id == item and each.plan.role == "in" and each.link is not None
        ]
        if not plugged:
            break
        at = plugged[0]
    return chain


def type_called(found: OwnChanges, label: str, kind: str) -> str | None:
    """The type of the gear book that has just this label; ``None`` where none of its kind has."""
    ids = (each for each in found.book.ids if found.book.entry(each).label == label)
    return next((each for each in ids if found.book.entry(each).kind == kind), None)
