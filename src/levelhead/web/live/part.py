"""What stands behind a box or a lead of the drawing: plugs, settings, levels, figures.

Nothing is judged here; findings come with the results.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Any, Final

from levelhead.chain.levels import PointLevels
from levelhead.chain.solution import Solution
from levelhead.drawing.figures import level_figure
from levelhead.drawing.flow.wires import links_of, wires_of
from levelhead.errors import EditError
from levelhead.gear.plan import ControlPlan
from levelhead.gear.positions import hand_words
from levelhead.rig.model import Rig, RigPort
from levelhead.rig.settings import UNKNOWN, setting_text
from levelhead.show.addresses import item_of
from levelhead.show.lengths import cable_text
from levelhead.show.model import Link
from levelhead.verdicts.told.limit_state import figure_text
from levelhead.web.live.looks import Look

__all__ = ["lead", "part"]

Json = dict[str, Any]
_MOST_POINTS: Final = 400  # of one desk
_IN_CREWS_WORDS: Final = {  # figures of sockets by their names in the gear book
    "impedance": "impedance",
    "ceiling": "largest clean level",
    "clip": "clips at",
    "damage": "harmed from",
    "current": "most current",
    "min-load": "least load",
    "phantom": "phantom power",
    "dc-tolerance": "direct voltage borne",
    "cmrr": "common-mode rejection",
}


def part(look: Look, item: str) -> Json:
    """An item: what is plugged in, how it is set, levels on the way through it, its figures.

    Raises
    ------
    EditError
        The show has no such item.
    """
    solution = look.solution
    rig = solution.rig
    if item not in rig.items:
        raise _no("item", item)
    used = {port.block.name for port in _ports(rig, item) if port.link is not None}
    return {
        "id": item,
        "title": rig.items[item].label,
        "type": rig.items[item].plan.label,
        "plugs": [_plug(rig, port) for port in _ports(rig, item) if port.link is not None],
        "free": sum(port.link is None for port in _ports(rig, item)),
        "settings": list(_settings(rig, item, used)),
        "levels": [_level(each, item) for each in _live(solution, item)],
        "figures": [row for port in _ports(rig, item) for row in _figures(port)],
    }


def lead(look: Look, links: Sequence[int]) -> Json:
    """Cables that run side by side: their ends, what they are made of, what they lose.

    Raises
    ------
    EditError
        The show has none of these links.
    """
    solution = look.solution
    rig = solution.rig
    known = dict(links_of(rig))
    found = [(number, known[number]) for number in links if number in known]
    if not found:
        raise _no("lead", ", ".join(map(str, links))[:60])
    return {"cables": [_cable(solution, number, link) for number, link in found]}


def _no(what: str, name: str) -> EditError:
    return EditError(
        f"no {what} {name[:60]!r}",
        where="page",
        expected=f"a {what} of the drawing",
        remedy="It may be gone; look at the drawing anew.",
    )


# ---------------------------------------------------------------- plugs and cables


def _ports(rig: Rig, item: str) -> Iterator[RigPort]:
    return (port for port in rig.ports.values() if port.item.id == item)


def _socket(port: RigPort) -> str:
    return f"{port.block.name} {port.plan.label}".strip()


def _plug(rig: Rig, port: RigPort) -> Json:
    """A socket with the other end of what is plugged there; leads are numbered as on paper."""
    link = next(link for number, link in links_of(rig) if number == port.link)
    others = [end for end in link.ends.values() if end != port.address and end in rig.ports]
    return {
        "at": port.address,
        "socket": _socket(port),
        "gives": port.plan.gives,
        "lead": port.link + 1 if port.link is not None else None,
        "others": [{"item": item_of(end), "words": rig.ports[end].label} for end in others],
        "cable": _cable_words(rig, link),
    }


def _cable_words(rig: Rig, link: Link) -> str:
    """Cables in the words of the gear book, with their lengths."""
    parts = []
    for each in link.via:
        length = cable_text(each).removeprefix(each.type)
        parts.append(f"{rig.book.entry(each.type).label}{length}")
    return " + ".join(parts) or "the usual cable"


def _cable(solution: Solution, number: int, link: Link) -> Json:
    rig = solution.rig
    wires = list(wires_of(rig, number, link))
    return {
        "number": number + 1,  # as on paper
        "cable": _cable_words(rig, link),
        "ends": [
            {"at": end, "item": item_of(end), "words": rig.ports[end].label}
            for end in link.ends.values()
            if end in rig.ports
        ],
        "levels": [
            _level(level, "")
            for wire in wires[:1]
            for level in _known(solution, (wire.start, wire.end))
        ],
        "lost_db": next(
            (lost for wire in wires for lost in _lost(solution, (wire.start, wire.end))), None
        ),
    }


def _lost(solution: Solution, ends: tuple[str, str]) -> Iterator[str]:
    """What the level loses from socket to socket, where both are known in one unit."""
    for one, other in pairwise(_known(solution, ends)):
        if one.unit == other.unit and one.nominal is not None and other.nominal is not None:
            yield level_figure(one.nominal - other.nominal, "dB")


def _known(solution: Solution, addresses: Sequence[str]) -> list[PointLevels]:
    index = solution.graph.index
    return [solution.levels(each) for each in addresses if each in index]


# ---------------------------------------------------------------- settings, levels, figures


def _settings(rig: Rig, item: str, used: set[str]) -> Iterator[Json]:
    """Controls that are set, and those of strips in use as they come."""
    for block in rig.items[item].plan.blocks:
        for name, control in block.plan.controls.items():
            address = f"{item}.{block.address(name)}"
            is_set = address in rig.settings or address in rig.unknowns
            if not is_set and block.name and block.name not in used:
                continue
            yield {
                "at": address,
                "control": f"{block.name} {control.label}".strip(),
                "is_set": is_set,
                "is_locked": address in rig.show.locks,
                **_setting(rig, address, control),
            }


def _setting(rig: Rig, address: str, control: ControlPlan) -> Json:
    if address in rig.unknowns:
        return {"value": UNKNOWN, "hand": ""}
    value = rig.setting(address)
    written, hand = setting_text(value, control), hand_words(control, value)
    return {"value": written, "hand": "" if hand == written else hand}


def _live(solution: Solution, item: str) -> list[PointLevels]:
    """Points of an item that carry a signal, in the order of the signal."""
    found = (each for each in solution.live_points() if item_of(each.at) == item)
    return list(found)[:_MOST_POINTS]


def _level(point: PointLevels, item: str) -> Json:
    return {
        "at": point.at.removeprefix(f"{item}."),
        "unit": point.unit,
        "nominal": level_figure(point.nominal, point.unit),
        "peak": level_figure(point.peak, point.unit),
        "ceiling": level_figure(point.ceiling, point.unit),
        "headroom": level_figure(point.headroom, "dB"),
    }


def _figures(port: RigPort) -> Iterator[Json]:
    """Figures of a socket that people speak of; those of sockets in use alone."""
    if port.link is None:
        return
    for name, figure in port.plan.figures.items():
        if name in _IN_CREWS_WORDS:
            yield {
                "socket": _socket(port),
                "figure": _IN_CREWS_WORDS[name],
                "value": figure_text(figure.value, figure.unit),
                "source": figure.source,
            }
