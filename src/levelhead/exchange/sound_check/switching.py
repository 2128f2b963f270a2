"""Power in its order, everything at rest, phantom power: before a note is played."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from levelhead.exchange.paperwork.phantom import (
    channels_text,
    hurt_by_phantom,
    mend_first_words,
    phantom_needed,
)
from levelhead.exchange.paperwork.turns import Turns
from levelhead.exchange.paperwork.work import Paperwork
from levelhead.exchange.sound_check.sounding import Sounding
from levelhead.exchange.sound_check.steps import Set, Step, few_of, set_of
from levelhead.planning.desks import Desk
from levelhead.rig.model import RigItem
from levelhead.show.addresses import item_of
from levelhead.verdicts.amplifiers.driven import CAUTION as LOUDSPEAKER_CAUTION

__all__ = ["phantom_steps", "power_down_steps", "power_up_steps", "rest_steps"]

_PHANTOM_CAUTION: Final = (
    "Switching phantom power thumps: channels muted, headphones off the ears. Nothing is plugged "
    "or pulled while it is on."
)


def power_up_steps(sounding: Sounding) -> Iterator[Step]:
    """From the source to the loudspeaker: what drives loudspeakers last."""
    work, turns = sounding.work, sounding.turns
    yield Step("power-up", "Plug everything while it is off; levels of loudspeakers down.")
    for words, items in (
        ("Batteries in, switch on", turns.batteries),
        ("On: sources, players and boxes", turns.before),
        ("On", turns.mixers),
        ("On: processors, effects and recorders", turns.behind),
    ):
        if items:
            yield Step("power-up", f"{words}: {_names(work, items)}.", at=items[0].id)
    if turns.drivers:
        last = ", then ".join(_names(work, turn) for turn in turns.drivers_in_turn)
        yield Step(
            "power-up",
            f"Last: {last}.",
            at=turns.drivers[0].id,
            caution=_loudspeaker_caution(work),
        )


def power_down_steps(sounding: Sounding) -> Iterator[Step]:
    """The other way round."""
    work, turns = sounding.work, sounding.turns
    yield Step("power-down", "Channels muted, masters down, recordings stopped and written.")
    if turns.drivers:
        first = ", then ".join(_names(work, turn) for turn in reversed(turns.drivers_in_turn))
        yield Step(
            "power-down",
            f"First off: {first}. Wait until they are silent.",
            at=turns.drivers_in_turn[-1][0].id,
        )
    rest = _others(turns)
    if rest:
        yield Step(
            "power-down",
            f"{'Then off' if turns.drivers else 'Off'}: {_names(work, rest)}. Only now pull plugs.",
            at=rest[0].id,
        )


def _others(turns: Turns) -> tuple[RigItem, ...]:
    return (*turns.behind, *turns.mixers, *turns.before, *turns.batteries)


def _loudspeaker_caution(work: Paperwork) -> str | None:
    has_lines = any(
        port.plan.role == "loudspeaker" and port.address in work.lead_at
        for port in work.rig.ports.values()
    )
    return LOUDSPEAKER_CAUTION if has_lines else None


def _names(work: Paperwork, items: Sequence[RigItem]) -> str:
    """Labels; of many only how many more there are."""
    return ", ".join(few_of([work.called(item) for item in items]))


def rest_steps(sounding: Sounding) -> Iterator[Step]:
    """Strips shut, masters and loudspeakers where the plan has them."""
    work = sounding.work
    for name in work.mixers:
        desk = Desk(work.rig, work.rig.items[name])
        own = [each for each in sounding.channels if each.ports[0].item.id == name]
        if not own:
            continue
        called = work.called(desk.item)
        muted = " Muted." if any(desk.muting(each.ports[0].block) for each in own[:1]) else ""
        yield Step(
            "at-rest",
            f"{called}: channel faders, sends and gains down, equalisers flat.{muted}",
            at=name,
        )
        masters = [
            set_of(work.rig, control)
            for control, blocks in desk.masters().items()
            if any(_is_used(work, desk, block.name) for block in blocks)
        ]
        if masters:
            yield Step(
                "at-rest",
                f"{called}, masters: {'; '.join(_master_words(each) for each in masters)}.",
                at=name,
                sets=tuple(masters),
            )
    levels = _loudspeaker_levels(sounding)
    if levels:
        told = "; ".join(f"{label}: {each.words}" for label, each in levels)
        yield Step(
            "at-rest",
            f"Amplifiers and powered loudspeakers up to their marks: {told}.",
            at=levels[0][1].control,
            sets=tuple(each for _, each in levels),
        )


def _is_used(work: Paperwork, desk: Desk, block: str) -> bool:
    """Whether something is plugged into an output of a sum, or it leads out by another block."""
    return _leads_out(work, desk.item.id, block) or any(
        port.item.id == desk.item.id
        and port.plan.role == "out"
        and (port.block.name == block or not port.block.name)
        and port.address in work.lead_at
        and _leaves_by(desk, block, port.plan.name, port.block.name)
        for port in work.rig.ports.values()
    )


def _leads_out(work: Paperwork, item: str, block: str) -> bool:
    """Whether what sounds in a block gets out of its item."""
    reach = work.check.trial.reading.reach
    addresses = reach.solution.graph.wiring.addresses
    own = [
        number
        for number, each in enumerate(addresses)
        if each.startswith(f"{item}.{block}.") and reach.solution.nominal[number] > 0
    ]
    return any(item_of(addresses[number]) != item for number in reach.onward(own))


def _leaves_by(desk: Desk, block: str, port: str, of_block: str) -> bool:
    found = next(each for each in desk.item.plan.blocks if each.name == block)
    if of_block and of_block != block:
        return False
    return any(path.to_port is not None and path.to_port.port == port for path in found.plan.paths)


def _master_words(each: Set) -> str:
    """With the sum before it, unless its label names that: ``aux1 master 0 dB``."""
    block = each.control.partition(".")[2].rpartition(".")[0]
    words = each.words.split(" ")
    if not block or block in words:
        return each.words
    kind = block.rstrip("0123456789")
    return " ".join([block, *(words[1:] if words[0] == kind else words)])


def _loudspeaker_levels(sounding: Sounding) -> list[tuple[str, Set]]:
    """Level controls of what drives loudspeakers, channels in use only; a mixer has its masters."""
    work, found = sounding.work, dict[str, tuple[str, Set]]()
    for item in (each for each in sounding.turns.drivers if each.id not in work.mixers):
        for block, path in item.paths():
            used = any(
                origin.port is not None
                and f"{item.id}.{_port_of(block.name, origin.port.port, block.plan.ports)}"
                in work.lead_at
                for origin in path.origins
            ) or any(origin.kind == "mix" for origin in path.origins)
            for stage in path.stages:
                if used and stage.control is not None:
                    control = work.rig.control_of(item, block, stage.control)
                    if work.rig.controls[control].kind == "range":
                        label = " ".join(part for part in (work.called(item), block.name) if part)
                        found[control] = (label, set_of(work.rig, control))
    return list(found.values())


def _port_of(block: str, port: str, own: object) -> str:
    return f"{block}.{port}" if block and port in own else port  # type: ignore[operator]


def phantom_steps(work: Paperwork) -> Iterator[Step]:
    """Who needs it, by the item that feeds it; with the channels still muted."""
    for name, blocks in phantom_needed(work).items():
        item = work.rig.items[name]
        hurt = hurt_by_phantom(work, name)
        yield Step(
            "phantom",
            f"{work.called(item)}: {mend_first_words(hurt)}phantom 48 V on "
            f"({channels_text(blocks)}), channels still muted. Wait a few seconds before "
            "the first is opened.",
            at=name,
            caution=" ".join([*hurt, _PHANTOM_CAUTION]),
        )
