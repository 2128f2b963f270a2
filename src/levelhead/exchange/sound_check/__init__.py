"""The order of sound check: what a person does, one step after another, read off a solved rig."""

from levelhead.exchange.sound_check.order import SoundCheck, sound_check
from levelhead.exchange.sound_check.steps import PARTS, Step

__all__ = ["PARTS", "SoundCheck", "Step", "sound_check"]
