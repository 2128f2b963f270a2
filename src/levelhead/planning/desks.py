"""A mixer as a hand finds it: how one strip is listened to alone, how it is muted, its masters.

Read off what its switches do: one that leads a strip into a meter which nothing else comes out of
is for listening; one that takes the strip out of every mix mutes it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from levelhead.gear.plan import BlockInstance, ControlPlan, MixPlan
from levelhead.gear.scales import SCALES
from levelhead.rig.model import Rig, RigItem

__all__ = ["Bus", "Desk", "Send", "is_mixer"]

_FEW: Final = 2  # strips from which on something is a mixer


@dataclass(frozen=True, slots=True)
class Send:
    """A control that lets a strip into a bus; before the strip's own fader or behind it."""

    control: str
    strip: BlockInstance
    is_before_fader: bool


@dataclass(frozen=True, slots=True)
class Bus:
    """A sum of a mixer that strips are sent to, each by a control of its own."""

    block: BlockInstance
    sends: tuple[Send, ...]


@dataclass(frozen=True, eq=False)
class Desk:
    """One mixer of a rig."""

    rig: Rig
    item: RigItem

    def listening(self, block: BlockInstance) -> tuple[str, str] | None:
        """Switch and position by which a strip alone comes to a meter; ``None`` without one."""
        for control, options in self._options(block).items():
            for option, then in options.items():
                common = set.intersection(
                    *({mix.to_block for mix in each.mixes} for each in options.values())
                )
                added = {mix.to_block for mix in then.mixes} - common
                if any(self._is_for_listening(each) for each in added):
                    return control, option
        return None

    def muting(self, block: BlockInstance) -> tuple[str, str] | None:
        """Switch and position that take a strip out of every mix; ``None`` without one."""
        for control, options in self._options(block).items():
            silent = [option for option, then in options.items() if not self._is_heard(then)]
            if silent and len(silent) < len(options):
                return control, silent[0]
        return None

    def _is_heard(self, block: BlockInstance) -> bool:
        """Whether a strip leads into any mix but one for listening."""
        return any(not self._is_for_listening(mix.to_block) for mix in block.mixes)

    def pads(self, block: BlockInstance) -> tuple[str, ...]:
        """Switches of a strip that change nothing but its gain before its meter."""
        found = []
        for control, options in self._options(block).items():
            gains = [_gains_to_meter(then) for then in options.values()]
            is_one_way = all(each.keys() == gains[0].keys() for each in gains)
            if is_one_way and any(each != gains[0] for each in gains):
                found.append(control)
        return tuple(found)

    def low_cuts(self, block: BlockInstance) -> tuple[tuple[str, str], ...]:
        """Switches by which a strip gets a high-pass filter that it has not, each with where."""
        found = []
        for control, options in self._options(block).items():
            now = _high_passes(options[str(self.rig.setting(control))])
            more = [option for option, then in options.items() if _high_passes(then) > now]
            if more:
                found.append((control, more[0]))
        return tuple(found)

    def low_cut_dials(self, block: BlockInstance) -> dict[str, tuple[str, str] | None]:
        """Controls that set the frequency of a high-pass filter of a strip.

        Each with the switch and the position that let the filter in, where it is out.
        """
        found: dict[str, tuple[str, str] | None] = dict.fromkeys(self._corners(block))
        for control, options in self._options(block).items():
            for option, then in options.items():
                for dial in self._corners(then):
                    found.setdefault(dial, (control, option))
        return found

    def _corners(self, block: BlockInstance) -> list[str]:
        """Controls of the corners of the high-pass filters that a strip has."""
        stages = (stage for path in block.plan.paths for stage in path.stages)
        return [
            self.rig.control_of(self.item, block, each.corner_control)
            for stage in stages
            for each in stage.shaping.filters
            if each.kind == "high-pass" and each.corner_control is not None
        ]

    def _options(self, block: BlockInstance) -> dict[str, dict[str, BlockInstance]]:
        """A strip with each of its switches in each position, the others as they stand."""
        chosen = self.rig.chosen.get(self.item.id, {})
        shown = self.rig.show.items[self.item.id]
        found: dict[str, dict[str, BlockInstance]] = {}
        for name, control in block.plan.controls.items():
            local = block.address(name)
            if control.kind == "switch":
                plans = {
                    option: self.rig.book.plan(shown.type, {**chosen, local: option}, {})
                    for option in control.options
                }
                found[f"{self.item.id}.{local}"] = {
                    option: plan.block(block.name) for option, plan in plans.items()
                }
        return found

    def _is_for_listening(self, name: str) -> bool:
        """Whether a sum has a meter and leads nowhere."""
        for block in self.item.plan.blocks:
            if name in (block.name, block.block):
                paths = block.plan.paths
                has_meter = any(stage.meter for path in paths for stage in path.stages)
                return has_meter and not any(path.to_port or path.to_air for path in paths)
        return False

    def listening_meters(self) -> tuple[str, ...]:
        """Points of the meters on which a strip alone is shown."""
        return tuple(
            f"{self.item.id}.{block.address(stage.name)}"
            for block in self.item.plan.blocks
            if self._is_for_listening(block.name)
            for path in block.plan.paths
            for stage in path.stages
            if stage.meter is not None and any(each.kind == "mix" for each in path.origins)
        )

    def fader(self, block: BlockInstance) -> str | None:
        """The last level before a strip leaves: its fader."""
        found = None
        for path in block.plan.paths:
            for stage in path.stages:
                if stage.control is not None:
                    control = self.rig.control_of(self.item, block, stage.control)
                    if self.rig.controls[control].kind == "range":
                        found = control
        return found if found is not None and _may_close(self.rig.controls[found]) else None

    def gains(self, block: BlockInstance, port: str) -> tuple[str, ...]:
        """Controls of a strip from one of its inputs to its meter: pad, gain, trim."""
        found: list[str] = []
        for path in block.plan.paths:
            if not any(origin.port and origin.port.port == port for origin in path.origins):
                continue
            for stage in path.stages:
                if stage.control is not None:
                    found.append(self.rig.control_of(self.item, block, stage.control))
                if stage.meter is not None:
                    break
        fader = self.fader(block)
        ranges = [each for each in found if each != fader]
        return tuple(dict.fromkeys([*self.pads(block), *ranges]))

    def buses(self) -> tuple[Bus, ...]:
        """Sums that are sent to, in the order of the panel."""
        sends: dict[str, dict[str, Send]] = {}
        for strip in self.item.plan.blocks:
            for mix in strip.mixes:
                is_before = self._is_before_fader(strip, mix)
                for bus, control in self._send_controls(strip, mix):
                    sends.setdefault(bus, {})[control] = Send(control, strip, is_before)
        return tuple(
            Bus(block, tuple(sends[block.name].values()))
            for block in self.item.plan.blocks
            if block.name in sends
        )

    def _send_controls(self, strip: BlockInstance, mix: MixPlan) -> Iterator[tuple[str, str]]:
        """Sums of a crossing, each with the level that lets the strip in: one for all, or each."""
        if mix.control is None:
            return
        blocks = self.item.plan.blocks
        sums = [each.name for each in blocks if mix.to_block in (each.block, each.name)]
        for column, name in enumerate(sums, start=1):
            for local in (mix.control, f"{mix.control}{column}"):
                control = self.rig.control_of(self.item, strip, local)
                if control in self.rig.controls:
                    if self.rig.controls[control].kind == "range":
                        yield name, control
                    break

    def _is_before_fader(self, strip: BlockInstance, mix: MixPlan) -> bool:
        fader = self.fader(strip)
        for path in strip.plan.paths:
            for stage in path.stages:
                if stage.control is not None:
                    passed = self.rig.control_of(self.item, strip, stage.control)
                    if passed == fader:
                        return False
                if stage.name == mix.from_stage:
                    return True
        return False

    def masters(self) -> Mapping[str, tuple[BlockInstance, ...]]:
        """Levels behind the sums, with the sums that each of them sets."""
        found: dict[str, list[BlockInstance]] = {}
        for block in self.item.plan.blocks:
            for path in block.plan.paths:
                if not any(origin.kind == "mix" for origin in path.origins):
                    continue
                for stage in path.stages:
                    if stage.control is not None:
                        control = self.rig.control_of(self.item, block, stage.control)
                        if self.rig.controls[control].kind == "range":
                            found.setdefault(control, []).append(block)
        return {
            control: tuple({block.name: block for block in blocks}.values())
            for control, blocks in found.items()
        }


def is_mixer(item: RigItem) -> bool:
    """Whether an item sums strips with controls of their own, whatever it is called."""
    strips = {
        block.name
        for block, path in item.paths()
        if any(each.port is not None for each in path.origins)
        and any(stage.control is not None for stage in path.stages)
    }
    return len(strips) >= _FEW and any(block.mixes for block in item.plan.blocks)


def _gains_to_meter(block: BlockInstance) -> dict[tuple[object, ...], float]:
    """Fixed gains of a strip's stages as far as its meter, with where each path begins. [dB]"""
    found: dict[tuple[object, ...], float] = {}
    for number, path in enumerate(block.plan.paths):
        begins = tuple((each.kind, each.port) for each in path.origins)
        for stage in path.stages:
            gain_db = stage.gain_db.value if stage.gain_db else 0.0
            found[number, begins, stage.name] = gain_db
            if stage.meter is not None:
                break
    return found


def _may_close(control: ControlPlan) -> bool:
    """Whether a level goes down to nothing, as a fader does; a gain does not."""
    return control.low == float("-inf") or SCALES[control.scale].shape == "fader"


def _high_passes(block: BlockInstance) -> int:
    """High-pass filters on the ways of a strip."""
    stages = (stage for path in block.plan.paths for stage in path.stages)
    return sum(each.kind == "high-pass" for stage in stages for each in stage.shaping.filters)
