"""Loudspeaker volts within reach of fingers: what can stand on bare contacts.

What a socket leaves bare is a fact of its connector. A plug that is pulled while an amplifier plays
is the same danger; every finding worse than fine says how to go about it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from levelhead.gear.connectors import CONNECTORS
from levelhead.gear.figures import Figure
from levelhead.quantity.formatting import format_si
from levelhead.rig.model import RigPort
from levelhead.verdicts.people.words import SENTENCES, TOUCH
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import Doubt, LimitState
from levelhead.verdicts.told.words import other_ends, place_words

__all__ = ["AUDIO_TOUCH_V", "PROFESSIONAL_TOUCH_V", "check_touchable_volts"]

AUDIO_TOUCH_V: Final = 71.0  # rms, IEC 60065 9.1.1.1; ES1 of IEC 62368-1 for audio signals
PROFESSIONAL_TOUCH_V: Final = 120.0  # rms, the same clauses, with a warning beside the terminals
_AMPLE_DB: Final = 6.0  # half the limit, common practice
_TOLD_FROM_V: Final = 10.0  # less is no loudspeaker line
_CAUTION: Final = (
    "Switch the amplifier off before bare wires, terminals or plugs on that side are touched; "
    "cover them or use insulated locking connectors, and keep people away. Fixed lines belong to "
    "an electrician; local rules decide."
)


def check_touchable_volts(reading: Reading) -> Iterator[Finding]:
    """Loudspeaker lines: the largest clean sine on them, against what may be touched."""
    for address, port in reading.rig.ports.items():
        is_bare = CONNECTORS[port.plan.socket].is_bare
        if not is_bare and port.plan.role != "loudspeaker":
            continue
        volts = _volts(reading, address, port)
        if volts is not None and volts >= _TOLD_FROM_V:
            yield _bare(reading, port, volts) if is_bare else _covered(port, volts)


def _volts(reading: Reading, address: str, port: RigPort) -> float | None:
    """The most on a plugged line: its ceiling, or what can arrive if nothing limits currents.

    An output that has no point is what the socket has that it feeds.
    """
    index, ceiling = reading.solution.graph.index, reading.solution.ceiling
    if port.link is None:
        return None
    line = (address, *other_ends(reading.rig, address))
    rows = (index[each] for each in line if each in index)
    found = [float(ceiling[row]) for row in rows if reading.solution.graph.points[row].unit == "V"]
    own = [volts for volts in found if math.isfinite(volts)][:1]
    arriving = [reading.arriving[each].total_v for each in line if each in reading.arriving]
    return max((*own, *arriving), default=None)


def _bare(reading: Reading, port: RigPort, volts: float) -> Finding:
    state = LimitState(20 * math.log10(AUDIO_TOUCH_V / volts), "dB", lambda: _doubts(reading, port))
    severity = state.severity(ample=_AMPLE_DB)
    if severity is Severity.FAILS:
        severity = Severity.HARM
    return _finding(port, volts, severity, SENTENCES[TOUCH, severity], state)


def _covered(port: RigPort, volts: float) -> Finding:
    """Told, so that nobody opens it while it plays; a margin only where there is one."""
    margin_db = 20 * math.log10(AUDIO_TOUCH_V / volts)
    state = LimitState(margin_db, "dB") if margin_db >= 0 else None
    return _finding(port, volts, Severity.FINE, SENTENCES[TOUCH, "covered"], state)


def _finding(
    port: RigPort, volts: float, severity: Severity, sentence: str, state: LimitState | None
) -> Finding:
    words = {
        "volts": format_si(volts, "V"),
        "port": place_words(port.label),
        "limit": format_si(AUDIO_TOUCH_V, "V"),
    }
    return Finding(
        code=TOUCH,
        severity=severity,
        where=port.address,
        what=sentence.format(**words),
        why=(
            Compared("volts at the contacts", volts, AUDIO_TOUCH_V, "V"),
            Compared("volts at the contacts, professional", volts, PROFESSIONAL_TOUCH_V, "V"),
        ),
        state=state,
        source="ceiling through the network, against what may be touched",
        basis="IEC 60065, 9.1.1.1; IEC 62368-1, Table E.1",
        ports=(port.address,),
        caution=None if severity is Severity.FINE else _CAUTION,
    )


def _doubts(reading: Reading, port: RigPort) -> Iterator[Doubt]:
    """The ceiling of the output that drives it."""
    for address in (port.address, *other_ends(reading.rig, port.address)):
        row = reading.solution.graph.index.get(address)
        edge = None if row is None else reading.solution.strongest_edges.get(row)
        figure: Figure | None = (
            None if edge is None else reading.solution.graph.points[edge.source].ceiling_figure
        )
        if figure is not None:
            yield Doubt(f"ceiling of what drives {place_words(port.label)}", "fact", figure, -1.0)
            return
