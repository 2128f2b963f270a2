"""The input list: what goes into each mixer input, by which cable, with phantom and gain."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from levelhead.chain.solution import Solution
from levelhead.exchange.sheet import Column, Sheet, SheetHead
from levelhead.gear.scales import SCALES, position_words
from levelhead.planning.check import Check
from levelhead.rig.model import Rig, RigLink, RigPort
from levelhead.rig.settings import setting_text
from levelhead.show.fingerprint import fingerprint
from levelhead.verdicts.finding import Severity, worst
from levelhead.verdicts.gain_plan import planned_gain_db
from levelhead.verdicts.strips import Strip

__all__ = ["input_list", "sheet_head"]

COLUMNS: Final = (
    Column("input", "Input", 2.2),
    Column("source", "Source", 2.4),
    Column("through", "Microphone, DI or player", 3.0),
    Column("cable", "Cable", 2.4),
    Column("phantom", "48 V", 0.8, "centre"),
    Column("gain", "Gain", 2.6),
    Column("note", "Look at", 2.0),
    Column("mixer", "Mixer", 1.0),
)


def sheet_head(solution: Solution) -> SheetHead:
    """Show, date, version and fingerprint for the head of a sheet."""
    show = solution.rig.show
    return SheetHead(show.name, show.date, show.version, fingerprint(show))


def input_list(check: Check) -> Sheet:
    """One row for each plugged input of a mixer, in the order of the panel."""
    solution = check.trial.solution
    gains = {strip.port: strip for strip in check.trial.judgement.reading.strips}
    return Sheet(
        name="input-list",
        title="Input list",
        head=sheet_head(solution),
        columns=COLUMNS,
        rows=tuple(_rows(check, gains)),
        group_by="mixer",
        note="Gains as set in the show; where none is set, one to begin the sound check with.",
        cautions=tuple(
            dict.fromkeys(
                each.caution
                for each in check.findings
                if each.caution is not None and each.severity is not Severity.FINE
            )
        ),
    )


def _rows(check: Check, gains: Mapping[str, Strip]) -> Iterator[dict[str, str]]:
    rig = check.trial.solution.rig
    mixes = {
        item.id for item in rig.items.values() if any(block.mixes for block in item.plan.blocks)
    }
    for port in rig.ports.values():
        if port.item.id in mixes and port.plan.role == "in" and port.link is not None:
            link = next(link for link in rig.links if link.number == port.link)
            yield _row(check, rig, port, link, gains.get(port.address))


def _row(
    check: Check, rig: Rig, port: RigPort, link: RigLink, strip: Strip | None
) -> dict[str, str]:
    chain = _upstream(rig, port.address)
    sources = [source.label for source in rig.sources if source.at in chain]
    labels = [rig.items[item].label for item in reversed(chain)]
    block = port.block.name
    return {
        "mixer": port.item.label,
        "input": f"{block}, {port.plan.label}" if block else port.plan.label,
        "source": ", ".join(sources) or (labels[0] if labels else ""),
        "through": " > ".join(labels),
        "cable": _cable_words(link),
        "phantom": _phantom_words(rig, port, chain),
        "gain": _gain_words(rig, port, strip),
        "note": _note(check, {port.address, *(address for address in link.ports)}),
    }


def _phantom_words(rig: Rig, port: RigPort, chain: Sequence[str]) -> str:
    """Whether it is on, and whether what is plugged there lives on it."""
    is_on = port.plan.figure("phantom") is not None
    is_needed = bool(chain) and any(
        way.kind == "phantom" for way in rig.items[chain[0]].plan.powered_by
    )
    if is_needed:
        return "on" if is_on else "needed"
    return "(on)" if is_on else ""


def _upstream(rig: Rig, address: str) -> list[str]:
    """Items before an input, nearest first, as far as their inputs are plugged."""
    chain: list[str] = []
    port: RigPort | None = rig.ports[address]
    while port is not None:
        giving = _giving(rig, port)
        if giving is None or giving.item.id in chain:
            break
        chain.append(giving.item.id)
        port = _only_input(rig, giving.item.id)
    return chain


def _giving(rig: Rig, port: RigPort) -> RigPort | None:
    """The output at the other end of the link that is plugged into an input."""
    link = next((link for link in rig.links if link.number == port.link), None)
    others = (rig.ports[each] for each in (link.ports if link else ()) if each != port.address)
    return next((other for other in others if other.plan.role != "in"), None)


def _only_input(rig: Rig, item: str) -> RigPort | None:
    """The plugged input of an item, if it has just one."""
    plugged = [
        port
        for port in rig.ports.values()
        if port.item.id == item and port.plan.role == "in" and port.link is not None
    ]
    return plugged[0] if len(plugged) == 1 else None


def _cable_words(link: RigLink) -> str:
    return " + ".join(
        f"{segment.cable.label}, {segment.length_m:g} m"
        if segment.length_m
        else segment.cable.label
        for segment in link.segments
    )


def _gain_words(rig: Rig, port: RigPort, strip: Strip | None) -> str:
    """Where the gain stands or begins; a strip without a signal tells what is set."""
    control = _gain_control(rig, port) if strip is None else strip.gain_control
    if control is None:
        return "no gain here"
    plan = rig.controls[control]
    if strip is None or control in rig.settings:
        setting, begin = rig.setting_db(control), ""
    else:
        setting, begin = float(round(strip.setting_for(planned_gain_db(strip)))), "begin with "
    scale = SCALES[plan.scale]
    travel = scale.travel(setting, low_db=plan.low, high_db=plan.high)
    return f"{begin}{setting_text(setting, plan)}, {position_words(scale, travel)}"


def _gain_control(rig: Rig, port: RigPort) -> str | None:
    """The first control behind a port, before its strip's meter."""
    for path in port.block.plan.paths:
        if any(each.port is not None and each.port.port == port.plan.name for each in path.origins):
            for stage in path.stages:
                if stage.control is not None:
                    return rig.control_of(port.item, port.block, stage.control)
                if stage.meter is not None:
                    return None
    return None


def _note(check: Check, ports: set[str]) -> str:
    """Worst verdict of what touches the input, in one word; nothing when all is fine."""
    severities = [each.severity for each in check.findings if ports & set(each.ports)]
    found = worst(severities)
    return "" if found is Severity.FINE else found.value
