"""Levelhead from Python: load a show, solve it, judge it, draw it.

The values that come back are those of the layers below, and print well: in a terminal as a short
table, in a notebook as a level diagram.
"""

from __future__ import annotations

import os
import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final, TypeAlias

from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve as solve_rig
from levelhead.drawing.levels.diagram import level_diagram_of
from levelhead.drawing.levels.printing import Drawing, PrintedAnswer, PrintedCheck, PrintedSolution
from levelhead.errors import PaperError
from levelhead.gear.book import GearBook, load_book
from levelhead.planning.asked.answer import Question, answer
from levelhead.planning.check import check_show
from levelhead.rig.build import build_rig
from levelhead.show.document import ShowDocument, load_show, save_show
from levelhead.show.model import Show

__all__ = ["ask", "check", "load", "plot", "save", "solve", "write_whole"]

AnyShow: TypeAlias = ShowDocument | Show | str | os.PathLike[str]
"""A show that was loaded, one made in Python, or the path of its file."""

_SVG: Final = ".svg"


def load(path: str | os.PathLike[str]) -> ShowDocument:
    """Read a show file.

    Returns
    -------
    ShowDocument
        The show (``.show``) and the text that it stands in, so that ``save`` keeps comments.

    Raises
    ------
    ShowError
        It cannot be read; all of its errors at once, with line and column.
    """
    return load_show(Path(path))


def save(document: ShowDocument, path: str | os.PathLike[str]) -> None:
    """Write a show file; comments, order and spelling of what did not change survive."""
    save_show(document, Path(path))


def solve(
    show: AnyShow,
    *,
    gear: str | os.PathLike[str] | None = None,
    previous: Solution | None = None,
) -> Solution:
    """Nominal, peak, ceiling and floor at every point.

    Parameters
    ----------
    gear
        Folder with gear entries of your own.
    previous
        An earlier solution of almost the same show: what did not change is not solved again.

    Raises
    ------
    ShowError, GearError
        The show or an entry of the folder does not hang together.

    Examples
    --------
    >>> from levelhead.show.model import Show
    >>> print(solve(Show("An empty hall")))
    An empty hall, version 1: no way carries a signal
    """
    document, plain = _parts(show)
    rig = build_rig(plain, _book(gear), document)
    return PrintedSolution.of(solve_rig(rig, previous))


def check(show: AnyShow, *, gear: str | os.PathLike[str] | None = None) -> PrintedCheck:
    """Everything that can hurt, fails or wants care, with remedies that were tried.

    Examples
    --------
    >>> from levelhead.show.model import Show
    >>> print(check(Show("An empty hall")))
    EMPTY   An empty hall, version 1: nothing to judge
    """
    document, plain = _parts(show)
    return PrintedCheck.of(check_show(plain, _book(gear), document))


def ask(
    from_text: str,
    to_text: str,
    *,
    gear: str | os.PathLike[str] | None = None,
    **more: Any,
) -> PrintedAnswer:
    """May this go into that? The words are those of ``levelhead ask``.

    Parameters
    ----------
    more
        What the question says besides: ``cable``, ``length_m``, ``at`` (a level, as text),
        ``settings`` (texts by the address of a control).

    Raises
    ------
    AskError
        The words fit no gear, or a setting no control.

    Examples
    --------
    >>> print(ask("passive di output", "line mixer line input with trim").verdict)
    care
    """
    question = Question(from_text=from_text, to_text=to_text, **more)
    return PrintedAnswer.of(answer(question, _book(gear)))


def plot(
    show: AnyShow | Solution,
    path: str | os.PathLike[str] | None = None,
    *,
    through: str | Sequence[str] = (),
) -> Drawing:
    """Level diagram, from source to loudspeaker: the strongest way of each source.

    Parameters
    ----------
    path
        File to write, ending in ``.svg``; none is written if left out.
    through
        Addresses that every way has to pass: ``["mia", "top-left"]``.

    Returns
    -------
    Drawing
        The SVG as text; a notebook shows it as a picture.

    Raises
    ------
    PaperError
        The file cannot be written.
    SolveError
        No point has an address of ``through``.
    """
    place = None if path is None else checked_place(path)
    solution = show if isinstance(show, Solution) else solve(show)
    names = [through] if isinstance(through, str) else list(through)
    drawing = Drawing(level_diagram_of(solution, names))
    if place is not None:
        write_whole(place, drawing.encode(), remedy="Name another place for the drawing.")
    return drawing


def checked_place(path: str | os.PathLike[str]) -> Path:
    """Path of a drawing that is to be written."""
    place = Path(path)
    if place.suffix.lower() != _SVG:
        raise PaperError(
            "is no name for a drawing",
            where=str(place),
            expected=f"a name that ends in {_SVG}",
            remedy="Write for example levels.svg; a browser shows and prints it.",
        )
    return place


def write_whole(path: Path, content: bytes, *, remedy: str) -> None:
    """Write beside and rename, so that no half a file is ever there.

    Raises
    ------
    PaperError
        It cannot be written; ``remedy`` says what to do then.
    """
    beside: Path | None = None
    try:
        with tempfile.NamedTemporaryFile(
            dir=path.parent, prefix=f".{path.name}.", suffix=".part", delete=False
        ) as file:
            beside = Path(file.name)
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        beside.chmod(0o644)
        beside.replace(path)
    except OSError as error:
        if beside is not None:
            beside.unlink(missing_ok=True)
        raise PaperError(
            f"cannot be written: {error.strerror}",
            where=str(path),
            expected="a file in a folder that can be written",
            remedy=remedy,
        ) from error


def _parts(show: AnyShow) -> tuple[ShowDocument | None, Show]:
    """The document, if there is one, that knows the places of errors; and the show."""
    if isinstance(show, Show):
        return None, show
    document = show if isinstance(show, ShowDocument) else load(show)
    return document, document.show


def _book(gear: str | os.PathLike[str] | None) -> GearBook:
    return load_book() if gear is None else load_book(Path(gear))
