"""An answer, arranged for the eye: what comes first, second and last. Nothing is judged here."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final, Self

from markupsafe import Markup

from levelhead.chain.levels import PointLevels
from levelhead.drawing.cable_picture import cable_picture
from levelhead.drawing.control_picture import fader_picture, knob_picture
from levelhead.drawing.figures import level_figure
from levelhead.drawing.lanes import room_words
from levelhead.drawing.levels.picture import NARROW, WIDE, level_picture
from levelhead.drawing.marks import WORST_FIRST, Mark, mark_of
from levelhead.web.views.figures import figure
from levelhead.web.views.finding import FindingView, Flip, Remedy

Json = Mapping[str, Any]

NOTHING_TO_SAY: Final = "Nothing here needs anybody's attention."


@dataclass(frozen=True, slots=True)
class Place:
    """One end of the question."""

    address: str
    label: str

    @classmethod
    def from_json(cls, place: Json | str) -> Self:
        """Address and label; a bare address is its own label."""
        if isinstance(place, str):
            return cls(place, place)
        return cls(str(place["address"]), str(place.get("label") or place["address"]))

    def typed(self, text: str, *, is_plain: bool) -> Place | None:
        """What a field shows of the text that was asked for; ``None`` is the text itself.

        A pick leaves the address with the conditions behind it. Words with conditions stay as they
        were typed: an address alone would drop them.
        """
        address, _, rest = text.strip().partition(" ")
        if address != self.address:
            return self if is_plain else None
        return Place(text.strip(), f"{self.label}, {rest}" if rest else self.label)


@dataclass(frozen=True, slots=True)
class Branch:
    """Something open that decides: the verdict for each way it can be."""

    input: str
    ways: tuple[tuple[str, str], ...]  # value, verdict

    @classmethod
    def from_json(cls, branch: Json | str) -> Self:
        """An input with its branches, or only its name."""
        if isinstance(branch, str):
            return cls(branch, ())
        ways = branch.get("branches") or ()
        return cls(
            input=str(branch["input"]),
            ways=tuple((str(way["value"]), str(way["verdict"])) for way in ways),
        )


@dataclass(frozen=True, slots=True)
class GainView:
    """The control: which, what to set, where that is on the panel, what else would do."""

    control: str
    set: str
    place: str
    range: str
    picture: Markup | None

    @property
    def name(self) -> str:
        """What stands on the panel, as far as the address tells."""
        return self.control.rpartition(".")[2].replace("-", " ").capitalize()

    @classmethod
    def from_json(cls, gain: Json) -> Self:
        """The gain: ``position`` from 0 to 1 sets the pointer, ``place`` says it in words."""
        unit = str(gain.get("unit") or "")
        control, setting = str(gain["control"]), figure(gain.get("set"), unit)
        low, high, position = gain.get("low"), gain.get("high"), gain.get("position")
        return cls(
            control=control,
            set=setting,
            place=str(gain.get("place") or ""),
            range=""
            if low is None or high is None
            else f"{figure(low, unit)} to {figure(high, unit)}",
            picture=None
            if position is None
            else _control_picture(position, str(gain.get("kind")), f"{control} at {setting}"),
        )


def _control_picture(position: float, kind: str, label: str) -> Markup:
    draw = fader_picture if kind == "fader" else knob_picture
    return draw(position, label=label)


@dataclass(frozen=True, slots=True)
class CableView:
    """The cable: what it is and its pins."""

    label: str
    length: str
    picture: Markup

    @classmethod
    def from_json(cls, cable: Json) -> Self:
        """Type or label, length and pins."""
        label, length_m = str(cable.get("label") or cable["type"]), cable.get("length_m")
        return cls(
            label=label if length_m is None else f"{label}, {length_m:g} m",
            length="" if length_m is None else f"{length_m:g} m",
            picture=cable_picture([(near, far) for near, far in cable.get("pins") or ()]),
        )


@dataclass(frozen=True, slots=True)
class LevelRow:
    """One line of the table under the picture."""

    at: str
    unit: str
    figures: tuple[str, ...]  # nominal, peak, ceiling, floor
    room: str

    @classmethod
    def of(cls, point: PointLevels) -> Self:
        """The figures of a point."""
        shown = (point.nominal, point.peak, point.ceiling, point.floor)
        figures = tuple(level_figure(level, point.unit) for level in shown)
        return cls(point.at, point.unit, figures, room_words(point))


@dataclass(frozen=True, slots=True)
class AnswerView:
    """Everything that the page shows of one answer."""

    verdict: str
    mark: Mark
    why: str
    from_: Place
    to: Place
    depends_on: tuple[Branch, ...]
    cautions: tuple[str, ...]
    findings: tuple[FindingView, ...]
    gain: GainView | None
    cable: CableView | None
    levels: tuple[LevelRow, ...]
    pictures: tuple[tuple[str, Markup], ...]  # class of the screen, drawing
    notes: tuple[str, ...]
    others: tuple[str, ...]
    conditions: tuple[tuple[str, str], ...]  # words, and what was done for them
    not_used: tuple[tuple[str, str], ...]  # words, and why they change nothing

    @property
    def remedies(self) -> tuple[Remedy, ...]:
        """Ways out, as ranked by the plan, each once."""
        return tuple(dict.fromkeys(r for finding in self.findings for r in finding.remedies))

    @property
    def flips(self) -> tuple[Flip, ...]:
        """What would turn the verdict, each once, worst finding first."""
        return tuple(dict.fromkeys(f for finding in self.findings for f in finding.flips))

    @property
    def questions(self) -> tuple[str, ...]:
        """What would settle the doubt, each once."""
        return _once(finding.settle_by for finding in self.findings)

    @classmethod
    def from_json(cls, answer: Json) -> Self:
        """Arrange an answer of the frozen form, worst finding first."""
        found = [FindingView.from_json(entry) for entry in answer.get("findings") or ()]
        findings = tuple(sorted(found, key=lambda finding: _rank(finding.severity)))
        points = [PointLevels.from_json(point) for point in _points(answer.get("levels"))]
        verdict = str(answer["verdict"])
        gain, cable = answer.get("gain"), answer.get("cable")
        return cls(
            verdict=verdict,
            mark=mark_of(verdict),
            why=str(answer.get("why") or (findings[0].what if findings else NOTHING_TO_SAY)),
            from_=Place.from_json(answer["from"]),
            to=Place.from_json(answer["to"]),
            depends_on=tuple(Branch.from_json(entry) for entry in answer.get("depends_on") or ()),
            cautions=_once([*_texts(answer, "cautions"), *(f.caution for f in findings)]),
            findings=findings,
            gain=None if gain is None else GainView.from_json(gain),
            cable=None if cable is None else CableView.from_json(cable),
            levels=tuple(LevelRow.of(point) for point in points),
            pictures=_pictures(points),
            notes=_texts(answer, "notes"),
            others=_texts(answer, "others"),
            conditions=_words_and(answer, "conditions", "does"),
            not_used=_words_and(answer, "not_used", "why"),
        )


def _rank(severity: str) -> int:
    """Place in the order; a severity that we do not know is never put behind the others."""
    return WORST_FIRST.index(severity) if severity in WORST_FIRST else 0


def _once(texts: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(text for text in texts if text))


def _texts(answer: Json, name: str) -> tuple[str, ...]:
    return tuple(str(entry) for entry in answer.get(name) or ())


def _words_and(answer: Json, name: str, key: str) -> tuple[tuple[str, str], ...]:
    return tuple((str(each["words"]), str(each[key])) for each in answer.get(name) or ())


def _points(levels: Sequence[Json] | Json | None) -> Sequence[Json]:
    """The points, whether they come alone or beside their paths."""
    if isinstance(levels, Mapping):
        return levels.get("points") or ()
    return levels or ()


def _pictures(points: Sequence[PointLevels]) -> tuple[tuple[str, Markup], ...]:
    """One drawing for phones, one for wide screens; the style sheet shows the one that fits."""
    if not points:
        return ()
    return (
        ("on-narrow", level_picture(points, width=NARROW)),
        ("on-wide", level_picture(points, width=WIDE)),
    )
