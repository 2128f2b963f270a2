"""What an entry of the gear book may say: the raw YAML, checked by pydantic.

Figures stay text here (``2 kohm`` or ``{value, range, source}``); ``levelhead.gear.plan`` turns
an entry, with its switches as they stand, into figures in SI.
"""

from __future__ import annotations

from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field, field_validator, model_validator

from levelhead.gear.circuits import CIRCUITS, figure_rules
from levelhead.gear.connectors import CONNECTORS

__all__ = [
    "AirEntry",
    "BlockEntry",
    "ControlEntry",
    "GeneratorEntry",
    "MeterEntry",
    "MixEntry",
    "OriginEntry",
    "PartEntry",
    "PathEntry",
    "PortEntry",
    "PowerEntry",
    "RawFigure",
    "StageEntry",
    "TypeEntry",
    "WireEntry",
]

Role = Literal["in", "out", "through", "insert", "loudspeaker", "air"]
RawFigure = str | dict[str, Any]
When = dict[str, str]


class _Entry(BaseModel):
    """Strict, frozen, and spelled with hyphens in the file."""

    model_config = ConfigDict(
        extra="forbid",
        frozen=True,
        alias_generator=lambda name: name.rstrip("_").replace("_", "-"),
        populate_by_name=True,
    )


class PortEntry(_Entry):
    """A port: where it plugs, what circuit stands behind it. Figures of the circuit are extra keys."""

    model_config = ConfigDict(extra="allow")

    socket: str
    role: Role
    label: str | None = None
    words: tuple[str, ...] = ()
    circuit: str | None = None
    joined: str | None = None
    signals: tuple[str, ...] = ()
    hole: str | None = None
    when: When | None = None

    @field_validator("socket")
    @classmethod
    def _known_socket(cls, value: str) -> str:
        if value not in CONNECTORS:
            raise ValueError(f"unknown connector '{value}'; one of {', '.join(sorted(CONNECTORS))}")
        return value

    @model_validator(mode="after")
    def _known_figures(self) -> PortEntry:
        if self.circuit is not None and self.circuit not in CIRCUITS:
            raise ValueError(f"unknown circuit '{self.circuit}'; one of {', '.join(CIRCUITS)}")
        rules = figure_rules(self.circuit)
        for name in self.figures:
            if name not in rules:
                raise ValueError(f"a port with {self.circuit or 'no circuit'} has no '{name}'")
        return self

    @property
    def figures(self) -> dict[str, RawFigure]:
        """The figures of the circuit, as written."""
        return dict(self.model_extra or {})


class ControlEntry(_Entry):
    """A control: a range of dB (or of a pan), or a switch with options that set figures."""

    range: tuple[str, str] | None = None
    default: str
    scale: str = "even"
    options: dict[str, dict[str, RawFigure]] | None = None
    repeat: int | None = None
    law: str | None = None
    label: str | None = None
    words: dict[str, tuple[str, ...]] = Field(default_factory=dict)

    @field_validator("options", mode="before")
    @classmethod
    def _list_of_options(cls, value: object) -> object:
        return {str(name): {} for name in value} if isinstance(value, list) else value

    @model_validator(mode="after")
    def _one_kind(self) -> ControlEntry:
        if (self.range is None) == (self.options is None):
            raise ValueError("a control has either a range or options")
        if self.options is not None and self.default not in self.options:
            raise ValueError(f"default '{self.default}' is none of the options")
        return self


class MeterEntry(_Entry):
    """A meter on a stage: its detector, and the level at which it reads zero."""

    kind: Literal["vu", "ppm", "peak"]
    zero: RawFigure


class SensitivityEntry(_Entry):
    """A loudspeaker's output: this level at 1 m on axis for this voltage."""

    level: RawFigure
    at: RawFigure


class StageEntry(_Entry):
    """One active step of a path; its name names the point behind it."""

    stage: str
    label: str | None = None
    control: str | None = None
    gain: RawFigure | None = None
    sensitivity: RawFigure | SensitivityEntry | None = None
    full_scale: RawFigure | None = None
    ceiling: RawFigure | None = None
    noise: RawFigure | None = None
    ein: RawFigure | None = None
    self_noise: RawFigure | None = None
    meter: MeterEntry | None = None
    when: When | None = None

    @field_validator("sensitivity", mode="before")
    @classmethod
    def _of_a_loudspeaker(cls, value: object) -> object:
        return SensitivityEntry(**value) if isinstance(value, dict) and "at" in value else value


class GeneratorEntry(_Entry):
    """A signal made inside the item: level of its loud passage, crest, spectrum."""

    level: RawFigure
    peak_to_rms: RawFigure
    spectrum: str = "programme"
    shared: RawFigure = "0"


class OriginEntry(_Entry):
    """Where a path may begin: a port, a generator, or the sum of the mix."""

    port: str | None = None
    generator: GeneratorEntry | None = None
    gain: RawFigure | None = None
    wins: Literal["plugged"] | None = None
    when: When | None = None


class PathEntry(_Entry):
    """A path from origins through stages to a port or to the air."""

    from_: Literal["air", "mix"] | str | tuple[OriginEntry, ...]
    stages: tuple[StageEntry, ...]
    to: str | None = None
    sides: tuple[str, ...] = ()
    when: When | None = None


class PartEntry(_Entry):
    """A passive part between pins, written ``port.pin``."""

    transformer: tuple[str, str, str, str] | None = None
    wire: tuple[str, str] | None = None
    resistor: tuple[str, str] | None = None
    capacitor: tuple[str, str] | None = None
    value: RawFigure | None = None
    ratio: RawFigure | None = None
    magnetising: RawFigure | None = None
    leakage: RawFigure | None = None
    primary: RawFigure | None = None
    secondary: RawFigure | None = None
    when: When | None = None

    @model_validator(mode="after")
    def _one_kind(self) -> PartEntry:
        kinds = [self.transformer, self.wire, self.resistor, self.capacitor]
        if sum(kind is not None for kind in kinds) != 1:
            raise ValueError("a part is one of transformer, wire, resistor, capacitor")
        if self.transformer and None in (self.ratio, self.magnetising):
            raise ValueError("a transformer needs a ratio and a magnetising inductance")
        if (self.resistor or self.capacitor) and self.value is None:
            raise ValueError("a resistor or capacitor needs a value")
        return self


class MixEntry(_Entry):
    """A crossing from one stage (of every strip of a block) into the sums of another block."""

    from_: str
    to: str
    control: str | None = None
    law: str | None = None
    gain: RawFigure | None = None
    when: When | None = None


class PowerEntry(_Entry):
    """One way of feeding an item: phantom at a port, a battery, the mains."""

    phantom: str | None = None
    battery: RawFigure | None = None
    mains: bool = False
    current: RawFigure | None = None
    minimum: RawFigure | None = None
    when: When | None = None


class AirEntry(_Entry):
    """A voice or an instrument: its level at a distance, rms of the loud passage."""

    level: RawFigure
    at: RawFigure = "1 m"
    peak_to_rms: RawFigure
    spectrum: str = "programme"
    distance: RawFigure = "30 cm"


class WireEntry(_Entry):
    """A cable's conductors, per metre."""

    core: RawFigure
    screen: RawFigure | None = None
    core_core: RawFigure | None = None
    core_screen: RawFigure | None = None
    source: str | None = None


class BlockEntry(_Entry):
    """A strip of an item: ports, controls and a path, once or repeated."""

    repeat: int | tuple[str, ...] | None = None
    like: str | None = None
    label: str | None = None
    ports: dict[str, PortEntry] = Field(default_factory=dict)
    controls: dict[str, ControlEntry] = Field(default_factory=dict)
    path: PathEntry | None = None
    parts: tuple[PartEntry, ...] = ()


class TypeEntry(BlockEntry):
    """A gear type. Only ``label`` and ``kind`` are always there; the rest says what it is."""

    label: str
    kind: Literal[
        "voice", "instrument", "microphone", "player", "box", "mixer", "processor",
        "amplifier", "loudspeaker", "cable", "adaptor", "feed",
    ]  # fmt: skip
    words: tuple[str, ...] = ()
    source: str
    earth: Literal["mains", "class-2", "none"] = "none"
    note: str | None = None
    blocks: dict[str, BlockEntry] = Field(default_factory=dict)
    mix: tuple[MixEntry, ...] = ()
    powered_by: tuple[PowerEntry, ...] = ()
    air: AirEntry | None = None
    ends: dict[str, str] | None = None
    wire: WireEntry | None = None
    map: dict[str, str | list[str]] | None = None
    usual_length: RawFigure | None = None

    @model_validator(mode="after")
    def _cables_have_a_map(self) -> TypeEntry:
        if (self.ends is None) != (self.map is None):
            raise ValueError("a cable has both ends and a map")
        for end, socket in (self.ends or {}).items():
            if socket not in CONNECTORS:
                raise ValueError(f"end '{end}': unknown connector '{socket}'")
        return self
