"""The output list: every output in use, by what it passes, and who hears it in the end."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from levelhead.exchange.paperwork.flow import Leaf, leaves
from levelhead.exchange.paperwork.knobs import gain_control, knob_words, setting_figure
from levelhead.exchange.paperwork.socket_names import strip_name
from levelhead.exchange.paperwork.work import Paperwork
from levelhead.exchange.sheet.plan import SheetPlan
from levelhead.exchange.sheet.values import LOOK_AT, Column
from levelhead.rig.model import RigPort

__all__ = ["OUTPUT_LIST"]

COLUMNS: Final = (
    Column("output", "Output", 2.4),
    Column("lead", "Lead", 0.7, "right"),
    Column("cable", "Cable", 3.0),
    Column("length", "Length", 0.9, "right", "m"),
    Column("through", "By processor or amplifier", 3.4, is_optional=True),
    Column("heard", "Into", 3.0),
    Column("level", "Level", 0.9, "right", "dB"),
    Column("knob", "Knob", 1.6),
    LOOK_AT,
    Column("mixer", "Mixer", 1.0),
)


def _rows(work: Paperwork) -> Iterator[dict[str, str]]:
    for port in work.rig.ports.values():
        is_output = port.plan.drives and port.plan.channels == 0
        if port.item.id in work.mixers and is_output and port.address in work.lead_at:
            for leaf in leaves(work, port):
                yield _row(work, port, leaf)


def _row(work: Paperwork, out: RigPort, leaf: Leaf) -> dict[str, str]:
    first = work.lead_at[out.address]
    level, knob = _level(work, (*leaf.passed, leaf.port))
    places = {*first.link.ends.values(), *leaf.lead.link.ends.values()}
    places |= {each.address for each in leaf.passed}
    return {
        "mixer": work.called(out.item),
        "output": strip_name(out),
        "lead": str(first.number),
        "cable": first.cable,
        "length": first.length,
        "through": " > ".join(_stop(work, port) for port in leaf.passed),
        "heard": work.end(leaf.port)
        if leaf.port.item.id in work.mixers
        else _stop(work, leaf.port),
        "level": level,
        "knob": knob,
        "note": work.mark(places),
    }


def _stop(work: Paperwork, port: RigPort) -> str:
    """An item on the way, with its channel if it has several."""
    label = work.called(port.item)
    return f"{label}, {port.block.name}" if port.block.name else label


def _level(work: Paperwork, ports: tuple[RigPort, ...]) -> tuple[str, str]:
    """The last level control on the way, behind the mixer: of an amplifier or a loudspeaker."""
    for port in reversed(ports):
        if port.item.id in work.mixers:
            continue
        control = gain_control(work.rig, port)
        if control is not None:
            setting = work.rig.setting_db(control)
            return setting_figure(setting), knob_words(work.rig.controls[control], setting)
    return "", ""


OUTPUT_LIST: Final = SheetPlan(
    name="output-list",
    title="Output list",
    about="every output in use, its lead, processor, amplifier channel and loudspeaker",
    columns=COLUMNS,
    rows=_rows,
    note=lambda _: (
        "Lead: the first one, at the mixer; the others are in the patch. Level: of the amplifier "
        "channel or powered loudspeaker, as set in the show."
    ),
    group_by="mixer",
    is_wide=True,
    cautions=lambda work: work.cautions,
)
