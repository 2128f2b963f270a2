"""What is left: free inputs by kind, how many of them feed phantom power, free sends, the stock."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from levelhead.exchange.paperwork.input_rows import InputRow
from levelhead.rig.model import Rig

__all__ = ["LeftOver", "left_over"]


@dataclass(frozen=True, slots=True)
class LeftOver:
    """Counts of what nobody uses yet, by what people call it, and the next of each that is free."""

    inputs: Mapping[str, int]
    next_input: Mapping[str, str]
    phantom_inputs: int
    outputs: Mapping[str, int]
    boxes: Mapping[str, int]
    leads: Mapping[str, int]

    def to_json(self) -> dict[str, Any]:
        """By name."""
        return {
            "inputs": [
                {"label": label, "count": count, "next": self.next_input[label]}
                for label, count in self.inputs.items()
            ],
            "phantom_inputs": self.phantom_inputs,
            "outputs": [{"label": label, "count": n} for label, n in self.outputs.items()],
            "boxes": [{"label": label, "count": n} for label, n in self.boxes.items()],
            "leads": [{"label": label, "count": n} for label, n in self.leads.items()],
        }


def left_over(rig: Rig, rows: Iterable[InputRow]) -> LeftOver:
    """Count it. Inputs go by their first socket: a strip takes one plug, or a left and a right."""
    free = [row for row in rows if row.is_free]
    inputs: Counter[str] = Counter()
    first: dict[str, str] = {}
    for row in free:
        label = f"{rig.items[row.item].label}: {row.ports[0][1]}"
        inputs[label] += 1
        first.setdefault(label, row.id)
    takers = {row.item for row in rows}
    outputs = Counter(
        f"{port.item.label}: {port.plan.label}"
        for port in rig.ports.values()
        if port.plan.role == "out" and port.link is None and port.item.id in takers
        if not port.plan.is_digital
    )
    boxes: dict[str, int] = {}
    leads: dict[str, int] = {}
    for thing, count in rig.show.stock.items():
        type_id, _, length = thing.partition(" ")
        if type_id in rig.book:
            entry = rig.book.entry(type_id)
            of = boxes if entry.ends is None else leads
            of[f"{entry.label}, {length}" if length else entry.label] = count
    phantom = sum(bool(row.phantom_control) for row in free)
    return LeftOver(inputs, first, phantom, outputs, boxes, leads)
