"""Notes beside an answer: figures worth knowing that are no verdict."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from levelhead.gear.scales import SCALES, position_words
from levelhead.planning.asked.little_rig import QuestionRig
from levelhead.planning.asked.pointers import gain_at
from levelhead.planning.trial import Trial
from levelhead.quantity.formatting import format_level, format_si
from levelhead.rig.settings import setting_text
from levelhead.show.addresses import item_of
from levelhead.show.edits import Set
from levelhead.verdicts.enough.volume import desk_end, digital_volumes
from levelhead.verdicts.read.gain_plan import PEAK_RESERVE_DB
from levelhead.verdicts.told.severity import Severity
from levelhead.verdicts.told.words import control_words, place_words

__all__ = ["notes_of"]

_LINE_LEVEL_DBU: Final = 4.0  # what line inputs of the trade expect, common practice
_QUARTER_DB: Final = -12.0  # a quarter of the numbers: 20 lg (1/4)
_WORTH_TELLING_DB: Final = 0.5
_OTHER_SIDE: Final = {"left": "right", "right": "left"}
_NOTHING_DB: Final = 40.0  # under the other side, crosstalk of an output: no signal
_LEAK_A: Final = 1e-5  # less is no current


def notes_of(trial: Trial, rig: QuestionRig) -> Iterator[str]:
    """All notes of an answer; beside harm, none."""
    if trial.judgement.verdict is not Severity.HARM:
        yield from _nothing_plays(trial, rig)
        yield from _step_of_first_item(trial, rig)
        yield from _level_of_first_item(trial, rig)
        yield from _turned_down(trial, rig)
        yield from _phantom_for_nothing(trial, rig)
        yield from _one_side(trial, rig)
        yield from _side_without(trial, rig)
        yield from _volumes(trial)


def _db(value: float) -> str:
    return format_level(abs(value), "dB")


def _nothing_plays(trial: Trial, rig: QuestionRig) -> Iterator[str]:
    """An output of which no level can be judged: what comes there is chosen in other gear."""
    solution, item = trial.solution, item_of(rig.from_)
    number = solution.graph.index.get(rig.from_)
    if number is None or item in solution.dead or solution.levels(rig.from_).nominal is not None:
        return
    if not any(solution.nominal[each.point] > 0 for each in solution.graph.entries):
        label = solution.rig.items[item].label
        yield (
            f"What {label} gives there is sent from other gear: nothing is told of levels. "
            "Ask for what sends it, or check the whole show."
        )


def _step_of_first_item(trial: Trial, rig: QuestionRig) -> Iterator[str]:
    """What an item that is fed does to the level, from its input to the output asked about."""
    solution = trial.solution
    item = item_of(rig.from_)
    fed_at = _fed_at(rig)
    if fed_at not in solution.graph.index or rig.from_ not in solution.graph.index:
        return
    into, out = solution.levels(fed_at).nominal, solution.levels(rig.from_).nominal
    if into is None or out is None or abs(out - into) < _WORTH_TELLING_DB:
        return
    way = "down" if out < into else "up"
    label = solution.rig.items[item].label
    yield f"{label} takes the level {way} by {_db(out - into)}, from its input to its output."


def _fed_at(rig: QuestionRig) -> str:
    """Where the first item is fed; nowhere, if it makes its own signal."""
    item = item_of(rig.from_)
    others = (end for link in rig.show.links if link != rig.link for end in link.ends.values())
    return next((end for end in others if item_of(end) == item and end != rig.from_), "")


def _level_of_first_item(trial: Trial, rig: QuestionRig) -> Iterator[str]:
    """How an item that makes its own signal stands to line level, with nothing plugged in."""
    solution = trial.solution
    item = item_of(rig.from_)
    is_origin = any(component.origin == item for component in solution.graph.components)
    is_metered = any(strip.port == rig.to for strip in trial.reading.strips)
    driven = solution.strongest_edges.get(solution.graph.index.get(rig.to, -1))
    if not is_origin or not is_metered or driven is None:
        return
    given = solution.levels(solution.graph.points[driven.source].address).nominal
    if given is None or abs(given - _LINE_LEVEL_DBU) < _WORTH_TELLING_DB:
        return
    way = "below" if given < _LINE_LEVEL_DBU else "above"
    yield (
        f"{solution.rig.items[item].label} gives {format_level(given, 'dBu')}, "
        f"{_db(given - _LINE_LEVEL_DBU)} {way} a source of {_LINE_LEVEL_DBU:+.0f} dBu."
    )


def _turned_down(trial: Trial, rig: QuestionRig) -> Iterator[str]:
    """Levels behind the socket that had to come down for the headroom on peaks."""
    controls, gain = trial.solution.rig.controls, gain_at(trial, rig)
    for address, setting in trial.show.settings.items():
        is_told = address in rig.show.settings or (gain is not None and address == gain.control)
        if is_told or controls[address].kind != "range":
            continue
        control = controls[address]
        setting_db = trial.solution.rig.setting_db(address)
        if setting_db < float(control.default) - _WORTH_TELLING_DB and item_of(address) == item_of(
            rig.to
        ):
            scale = SCALES[control.scale]
            travel = scale.travel(setting_db, low_db=control.low, high_db=control.high)
            words = control_words(trial.solution.rig, address)
            yield (
                f"{words[:1].upper()}{words[1:]} stands at {setting}, "
                f"{position_words(scale, travel)}, for {_db(PEAK_RESERVE_DB)} of room on peaks "
                "behind it."
            )


def _phantom_for_nothing(trial: Trial, rig: QuestionRig) -> Iterator[str]:
    """Phantom power on a plug of something that needs none, and what of it flows there."""
    solution = trial.solution
    port, item = solution.rig.ports[rig.to], solution.rig.items[item_of(rig.from_)]
    needs = any(way.kind == "phantom" for way in item.plan.powered_by)
    direct = solution.dc_at(rig.from_)
    if port.plan.figure("phantom") is None and port.switched.figure("phantom") is not None:
        yield (
            f"Phantom power is on at {place_words(port.label)}, on its XLR contacts alone: "
            "those of the jack have none."
        )
    if port.plan.figures.get("phantom") is None or needs or direct is None:
        return
    drawn = direct.current_a > _LEAK_A
    # a pin tied to ground takes current from the input all the same, past what is plugged
    flows = f"{format_si(direct.current_a, 'A')} of it flow" if drawn else "none of it flows"
    yield (
        f"Phantom power is on at {place_words(port.label)}. {item.label} needs none, and on this "
        f"lead {flows} into {item.label}. Off before a plug is moved."
    )


def _one_side(trial: Trial, rig: QuestionRig) -> Iterator[str]:
    """One of two outputs plugged alone, of a player whose sides differ."""
    ports, port = trial.solution.rig.ports, trial.solution.rig.ports.get(rig.from_)
    stem, _, side = rig.from_.rpartition("-")
    other = ports.get(f"{stem}-{_OTHER_SIDE.get(side, '')}")
    if port is None or other is None or other.link is not None:
        return
    paths = [path for block in port.item.plan.blocks for path in block.plan.paths]
    own = [each.generator for path in paths for each in path.origins if each.generator is not None]
    if any(each.shared < 1 for each in own) and not any(path.mono for path in paths):
        yield (
            f"Only the {side} side of {port.item.label} is plugged: what it has on the "
            f"{_OTHER_SIDE[side]} alone is not heard. A lead that sums both, or a second input."
        )


def _side_without(trial: Trial, rig: QuestionRig) -> Iterator[str]:
    """A stereo socket of which one side gets next to nothing."""
    solution, port = trial.solution, trial.solution.rig.ports[rig.to]
    sides = {each: f"{rig.to}.{each}" for each in port.plan.signals if each in _OTHER_SIDE}
    levels = {
        side: solution.levels(address).nominal
        for side, address in sides.items()
        if address in solution.graph.index
    }
    for side, level in levels.items():
        other = levels.get(_OTHER_SIDE[side])
        if other is not None and (level is None or level < other - _NOTHING_DB):
            yield (
                f"The {side} side of {place_words(port.label)} gets nothing by this lead: what "
                f"hangs behind it plays on the {_OTHER_SIDE[side]} alone. A lead that feeds both."
            )


def _volumes(trial: Trial) -> Iterator[str]:
    """For each digital volume: what a quarter of it would cost at the end of the chain, solved."""
    for volume, way in digital_volumes(trial.solution).items():
        control = trial.solution.rig.controls[volume]
        end = desk_end(trial.solution, way)
        now = trial.solution.rig.setting_db(volume)
        quarter = setting_text(now + _QUARTER_DB, control)
        after = trial.after([Set(volume, quarter)])
        if after is None or end is None:
            continue
        now_db, then_db = end.signal_over_noise, after.solution.levels(end.at).signal_over_noise
        if now_db is not None and then_db is not None:
            yield (
                f"{volume} at {setting_text(now, control)}: signal is {_db(now_db)} above noise at "
                f"{trial.solution.point(end.at).label}. At a quarter of that ({quarter}) it would "
                f"be {_db(then_db)}, {_db(now_db - then_db)} worse."
            )
