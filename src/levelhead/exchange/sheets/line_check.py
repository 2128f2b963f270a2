"""The line check: one input after another, what is plugged, what its meter reads, boxes to tick.

Gains are as set in the show; where none is set, the one of the input list to begin with. A meter
reads what is told for the loud passage of that source, by its own detector and zero.
"""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

from levelhead.exchange.paperwork.flow import Leg, legs_before, mixes_several
from levelhead.exchange.paperwork.socket_names import strip_name
from levelhead.exchange.paperwork.work import Paperwork
from levelhead.exchange.sheet.plan import SheetPlan
from levelhead.exchange.sheet.values import Column
from levelhead.exchange.sheets.input_list import gain_of, phantom_words
from levelhead.exchange.walk.alone import shown_by
from levelhead.exchange.walk.words import reading_text
from levelhead.rig.model import RigPort
from levelhead.verdicts.read.gain_plan import planned_gain_db
from levelhead.verdicts.read.strips import Strip

__all__ = ["LINE_CHECK", "Line", "line_keys", "lines"]

COLUMNS: Final = (
    Column("input", "Input", 1.5),
    Column("source", "Source", 2.2),
    Column("patch", "Patch", 4.6),
    Column("phantom", "48 V", 0.8, "centre"),
    Column("gain", "Gain", 0.8, "right", "dB"),
    Column("meter", "Meter reads", 1.9),
    Column("write", "Read, remarks", 2.4),
    Column("mixer", "Mixer", 1.0),
)
_KEY: Final = 12


@dataclass(frozen=True, slots=True)
class Line:
    """One input.

    Attributes
    ----------
    key
        The item that its ticks are kept by: the farthest that feeds this input alone.
    port
        Its socket at the mixer or stage box.
    metered, unit
        Where its meter sits, and what that counts in; empty where there is none.
    """

    key: str
    port: RigPort
    mixer: str
    input: str
    source: str
    patch: tuple[str, ...]
    phantom: str
    gain: str
    knob: str
    meter: str
    metered: str
    unit: str

    @property
    def content(self) -> str:
        """A hash of what it says: a tick holds for that."""
        said = (self.input, self.source, *self.patch, self.phantom, self.gain)
        return hashlib.sha256("\x00".join(said).encode()).hexdigest()[:_KEY]

    def to_json(self) -> dict[str, Any]:
        """For pages."""
        return {
            "key": self.key,
            "port": self.port.address,
            "mixer": self.mixer,
            "input": self.input,
            "source": self.source,
            "patch": list(self.patch),
            "phantom": self.phantom,
            "gain": self.gain,
            "knob": self.knob,
            "meter": self.meter,
            "metered": self.metered,
            "unit": self.unit,
            "content": self.content,
        }


def line_keys(work: Paperwork) -> dict[str, str]:
    """By input, the item that its ticks are kept by.

    Of two inputs of one item the socket stands behind it, of two of one socket the end of the lead.
    """
    before = {
        port.address: _own_legs(work, port)
        for port in work.rig.ports.values()
        if work.is_input(port)
    }
    names = {address: _names(address, legs) for address, legs in before.items()}
    counted = Counter(name for each in names.values() for name in each)
    return {
        address: next((name for name in each if counted[name] == 1), address)
        for address, each in names.items()
    }


def _names(address: str, legs: Sequence[Leg]) -> tuple[str, ...]:
    """What an input may be known by, the shortest first: item, socket, end of the lead."""
    if not legs:
        return (address,)
    first = legs[0]
    ends = first.lead.link.ends.items()
    end = next((name for name, port in ends if port == first.into.address), "")
    return first.out.item.id, first.out.address, f"{first.out.address} {end}"


def lines(work: Paperwork) -> Iterator[Line]:
    """Every plugged input of a mixer or stage box, in the order of the panel."""
    for address, key in line_keys(work).items():
        port = work.rig.ports[address]
        legs = _own_legs(work, port)
        strip = work.strips.get(address)
        gain, knob = gain_of(work.rig, port, strip)
        meter, metered, unit = _meter(work, strip)
        yield Line(
            key=key,
            port=port,
            mixer=work.called(port.item),
            input=strip_name(port),
            source=_source(work, legs, port),
            patch=tuple(_patch(work, legs)),
            phantom=phantom_words(work.rig, port, [leg.out.item.id for leg in legs[::-1]]),
            gain=gain,
            knob=knob,
            meter=meter,
            metered=metered,
            unit=unit,
        )


def _own_legs(work: Paperwork, port: RigPort) -> Sequence[Leg]:
    """Leads before an input as far back as they carry it alone: an effect's return begins at it."""
    legs = legs_before(work, port)
    mixed = [i for i, leg in enumerate(legs) if mixes_several(work, leg.out)]
    return legs[min(mixed[-1] + 1, len(legs) - 1) :] if mixed else legs


def _source(work: Paperwork, legs: Sequence[Leg], port: RigPort) -> str:
    """Who plays there: the voice before the microphone, else the item that it begins in."""
    if not legs:
        return work.end(port)
    item = legs[0].out.item
    voices = [each.label for each in work.sources_at.get(item.id, ())]
    return ", ".join(voices) or work.called(item)


def _patch(work: Paperwork, legs: Sequence[Leg]) -> Iterator[str]:
    """From the source on: ``Anna's microphone``, ``lead 3 (XLR cable, 10 m) into Desk, ch3``."""
    for leg in legs:
        cable = f" ({leg.lead.words})" if leg.lead.words else ""
        yield f"{work.called(leg.out.item)}, lead {leg.lead.number}{cable}"


def _meter(work: Paperwork, strip: Strip | None) -> tuple[str, str, str]:
    """What its meter reads with the gain that the sheet tells, where it sits, and its unit."""
    if strip is None or strip.metered.meter is None:
        return "", "", ""
    levels = work.check.trial.solution.levels(strip.metered.address)
    if levels.nominal is None or levels.peak is None:
        return "", "", ""
    by_db = _gain_moves_db(work, strip)
    moved = replace(levels, nominal=levels.nominal + by_db, peak=levels.peak + by_db)
    found = shown_by(strip.metered.meter, strip.metered.unit, moved)
    if found is None:
        return "", "", ""
    return reading_text(*found), strip.metered.address, found[1]


def _gain_moves_db(work: Paperwork, strip: Strip) -> float:
    """How far the gain that is told lies from where it stands. [dB]"""
    control = strip.gain_control
    if control is None or control in work.rig.settings:
        return 0.0
    return round(strip.setting_for(planned_gain_db(strip))) - work.rig.setting_db(control)


def _rows(work: Paperwork) -> Iterator[dict[str, str]]:
    for line in lines(work):
        yield {
            "mixer": line.mixer,
            "input": line.input,
            "source": line.source,
            "patch": "; ".join(line.patch),
            "phantom": line.phantom,
            "gain": line.gain,
            "meter": line.meter.replace("-", "\N{MINUS SIGN}"),
            "write": "",
        }


LINE_CHECK: Final = SheetPlan(
    name="line-check",
    title="Line check",
    about="one input after another: patch, phantom power, gain, what its meter reads, a box each",
    columns=COLUMNS,
    rows=_rows,
    note=lambda _: (
        "One source at a time, at its loud passage, listened to alone (PFL) or on its own meter; "
        "the rest muted. Gains as on the input list. Where nothing comes, or a meter is far off, "
        "walk along the channel (Wrong? on Show day)."
    ),
    group_by="mixer",
    has_ticks=True,
    is_wide=True,
    cautions=lambda work: work.cautions,
    is_on_request=True,
)
