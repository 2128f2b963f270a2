"""What a solution, a check and an answer look like in a terminal and in a notebook."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields
from typing import Any, Final, Self

from markupsafe import escape

from levelhead.chain.solution import Solution
from levelhead.drawing.levels.diagram import level_diagram_of
from levelhead.drawing.levels.panels import Panel, panels_of
from levelhead.planning.asked.answer import Answer
from levelhead.planning.check import Check
from levelhead.quantity.formatting import format_level
from levelhead.show.addresses import item_of
from levelhead.show.model import Show
from levelhead.verdicts.told.severity import Severity

__all__ = ["Drawing", "PrintedAnswer", "PrintedCheck", "PrintedSolution"]

_NAME: Final = 15
_LEVEL: Final = 12
_ROOM: Final = 9
_AT: Final = 20
_CUT: Final = "..."
_HEAD: Final = (
    f"{'from':<{_NAME}}{'to':<{_NAME}}{'nominal':>{_LEVEL}}{'headroom':>{_ROOM}} "
    f"{'least at':<{_AT}}{'S/N':>6}"
)
_KEY: Final = "nominal where the way ends; least headroom and S/N (A-weighted) along it, in dB"


class Drawing(str):
    """An SVG drawing as text; a notebook shows it."""

    __slots__ = ()

    def _repr_svg_(self) -> str:
        return str(self)


@dataclass(frozen=True, eq=False, repr=False)
class PrintedSolution(Solution):
    """A solution that shows itself: a row for the strongest way of each source."""

    @classmethod
    def of(cls, solution: Solution) -> Self:
        """The same solution."""
        return cls(**_fields(solution))

    def __repr__(self) -> str:
        panels = panels_of(self)
        called = _called(self.rig.show)
        if not panels:
            return f"{called}: no way carries a signal"
        return "\n".join([called, _HEAD, *(_row(panel) for panel in panels), _KEY])

    def _repr_svg_(self) -> str:
        return level_diagram_of(self)

    def _repr_html_(self) -> str:
        """The diagram, and the table for those who copy figures."""
        return (
            f'<div style="overflow-x:auto">{level_diagram_of(self)}</div>'
            f"<details><summary>As text</summary><pre>{escape(repr(self))}</pre></details>"
        )


@dataclass(frozen=True, slots=True, repr=False)
class PrintedCheck(Check):
    """A check that shows itself: the verdict, then what is worse than fine."""

    @classmethod
    def of(cls, check: Check) -> Self:
        """The same check."""
        return cls(**_fields(check))

    def __repr__(self) -> str:
        return "\n".join(f"{word:<8}{text}" for word, text in self._rows())

    def _rows(self) -> Iterator[tuple[str, str]]:
        yield self.word, f"{_called(self.trial.show)}: {self._counted()}"
        for finding in self.shown(include_fine=False):
            yield finding.severity.value.upper(), finding.what
            for remedy in finding.remedies[:1]:
                yield "      >", f"{remedy.do}: then {remedy.verdict_after.value}."
        cautions = (finding.caution for finding in self.shown(include_fine=False))
        yield from (("CAUTION", each) for each in dict.fromkeys(cautions) if each)

    def _counted(self) -> str:
        found = [finding.severity for finding in self.findings]
        counts = [
            f"{found.count(severity)} {severity.value}"
            for severity in reversed(Severity)
            if severity in found
        ]
        return ", ".join(counts) or "nothing to judge"

    def _repr_html_(self) -> str:
        rows = "".join(
            f'<tr><th style="text-align:left;vertical-align:top">{escape(word.strip())}</th>'
            f'<td style="text-align:left">{escape(text)}</td></tr>'
            for word, text in self._rows()
        )
        return f"<table>{rows}</table>"


@dataclass(frozen=True, slots=True, repr=False)
class PrintedAnswer(Answer):
    """An answer that shows itself: both ends, the verdict and why."""

    @classmethod
    def of(cls, answer: Answer) -> Self:
        """The same answer."""
        return cls(**_fields(answer))

    def __repr__(self) -> str:
        rows = [
            ("From", self.from_label),
            ("Into", self.to_label),
            (self.verdict.value.upper(), self.why),
            *(("CAUTION", caution) for caution in self.cautions),
        ]
        return "\n".join(f"{word:<8}{text}" for word, text in rows)


def _fields(value: Any) -> dict[str, Any]:
    return {each.name: getattr(value, each.name) for each in fields(value) if each.init}


def _called(show: Show) -> str:
    return f"{show.name}, version {show.version}" + (f", {show.date}" if show.date else "")


def _row(panel: Panel) -> str:
    """One way: where it begins and ends, how loud it arrives, and where it is tight."""
    first, last = panel.points[0], panel.points[-1]
    arrives = "-" if last.nominal is None else format_level(last.nominal, last.unit)
    tight, noisy = panel.tightest, panel.noisiest
    room = "-" if tight is None or tight.headroom is None else f"{tight.headroom + 0.0:.1f}"
    over = "-" if noisy is None else f"{noisy.signal_over_noise:.1f}"
    return (
        f"{_cut(item_of(first.at), _NAME)}{_cut(item_of(last.at), _NAME)}{arrives:>{_LEVEL}}"
        f"{room:>{_ROOM}} {_cut('-' if tight is None else tight.at, _AT)}{over:>6}"
    )


def _cut(name: str, width: int) -> str:
    """A name in a column, with a space behind it; an address keeps its end, which says most."""
    kept = name if len(name) < width else _CUT + name[len(name) - width + len(_CUT) + 1 :]
    return f"{kept:<{width}}"
