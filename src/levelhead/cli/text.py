"""Reports in plain text, 80 columns, no colour."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from levelhead.chain.solution import PointLevels, Solution
from levelhead.gear.book import GearBook
from levelhead.gear.compile import controls_of
from levelhead.planning.ask import Answer
from levelhead.planning.check import Check
from levelhead.quantity.formatting import format_si
from levelhead.verdicts.finding import Finding, Severity

__all__ = ["answer_report", "check_report", "gear_entry", "gear_list", "levels_table"]

WIDTH: Final = 80
_TRACK: Final = 30  # characters of the level picture
_TRACK_STEP_DB: Final = 5.0
_AT_WIDTH: Final = 32


def _wrapped(text: str, *, first: str = "", rest: str = "") -> str:
    return textwrap.fill(
        text, WIDTH, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False
    )


def _number(value: float | None, *, plus: bool = True) -> str:
    if value is None:
        return "-"
    return f"{value:+.1f}" if plus else f"{value:.1f}"


# --- levels ---


def levels_table(solution: Solution, points: Sequence[PointLevels]) -> str:
    """Points in signal order, item by item."""
    lines = [
        f"{'point':<{_AT_WIDTH}}{'nominal':>8}{'peak':>8}{'ceiling':>8}{'room':>7}{'floor':>8}  unit"
    ]
    item = ""
    for point in points:
        owner = point.at.partition(".")[0]
        if owner != item:
            item = owner
            known = solution.rig.items.get(owner)
            lines.append(f"\n{known.label if known else owner}")
        lines.append(
            f"{_shortened(point.at):<{_AT_WIDTH}}{_number(point.nominal):>8}{_number(point.peak):>8}"
            f"{_number(point.ceiling):>8}{_number(point.headroom, plus=False):>7}"
            f"{_number(point.floor):>8}  {point.unit}"
        )
    return "\n".join(lines)


def _shortened(address: str) -> str:
    room = _AT_WIDTH - 3
    return f"  {address}" if len(address) <= room else f"  ..{address[len(address) - room + 2 :]}"


# --- findings ---


def check_report(check: Check, *, include_fine: bool) -> str:
    """Worst first; alike findings are told once."""
    show = check.trial.show
    findings = check.shown(include_fine=include_fine)
    counts = ", ".join(
        f"{sum(each.severity is severity for each in check.findings)} {severity.value}"
        for severity in reversed(Severity)
    )
    lines = [f"{show.name}: {check.verdict.value.upper()}  ({counts})"]
    for branch in check.depends_on:
        lines.append(_wrapped(f"Depends on {branch.says}.", rest="  "))
    for finding, others in _folded(findings):
        lines += ["", *_finding_lines(finding, others)]
    lines += _caution_lines(findings)
    return "\n".join(lines)


def _folded(findings: Iterable[Finding]) -> Iterator[tuple[Finding, list[Finding]]]:
    """Findings of one code and severity at ports of one name of one item, together."""
    groups: dict[tuple[str, str, str, str], list[Finding]] = {}
    for finding in findings:
        parts = finding.where.split(".")
        kind = parts[1].rstrip("0123456789") if len(parts) > 2 else ""
        groups.setdefault(
            (finding.code, finding.severity.value, parts[0] + kind, parts[-1]), []
        ).append(finding)
    for group in groups.values():
        yield group[0], group[1:]


def _finding_lines(finding: Finding, others: Sequence[Finding]) -> list[str]:
    mark = finding.severity.value.upper()
    lines = [_wrapped(finding.what, first=f"{mark:<6} ", rest=" " * 7)]
    if others:
        places = ", ".join(other.where for other in others)
        lines.append(_wrapped(f"The same at {places}.", first=" " * 7, rest=" " * 7))
    for flip in finding.flips:
        text = f"turns if {flip.input} is {flip.to} (taken as {flip.from_})"
        lines.append(_wrapped(text, first=" " * 7 + "? ", rest=" " * 9))
    for remedy in finding.remedies:
        text = f"{remedy.do}. Then: {remedy.verdict_after.value}."
        lines.append(_wrapped(text, first=" " * 7 + "> ", rest=" " * 9))
    if finding.settle_by is not None and finding.severity is not Severity.HARM:
        lines.append(_wrapped(finding.settle_by, first=" " * 7 + "  ", rest=" " * 9))
    return lines


def _caution_lines(findings: Iterable[Finding]) -> list[str]:
    cautions = dict.fromkeys(each.caution for each in findings if each.caution)
    return [
        line
        for caution in cautions
        for line in ("", _wrapped(f"CAUTION {caution}", rest="        "))
    ]


# --- one question ---


def answer_report(answer: Answer, *, include_fine: bool) -> str:
    """One screen: verdict, why, cable, gain, level picture, what would flip it, what else works."""
    lines = [f"{answer.from_label}  ->  {answer.to_label}", ""]
    lines.append(_wrapped(answer.why, first=f"{answer.verdict.value.upper()}: ", rest="  "))
    lines += [_wrapped(f"Depends on {branch.says}.", rest="  ") for branch in answer.depends_on]
    lines += _cable_lines(answer)
    if answer.gain is not None:
        gain = answer.gain
        lines.append(
            _wrapped(
                f"{gain.set:+.1f} dB, {gain.place}; sensible from {gain.low:+.0f} to {gain.high:+.0f} dB "
                f"({gain.control})",
                first="Gain:   ",
                rest="        ",
            )
        )
    lines += ["", *_picture(answer.levels)] if answer.levels else []
    shown = [each for each in answer.findings if include_fine or each.severity is not Severity.FINE]
    for finding, others in _folded(shown):
        lines += ["", *_finding_lines(finding, others)]
    lines += ["", *(_wrapped(note) for note in answer.notes)] if answer.notes else []
    lines += _caution_lines(answer.findings)
    if answer.others:
        lines += ["", _wrapped(f"Also fits what you typed: {'; '.join(answer.others)}.")]
    return "\n".join(lines)


def _cable_lines(answer: Answer) -> list[str]:
    cable = answer.cable
    if cable is None:
        return []
    pins = ", ".join(f"{near} to {far}" for near, far in cable.pins)
    length = f", {cable.length_m:g} m" if cable.length_m else ""
    return [_wrapped(f"{cable.label}{length} ({pins})", first="Cable:  ", rest="        ")]


def _picture(points: Sequence[PointLevels]) -> list[str]:
    """Floor, nominal, peak and ceiling of each point on one scale: ``....=====>   |``."""
    lines = [f"{'':<28} nominal   peak    room  floor ....=== nominal >> peak | ceiling"]
    tops = [value for point in points for value in (point.ceiling, point.peak) if value is not None]
    top = max(tops, default=0.0)
    for point in points:
        if point.nominal is None:
            continue
        shift = top if point.unit == "dBu" else max(
            value for value in (point.ceiling, point.peak, point.nominal) if value is not None
        )  # fmt: skip
        name = point.at if len(point.at) <= 27 else f"..{point.at[-25:]}"
        lines.append(
            f"{name:<28}{_number(point.nominal):>7}{_number(point.peak):>7}"
            f"{_number(point.headroom, plus=False):>7}  {_track(point, shift)} {point.unit}".rstrip()
        )
    return lines


def _track(point: PointLevels, top: float) -> str:
    """One line of the picture; its right end is the highest level shown."""

    def place(level: float | None) -> int | None:
        if level is None:
            return None
        return min(max(round(_TRACK - 2 + (level - top) / _TRACK_STEP_DB), 0), _TRACK - 1)

    track = [" "] * _TRACK
    floor, nominal, peak, ceiling = (
        place(level) for level in (point.floor, point.nominal, point.peak, point.ceiling)
    )
    assert nominal is not None
    for cell in range(floor or 0, nominal + 1):
        track[cell] = "="
    if floor is not None:
        for cell in range(floor):
            track[cell] = "."
    for cell in range(nominal + 1, (peak if peak is not None else nominal) + 1):
        track[cell] = ">"
    if ceiling is not None:
        track[ceiling] = "|"
    return "".join(track)


# --- gear ---


def gear_list(book: GearBook, ids: Sequence[str]) -> str:
    """Types by kind."""
    kinds = dict.fromkeys(book.entry(each).kind for each in ids)
    lines: list[str] = []
    for kind in kinds:
        lines += ["" if lines else f"{len(ids)} types", f"{kind}"]
        lines += [
            f"  {each:<28}{book.entry(each).label}"[:WIDTH]
            for each in ids
            if book.entry(each).kind == kind
        ]
    return "\n".join(lines) if lines else "No type fits."


def gear_entry(book: GearBook, type_id: str) -> str:
    """One type: sockets with their figures, controls, stages."""
    entry = book.entry(type_id)
    lines = [f"{type_id}: {entry.label} ({entry.kind})"]
    if entry.words:
        lines.append(_wrapped(f"also called {', '.join(entry.words)}", first="  ", rest="  "))
    if entry.ends is not None:
        ends = ", ".join(f"{end} {socket}" for end, socket in entry.ends.items())
        lines.append(_wrapped(f"ends: {ends}", first="  ", rest="    "))
        joins = book.cable(type_id).joins
        pins = ", ".join(f"{a}.{b} to {c}.{d}" for (a, b), (c, d) in joins)
        lines.append(_wrapped(f"pins: {pins}", first="  ", rest="    "))
        return "\n".join(lines)
    lines += _socket_lines(book, type_id)
    for address, control in controls_of(entry).items():
        if "." in address and not address.split(".")[0].endswith("1"):
            continue
        span = ", ".join(control.options) or f"{control.low:g} to {control.high:g}"
        lines.append(
            _wrapped(
                f"control {address}: {span}; default {control.default}", first="  ", rest="    "
            )
        )
    return "\n".join(lines)


def _socket_lines(book: GearBook, type_id: str) -> list[str]:
    lines = []
    seen: set[tuple[str, str]] = set()
    for block in book.plan(type_id, {}, {}).blocks:
        for name, port in block.plan.ports.items():
            if (block.block, name) in seen:
                continue
            seen.add((block.block, name))
            figures = ", ".join(
                f"{key} {format_si(figure.value, figure.unit)}"
                for key, figure in port.figures.items()
                if figure.unit != "dB" and key not in {"ground", "phantom-feed"}
            )
            lines.append(
                _wrapped(
                    f"socket {block.address(name)} ({port.socket}, {port.label}): {figures or 'passive'}",
                    first="  ",
                    rest="    ",
                )
            )
    return lines
