"""Measured directivity, as plain text that a person can type from a data sheet.

A file has a head line, then a table for the plane across and, if it differs, one for the plane up.
A table begins with its name and frequencies in hertz; each further line is an angle off the axis
and the level there against the axis in dB. ``#`` begins a remark. See docs/acoustics.md.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.errors import GearError
from levelhead.quantity.bands import BANDS, mid_hz

__all__ = ["HEAD", "DirectivityTable", "read_directivity"]

HEAD: Final = "levelhead directivity 1"
PLANES: Final = ("across", "up")
HALF_TURN: Final = 180  # degrees; levels are kept for each of them
AROUND: Final = 16  # planes between across and up that the directivity factor is taken from
ROWS: Final = 2  # the axis and the back, at least
AXIS_DB: Final = 0.05  # a rounded table may be that far from zero on the axis


@dataclass(frozen=True, slots=True, kw_only=True)
class DirectivityTable:
    """Levels against the axis, for each degree off it: (181, 31) across and up. [dB]

    Between the two planes levels in dB are mixed by the square of the cosine (common practice).
    """

    across_db: NDArray[np.float64]
    up_db: NDArray[np.float64]

    @property
    def q(self) -> NDArray[np.float64]:
        """Directivity factor, (31,): the sphere is summed over degrees and planes."""
        angle = np.radians(np.arange(HALF_TURN + 1.0))
        weight = np.sin(angle)
        weight /= weight.sum()
        turn = np.cos(np.pi * (np.arange(AROUND) + 0.5) / AROUND / 2.0) ** 2
        planes = [10.0 ** ((s * self.across_db + (1 - s) * self.up_db) / 10.0) for s in turn]
        return np.asarray(1.0 / (weight @ np.mean(planes, axis=0)))

    def gain(self, direction: NDArray[np.float64]) -> NDArray[np.float64]:
        """Power against the axis, (..., 31), for unit vectors (..., 3): ahead, right, up."""
        angle_deg = np.degrees(np.arccos(np.clip(direction[..., 0], -1.0, 1.0)))
        below = np.minimum(angle_deg.astype(np.int64), HALF_TURN - 1)
        part = (angle_deg - below)[..., None]
        across2, up2 = direction[..., 1] ** 2, direction[..., 2] ** 2
        share = (across2 / np.maximum(across2 + up2, 1e-12))[..., None]
        levels = share * _between(self.across_db, below, part)
        levels = levels + (1.0 - share) * _between(self.up_db, below, part)
        return np.asarray(10.0 ** (levels / 10.0))


def _between(
    table_db: NDArray[np.float64], below: NDArray[np.int64], part: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Levels at angles between whole degrees."""
    low: NDArray[np.float64] = table_db[below]
    return low + part * (table_db[below + 1] - low)


@dataclass(frozen=True, slots=True)
class _Rows:
    """One plane as it was typed."""

    frequencies_hz: Sequence[float]
    angles_deg: list[float]
    levels_db: list[Sequence[float]]


def read_directivity(text: str, *, name: str = "directivity") -> DirectivityTable:
    """Read a table of directivity.

    Parameters
    ----------
    text : str
        The whole file.
    name : str
        What to call it in errors.

    Raises
    ------
    GearError
        The head is missing, a number cannot be read, rows are short, angles do not rise from 0 to
        180, or the axis is not at 0 dB. All errors of a file come at once.

    Examples
    --------
    >>> table = read_directivity('''levelhead directivity 1
    ... across  125  1000  8000
    ... 0         0     0     0
    ... 45        0    -3    -6
    ... 180      -3   -12   -20
    ... ''')
    >>> [round(float(q), 1) for q in table.q[[8, 17, 26]]]
    [1.3, 3.3, 7.3]
    """
    errors: list[GearError] = []
    lines = list(_lines(text))
    if not lines or " ".join(lines[0][1]) != HEAD:
        errors.append(_wrong(name, 1, "the head is missing", f"'{HEAD}' as its first line"))
    planes = _planes(lines[1:], name, errors)
    tables = {plane: _checked(rows, plane, name, errors) for plane, rows in planes.items()}
    if PLANES[0] not in tables:
        errors.append(_wrong(name, 1, "no plane 'across'", "a line that begins with 'across'"))
    if errors:
        raise GearError.collected(errors, where=name)
    across = tables[PLANES[0]]
    return DirectivityTable(across_db=across, up_db=tables.get(PLANES[1], across))


def _lines(text: str) -> Iterator[tuple[int, list[str]]]:
    """Numbers and words of the lines that say something."""
    for number, line in enumerate(text.splitlines(), start=1):
        words = line.partition("#")[0].split()
        if words:
            yield number, words


def _planes(
    lines: Sequence[tuple[int, list[str]]], name: str, errors: list[GearError]
) -> dict[str, _Rows]:
    """The tables of a file by their plane."""
    planes: dict[str, _Rows] = {}
    rows: _Rows | None = None
    for number, words in lines:
        is_head = words[0] in PLANES
        values = _numbers(words[1:] if is_head else words)
        if values is None or (rows is None and not is_head):
            errors.append(_wrong(name, number, f"'{' '.join(words)}'", "a plane, or numbers"))
        elif is_head:
            rows = planes[words[0]] = _Rows(values, [], [])
        elif rows is not None and len(values) != len(rows.frequencies_hz) + 1:
            wanted = f"an angle and {len(rows.frequencies_hz)} levels"
            errors.append(_wrong(name, number, f"{len(values)} numbers", wanted))
        elif rows is not None:
            rows.angles_deg.append(values[0])
            rows.levels_db.append(values[1:])
    return planes


def _numbers(words: Sequence[str]) -> list[float] | None:
    """All words as numbers, or nothing."""
    try:
        return [float(word.replace("−", "-")) for word in words]
    except ValueError:
        return None


def _checked(rows: _Rows, plane: str, name: str, errors: list[GearError]) -> NDArray[np.float64]:
    """Levels of a plane for each degree and band, (181, 31)."""
    angles, hertz = np.array(rows.angles_deg), np.array(rows.frequencies_hz)
    where = f"{name}, plane '{plane}'"
    if not _reaches_round(angles):
        errors.append(_wrong(where, None, "the angles", "angles that rise from 0 to 180"))
    elif not hertz.size or np.any(hertz <= 0) or np.any(np.diff(hertz) <= 0):
        errors.append(_wrong(where, None, "the frequencies", "frequencies that rise"))
    elif np.abs(rows.levels_db[0]).max() > AXIS_DB:
        errors.append(_wrong(where, None, "the row of 0 degrees", "0 dB on the axis"))
    else:
        return _filled(angles, hertz, np.array(rows.levels_db))
    return np.zeros((HALF_TURN + 1, BANDS))


def _reaches_round(angles: NDArray[np.float64]) -> bool:
    """Do angles rise from the axis to the back?"""
    rises = angles.size >= ROWS and bool(np.all(np.diff(angles) > 0))
    return rises and angles[0] == 0 and angles[-1] == HALF_TURN


def _filled(
    angles: NDArray[np.float64], hertz: NDArray[np.float64], levels_db: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Every degree, then every band: straight lines over angle and logarithm of frequency."""
    degrees = np.arange(HALF_TURN + 1.0)
    columns = np.array([np.interp(degrees, angles, column) for column in levels_db.T])
    log_hz = np.log(mid_hz())
    return np.array([np.interp(log_hz, np.log(hertz), row) for row in columns.T])


def _wrong(name: str, line: int | None, what: str, expected: str) -> GearError:
    """An error at a line."""
    where = name if line is None else f"{name}:{line}"
    return GearError(
        f"{what} cannot be read as directivity" if line else f"{what} are wrong",
        where=where,
        expected=expected,
        remedy="docs/acoustics.md shows a whole file.",
    )
