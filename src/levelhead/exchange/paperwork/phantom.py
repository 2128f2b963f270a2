"""Who has to feed phantom power, and what it would hurt when a switch is pressed as a list says.

Sheets that send a hand to a switch and a check that calls the same switch harm must say one thing.
"""

from __future__ import annotations

from collections.abc import Sequence

from levelhead.exchange.paperwork.input_rows import Rows
from levelhead.exchange.paperwork.work import Paperwork, numbers_text
from levelhead.gear.feeding import phantom_switches
from levelhead.planning.trial import Trial
from levelhead.show.edits import Edit, Set
from levelhead.verdicts.harm.direct import check_direct_current
from levelhead.verdicts.told.finding import Finding
from levelhead.verdicts.told.severity import Severity

__all__ = ["channels_text", "hurt_by_phantom", "mend_first_words", "phantom_needed"]


def phantom_needed(work: Paperwork) -> dict[str, list[str]]:
    """Ids of the items that have to feed phantom power, each with the strips that need it."""
    rows = [row for row in Rows(work.rig).all().values() if row.phantom_needed]
    fed = {row.chain[0] for row in rows if row.phantom == "on"}  # of two behind a splitter
    found: dict[str, list[str]] = {}
    for row in rows:
        if row.phantom == "on" or row.chain[0] not in fed:
            found.setdefault(row.item, []).append(row.name)
    return found


def channels_text(names: Sequence[str]) -> str:
    """Channel names drawn together where they only differ by their number."""
    numbers = [name.removeprefix("ch") for name in names]
    if all(number.isdigit() for number in numbers):
        return f"ch {numbers_text(map(int, numbers))}"
    return ", ".join(dict.fromkeys(names))


def hurt_by_phantom(work: Paperwork, item: str) -> tuple[str, ...]:
    """Sentences on what is hurt by the phantom power that strips of an item need; none if nothing.

    The copper is solved with the switches on and with them off: what is there on both sides is due
    to another supply.
    """
    trial = work.check.trial
    on, off = (_switched(work, item, is_on=each) for each in (True, False))
    hurt = {each.key: each.what for each in _harm(trial, on)}
    if hurt:
        elsewhere = {each.key for each in _harm(trial, off)}
        hurt = {key: what for key, what in hurt.items() if key not in elsewhere}
    return tuple(dict.fromkeys(hurt.values()))


def _harm(trial: Trial, edits: tuple[Edit, ...]) -> list[Finding]:
    after = trial.after(edits) if edits else trial
    found = () if after is None else check_direct_current(after.found.reading)
    return [each for each in found if each.severity is Severity.HARM]


def _switched(work: Paperwork, item: str, *, is_on: bool) -> tuple[Edit, ...]:
    """The switches of strips that need phantom power, where they stand otherwise."""
    rig = work.rig
    known = phantom_switches(rig.book.entry(rig.show.items[item].type)).values()
    positions = {each.control: each.on if is_on else each.off for each in known}
    rows = (each for each in Rows(rig).all().values() if each.item == item and each.phantom_needed)
    wanted = {each.phantom_control for each in rows if each.phantom_control in rig.controls}
    return tuple(
        Set(control, positions[control.rpartition(".")[2]])
        for control in sorted(wanted)
        if rig.setting(control) != positions[control.rpartition(".")[2]]
    )


def mend_first_words(hurt: Sequence[str]) -> str:
    """What stands before "phantom power on" on a list; empty where nothing is hurt."""
    more = f" And {len(hurt) - 1} more." if len(hurt) > 1 else ""
    return f"mend first: {hurt[0]}{more} Only then: " if hurt else ""
