"""Controls of an entry: knobs, faders, pans and switches."""

from __future__ import annotations

from collections.abc import Iterator

from pydantic import Field, field_validator, model_validator

from levelhead.gear.figures import RawFigure
from levelhead.gear.model.base import Entry, Times
from levelhead.gear.names import did_you_mean
from levelhead.gear.scales import SCALES

__all__ = ["ControlEntry"]


class ControlEntry(Entry):
    """A control: a range of dB (or of a pan), or a switch with options that set figures.

    A range may also be of a frequency, a time or a level: ``[20 Hz, 400 Hz]``.
    ``words`` are phrases by which people name an option: ``{mic: [mic input]}``. What is
    ``played`` is the musician's, who turns it all evening.
    """

    range: tuple[str, str] | None = None
    default: str
    scale: str = "even"
    options: dict[str, dict[str, RawFigure]] | None = None
    repeat: Times | tuple[str, ...] | None = None
    law: str | None = None
    label: str | None = None
    words: dict[str, tuple[str, ...]] = Field(default_factory=dict)
    played: bool = False

    def names(self, name: str) -> Iterator[str]:
        """Names under which it stands on the panel: ``send`` four times is send1 to send4."""
        if self.repeat is None:
            yield name
        elif isinstance(self.repeat, tuple):
            yield from (f"{name}-{each}" for each in self.repeat)
        else:
            yield from (f"{name}{number}" for number in range(1, self.repeat + 1))

    @field_validator("options", mode="before")
    @classmethod
    def _list_of_options(cls, value: object) -> object:
        return {str(name): {} for name in value} if isinstance(value, list) else value

    @field_validator("scale")
    @classmethod
    def _known_scale(cls, value: str) -> str:
        if value not in SCALES:
            raise ValueError(f"unknown scale '{value}'. {did_you_mean(value, SCALES)}")
        return value

    @model_validator(mode="after")
    def _one_kind(self) -> ControlEntry:
        if (self.range is None) == (self.options is None):
            raise ValueError("a control has either a range or options")
        return self

    @model_validator(mode="after")
    def _known_options(self) -> ControlEntry:
        if self.options is None:
            return self
        for option in (self.default, *self.words):
            if option not in self.options:
                hint = did_you_mean(option, self.options)
                raise ValueError(f"'{option}' is none of the options. {hint}")
        return self
