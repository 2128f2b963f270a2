"""The input list: what goes into each mixer input, by which lead, with phantom and gain."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from levelhead.exchange.paperwork.flow import upstream
from levelhead.exchange.paperwork.knobs import gain_control, knob_words, setting_figure
from levelhead.exchange.paperwork.socket_names import strip_name
from levelhead.exchange.paperwork.work import Lead, Paperwork
from levelhead.exchange.sheet.plan import SheetPlan, filled, sheet_head
from levelhead.exchange.sheet.values import LOOK_AT, Column, Sheet
from levelhead.planning.check import Check
from levelhead.rig.model import Rig, RigPort
from levelhead.verdicts.read.gain_plan import planned_gain_db
from levelhead.verdicts.read.strips import Strip

__all__ = ["INPUT_LIST", "gain_of", "input_list", "phantom_words", "sheet_head"]

COLUMNS: Final = (
    Column("input", "Input", 2.2),
    Column("source", "Source", 2.4),
    Column("through", "Microphone, DI or player", 3.4),
    Column("lead", "Lead", 0.7, "right"),
    Column("cable", "Cable", 3.0),
    Column("length", "Length", 0.9, "right", "m"),
    Column("phantom", "48 V", 0.8, "centre"),
    Column("gain", "Gain", 0.8, "right", "dB"),
    Column("knob", "Knob", 2.0),
    LOOK_AT,
    Column("mixer", "Mixer", 1.0),
)


def input_list(check: Check) -> Sheet:
    """One row for each plugged input of a mixer or stage box, in the order of the panel."""
    return filled(INPUT_LIST, Paperwork(check))


def _rows(work: Paperwork) -> Iterator[dict[str, str]]:
    for port in work.rig.ports.values():
        if work.is_input(port):
            yield _row(work, port, work.lead_at[port.address])


def _row(work: Paperwork, port: RigPort, lead: Lead) -> dict[str, str]:
    chain = upstream(work, port)
    sources = [each.label for item in chain for each in work.sources_at.get(item, ())]
    labels = [work.rig.items[item].label for item in reversed(chain)]
    gain, knob = gain_of(work.rig, port, work.strips.get(port.address))
    return {
        "mixer": work.called(port.item),
        "input": strip_name(port),
        "source": ", ".join(sources) or _first(work, chain),
        "through": " > ".join(labels),
        "lead": str(lead.number),
        "cable": lead.cable,
        "length": lead.length,
        "phantom": phantom_words(work.rig, port, chain),
        "gain": gain,
        "knob": knob,
        "note": work.mark({port.address, *lead.link.ends.values()}),
    }


def _first(work: Paperwork, chain: Sequence[str]) -> str:
    """Where a signal without a voice comes from: the farthest item that is no mixer."""
    items = [item for item in reversed(chain) if item not in work.mixers]
    return work.rig.items[items[0]].label if items else ""


def phantom_words(rig: Rig, port: RigPort, chain: Sequence[str]) -> str:
    """Whether it is on, and whether what is plugged there lives on it."""
    is_on = port.switched.figure("phantom") is not None
    is_needed = bool(chain) and any(
        way.kind == "phantom" for way in rig.items[chain[0]].plan.powered_by
    )
    if is_needed:
        return "on" if is_on else "needed"
    return "(on)" if is_on else ""


def gain_of(rig: Rig, port: RigPort, strip: Strip | None) -> tuple[str, str]:
    """Where the gain stands or begins, and its knob; without a signal what is set."""
    control = gain_control(rig, port) if strip is None else strip.gain_control
    if control is None:
        return "", "no gain here"
    if strip is None or control in rig.settings:
        setting, begin = rig.setting_db(control), ""
    else:
        setting, begin = float(round(strip.setting_for(planned_gain_db(strip)))), "begin at "
    return setting_figure(setting), begin + knob_words(rig.controls[control], setting)


INPUT_LIST: Final = SheetPlan(
    name="input-list",
    title="Input list",
    about="what goes into each input, by which lead, with phantom power and gain",
    columns=COLUMNS,
    rows=_rows,
    note=lambda _: (
        "Gains as set in the show; where none is set, one to begin the sound check with "
        "(“begin at”). 48 V: “(on)” is on and not needed there."
    ),
    group_by="mixer",
    is_wide=True,
    cautions=lambda work: work.cautions,
)
