"""Start-up and shut-down on one page, for somebody who has never seen this rig."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from levelhead.exchange.paperwork.phantom import (
    channels_text,
    hurt_by_phantom,
    mend_first_words,
    phantom_needed,
)
from levelhead.exchange.paperwork.turns import Turns, turns_of
from levelhead.exchange.paperwork.work import Paperwork, listed
from levelhead.exchange.sheet.plan import SheetPlan
from levelhead.exchange.sheet.values import Column
from levelhead.rig.model import RigItem
from levelhead.verdicts.amplifiers.driven import CAUTION as LOUDSPEAKER_CAUTION
from levelhead.verdicts.hum.words import CAUTION as EARTH_CAUTION
from levelhead.verdicts.people.words import EXPOSURE_CAUTION

__all__ = ["START_UP"]

COLUMNS: Final = (
    Column("step", "Step", 0.6, "right"),
    Column("do", "Do", 8.0),
    Column("part", "Part", 1.0),
)
_ON: Final = "Start-up"
_OFF: Final = "Shut-down"
_NAMED: Final = 6  # items that a step names; more would not fit the page


def _rows(work: Paperwork) -> Iterator[dict[str, str]]:
    for part, steps in ((_ON, _on(work)), (_OFF, _off(work))):
        for number, words in enumerate(steps, start=1):
            yield {"part": part, "step": str(number), "do": words}


def _on(work: Paperwork) -> Iterator[str]:
    """Steps of switching on, from what is plugged to what is loud."""
    turns, phantom = turns_of(work), _phantom(work)
    yield (
        "Plug everything while it is off. Faders, masters and levels of loudspeakers down; "
        "channels muted."
    )
    packs = [item for item in work.rig.items.values() if _has_pack(item, turns)]
    if packs:
        yield f"Batteries in, fresh or charged: {_names(work, packs)}."
    if turns.batteries:
        yield f"Switch on: {_names(work, turns.batteries)}."
    if turns.before:
        yield f"Sources, players and boxes on: {_at_outlets(work, turns.before)}."
    if turns.mixers:
        yield f"On: {_at_outlets(work, turns.mixers)}. Wait until it is ready."
    if phantom and not _feeds_last(work, turns):
        yield _phantom_on(work, phantom)
    if turns.behind:
        yield f"Processors, effects and recorders on: {_at_outlets(work, turns.behind)}."
    if turns.drivers:
        last, *onward = (_at_outlets(work, turn) for turn in turns.drivers_in_turn)
        yield f"Last, {_driving_words(work, turns)} on: {last}."
        yield from (f"Then: {words}." for words in onward)
        if phantom and _feeds_last(work, turns):
            yield _phantom_on(work, phantom)
        yield "Levels of amplifiers and loudspeakers up to where the output list has them."
    yield (
        "Something quiet first: listen to one loudspeaker after another. Then open one channel "
        "after another, with the gain of the input list."
    )


def _off(work: Paperwork) -> Iterator[str]:
    """Steps of switching off: what is loud goes first."""
    turns, phantom = turns_of(work), _phantom(work)
    yield "Stop recordings and wait until they are written. Mute channels, masters down."
    if phantom and _feeds_last(work, turns):
        yield _phantom_off(phantom)
    if turns.drivers:
        first, *onward = (_names(work, turn) for turn in reversed(turns.drivers_in_turn))
        then = "".join(f" Then: {words}." for words in onward)
        yield (
            f"First, {_driving_words(work, turns)} off: {first}. Wait until they are silent.{then}"
        )
    if turns.behind:
        yield f"Off: {_names(work, turns.behind)}."
    if phantom and not _feeds_last(work, turns):
        yield _phantom_off(phantom)
    if turns.mixers:
        digital = [item for item in turns.mixers if item.plan.clock is not None]
        other = [item for item in turns.mixers if item.plan.clock is None]
        down = [f"Shut down in its menu, then off: {_names(work, digital)}."] if digital else []
        off = [f"Off: {_names(work, other)}."] if other else []
        yield " ".join([*down, *off])
    if turns.before or turns.batteries:
        yield f"Off: {_names(work, (*turns.before, *turns.batteries))}."
    packs = [item for item in work.rig.items.values() if _has_pack(item, turns)]
    if packs:
        yield f"Batteries out, packs onto their chargers: {_names(work, packs)}."
    yield "Only now pull plugs."


def _phantom_on(work: Paperwork, phantom: Sequence[str]) -> str:
    hurt = [each for item in phantom_needed(work) for each in hurt_by_phantom(work, item)]
    words = mend_first_words(hurt)
    return (
        f"{words[:1].upper()}{words[1:]}Phantom 48 V on, channels still muted: "
        f"{'; '.join(phantom)}. Wait a few seconds before a channel is opened."
    )


def _phantom_off(phantom: Sequence[str]) -> str:
    return (
        f"Phantom 48 V off, channels muted: {'; '.join(phantom)}. Wait half a minute before "
        "microphones are pulled."
    )


def _feeds_last(work: Paperwork, turns: Turns) -> bool:
    """Whether phantom power comes from something that drives loudspeakers: a mixer that does."""
    return any(item.id in phantom_needed(work) for item in turns.drivers)


def _driving_words(work: Paperwork, turns: Turns) -> str:
    """What drives loudspeakers, in a word."""
    has_mixer = any(
        item.id in work.mixers and not any(path.to_air for _, path in item.paths())
        for item in turns.drivers
    )
    more = ", and mixers with amplifiers in them" if has_mixer else ""
    return f"amplifiers and powered loudspeakers{more}"


def _has_pack(item: RigItem, turns: Turns) -> bool:
    """Whether batteries go into it, or come out of a charger for it."""
    return bool(item.plan.batteries) or item in turns.batteries


def _at_outlets(work: Paperwork, items: Sequence[RigItem]) -> str:
    """Items by the outlet that they hang on, so that it is said once: ``A, B (stage left)``."""
    outlets: dict[str, list[RigItem]] = {}
    for item in items:
        outlets.setdefault(work.feeding(item), []).append(item)
    return "; ".join(
        _names(work, those) + (f" ({outlet})" if outlet else "")
        for outlet, those in outlets.items()
    )


def _names(work: Paperwork, items: Sequence[RigItem]) -> str:
    """Labels; many of them only counted by their type."""
    if len(items) <= _NAMED:
        return listed(work.called(item) for item in items)
    counted: dict[str, int] = {}
    for item in items:
        counted[item.plan.label] = counted.get(item.plan.label, 0) + 1
    named = [f"{count} x {label}" for label, count in counted.items()]
    more = [f"{sum(list(counted.values())[_NAMED:])} more"] if len(named) > _NAMED else []
    return "; ".join([*named[:_NAMED], *more])


def _phantom(work: Paperwork) -> list[str]:
    """Who needs phantom power, by the item that feeds it."""
    return [
        f"{work.called(work.rig.items[item])} ({channels_text(names)})"
        for item, names in phantom_needed(work).items()
    ]


def _cautions(work: Paperwork) -> tuple[str, ...]:
    has_lines = any(
        port.plan.role == "loudspeaker" and port.address in work.lead_at
        for port in work.rig.ports.values()
    )
    return (EARTH_CAUTION, *([LOUDSPEAKER_CAUTION] if has_lines else []), EXPOSURE_CAUTION)


START_UP: Final = SheetPlan(
    name="start-up",
    title="Start-up and shut-down",
    about="the order of switching on one page, for a substitute",
    columns=COLUMNS,
    rows=_rows,
    group_by="part",
    has_ticks=True,
    cautions=_cautions,
)
