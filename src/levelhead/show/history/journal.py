"""What happened to a show: one SQLite file beside it, to which is only ever added.

The journal holds every step (edits with their way back, or a text that was typed) and is on the
disk before anybody is told that the step was taken. ``saves`` tells up to which step each state of
the file goes, so that what was never written into the file is found again after a power cut. Kept
texts, marks, sheets and pages have modules of their own, over ``rows`` and ``write``.
"""

from __future__ import annotations

import hashlib
import os
import sqlite3
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from typing import Any, Final, TypeVar

from levelhead.errors import ShowError
from levelhead.show.history.steps import Step, StepKind, change_from_text, change_to_text

__all__ = ["History", "history_path"]

SUFFIX: Final = ".history"
VERSION: Final = 1
_OURS: Final = 0x6C766C68  # "lvlh": tells our files from other SQLite ones
_WAIT_MS: Final = 5000  # for another program that writes at this moment
_TABLES: Final = """
CREATE TABLE IF NOT EXISTS steps (
    number INTEGER PRIMARY KEY, at TEXT NOT NULL, person TEXT NOT NULL, kind TEXT NOT NULL,
    of INTEGER, ask TEXT NOT NULL, change TEXT NOT NULL, back TEXT NOT NULL
);
CREATE TABLE IF NOT EXISTS saves (
    number INTEGER PRIMARY KEY AUTOINCREMENT, at TEXT NOT NULL, step INTEGER NOT NULL,
    begins INTEGER NOT NULL, content TEXT NOT NULL
);
CREATE INDEX IF NOT EXISTS saves_by_content ON saves (content);
CREATE TABLE IF NOT EXISTS texts (
    number INTEGER PRIMARY KEY AUTOINCREMENT, at TEXT NOT NULL, person TEXT NOT NULL,
    reason TEXT NOT NULL, fingerprint TEXT NOT NULL, text TEXT NOT NULL
);
CREATE INDEX IF NOT EXISTS texts_by_fingerprint ON texts (fingerprint);
CREATE TABLE IF NOT EXISTS marks (
    number INTEGER PRIMARY KEY AUTOINCREMENT, at TEXT NOT NULL, person TEXT NOT NULL,
    list TEXT NOT NULL, item TEXT NOT NULL, kind TEXT NOT NULL, text TEXT NOT NULL,
    content TEXT NOT NULL, ask TEXT NOT NULL
);
CREATE TABLE IF NOT EXISTS sheets (
    number INTEGER PRIMARY KEY AUTOINCREMENT, at TEXT NOT NULL, person TEXT NOT NULL,
    fingerprint TEXT NOT NULL, name TEXT NOT NULL, content TEXT NOT NULL
);
CREATE TABLE IF NOT EXISTS pages (
    number INTEGER PRIMARY KEY AUTOINCREMENT, at TEXT NOT NULL, name TEXT NOT NULL,
    how TEXT NOT NULL, fingerprint TEXT NOT NULL, content TEXT NOT NULL
);
"""

_LATER: Final = frozenset({"marks", "sheets", "pages"})  # tables that the first histories lack

_T = TypeVar("_T")


def history_path(show_path: str | os.PathLike[str]) -> Path:
    """Where the history of a show stands.

    Examples
    --------
    >>> str(history_path("hall.yaml"))
    'hall.yaml.history'
    """
    path = Path(show_path)
    return path.with_name(path.name + SUFFIX)


class History:
    """The history of one show. Any thread may call it, one after another."""

    def __init__(self, path: Path, connection: sqlite3.Connection) -> None:
        self.path = path
        self._connection = connection
        self._turn = threading.Lock()

    @classmethod
    def at(cls, show_path: str | os.PathLike[str]) -> History:
        """Open the history of a show, or begin one.

        Raises
        ------
        ShowError
            The file beside the show is no history, a newer one, or cannot be opened.
        """
        path = history_path(show_path)
        try:
            connection = sqlite3.connect(path, check_same_thread=False, isolation_level=None)
        except sqlite3.Error as error:
            raise _refusal(path, error) from error
        history = cls(path, connection)
        try:
            history._begin()
        except BaseException:
            connection.close()
            raise
        return history

    def _begin(self) -> None:
        with self._asked() as connection:
            connection.execute(f"PRAGMA busy_timeout = {_WAIT_MS}")
            version = connection.execute("PRAGMA user_version").fetchone()[0]
            ours = connection.execute("PRAGMA application_id").fetchone()[0]
            holds = connection.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]
            known = connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")
            lacks = not {name for (name,) in known.fetchall()} >= _LATER
            if holds and ours != _OURS:
                raise _not_ours(self.path)
            if version > VERSION:
                raise _too_new(self.path, version)
            connection.execute("PRAGMA journal_mode = WAL")
            connection.execute("PRAGMA synchronous = FULL")  # on the disk when a commit returns
        if not holds or lacks:
            self._written(_make_tables)

    def close(self) -> None:
        """Close it; what is beside it (``-wal``, ``-shm``) goes into the one file."""
        with self._turn:
            self._connection.close()

    def __enter__(self) -> History:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    # --- the journal ---

    def record(self, steps: Sequence[Step]) -> None:
        """Put steps into the journal, all or none; they are on the disk when this returns.

        Raises
        ------
        ShowError
            The disk says no, or another program has put steps there meanwhile.
        """
        rows = [
            (
                step.number,
                step.at.isoformat(),
                step.person,
                step.kind,
                step.of,
                step.ask,
                change_to_text(step.change),
                change_to_text(step.back),
            )
            for step in steps
        ]
        try:
            self._written(
                lambda connection: connection.executemany(
                    "INSERT INTO steps VALUES (?, ?, ?, ?, ?, ?, ?, ?)", rows
                )
            )
        except _TakenError as error:
            raise ShowError(
                "another levelhead has this show open and changed it",
                where=str(self.path),
                expected="one program that writes",
                remedy="Close one of them, then open the show again.",
            ) from error

    @property
    def last_step(self) -> int:
        """Number of the newest step; 0 before the first."""
        with self._asked() as connection:
            row = connection.execute("SELECT max(number) FROM steps").fetchone()
        return int(row[0] or 0)

    def steps_after(self, number: int) -> tuple[Step, ...]:
        """Steps behind a number, in order."""
        query = "SELECT * FROM steps WHERE number > ? ORDER BY number"
        with self._asked() as connection:
            rows = connection.execute(query, (number,)).fetchall()
        return tuple(_step(row, self.path) for row in rows)

    # --- states of the file ---

    def note_save(self, content: bytes, step: int, *, at: datetime, begins: bool = False) -> None:
        """Say that this content of the file holds all steps up to one.

        To be called before the file is written: a content that never got there is never asked for.
        ``begins`` says that somebody else wrote it, so that no step before it can be taken back.
        """
        row = (at.isoformat(), step, int(begins), _digest(content))
        self._written(
            lambda connection: connection.execute(
                "INSERT INTO saves (at, step, begins, content) VALUES (?, ?, ?, ?)", row
            )
        )

    def chain_start(self) -> int:
        """The step behind which every step can be taken back."""
        query = "SELECT step FROM saves WHERE begins ORDER BY number DESC LIMIT 1"
        with self._asked() as connection:
            row = connection.execute(query).fetchone()
        return 0 if row is None else int(row[0])

    @property
    def chains(self) -> int:
        """How often the file was found as somebody else wrote it; once when it is first opened."""
        with self._asked() as connection:
            row = connection.execute("SELECT count(*) FROM saves WHERE begins").fetchone()
        return int(row[0])

    def step_of(self, content: bytes) -> int | None:
        """The step up to which a content of the file goes; ``None`` for one that others wrote."""
        query = "SELECT step FROM saves WHERE content = ? ORDER BY number DESC LIMIT 1"
        with self._asked() as connection:
            row = connection.execute(query, (_digest(content),)).fetchone()
        return None if row is None else int(row[0])

    def last_save(self) -> int:
        """The step up to which the newest state of the file goes; 0 before the first."""
        query = "SELECT step FROM saves ORDER BY number DESC LIMIT 1"
        with self._asked() as connection:
            row = connection.execute(query).fetchone()
        return 0 if row is None else int(row[0])

    # --- other tables, each with a module of its own ---

    def rows(self, query: str, values: Sequence[object] = ()) -> list[tuple[Any, ...]]:
        """What a query finds."""
        with self._asked() as connection:
            return list(connection.execute(query, values).fetchall())

    def write(self, statement: str, *rows: Sequence[object]) -> None:
        """Write some rows, all or none; they are on the disk when this returns."""
        self._written(lambda connection: connection.executemany(statement, rows))

    # --- one at a time ---

    @contextmanager
    def _asked(self) -> Iterator[sqlite3.Connection]:
        with self._turn:
            try:
                yield self._connection
            except sqlite3.IntegrityError as error:
                raise _TakenError from error
            except sqlite3.Error as error:
                raise _refusal(self.path, error) from error

    def _written(self, write: Callable[[sqlite3.Connection], _T]) -> _T:
        with self._asked() as connection:
            connection.execute("BEGIN IMMEDIATE")
            try:
                result = write(connection)
                connection.execute("COMMIT")
            except BaseException:
                if connection.in_transaction:
                    connection.execute("ROLLBACK")
                raise
            return result


class _TakenError(Exception):
    """A number of a step that is in the journal already."""


def _make_tables(connection: sqlite3.Connection) -> None:
    for statement in _TABLES.split(";"):
        connection.execute(statement)
    connection.execute(f"PRAGMA application_id = {_OURS}")
    connection.execute(f"PRAGMA user_version = {VERSION}")


def _step(row: tuple[int, str, str, StepKind, int | None, str, str, str], path: Path) -> Step:
    number, at, person, kind, of, ask, change, back = row
    try:
        return Step(
            number,
            datetime.fromisoformat(at),
            person,
            kind,
            change_from_text(change),
            change_from_text(back),
            of,
            ask,
        )
    except ValueError as error:
        raise ShowError(
            f"step {number} cannot be read: {error}",
            where=str(path),
            expected="edits as levelhead wrote them",
            remedy="Move this file away; the show itself is in its own file.",
        ) from error


def _digest(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


def _refusal(path: Path, error: sqlite3.Error) -> ShowError:
    return ShowError(
        f"the history cannot be used: {error}",
        where=str(path),
        expected="the history that levelhead keeps beside a show",
        remedy="Check the folder and its rights; a broken history may be moved away.",
    )


def _not_ours(path: Path) -> ShowError:
    return ShowError(
        "is a database of another program",
        where=str(path),
        expected="the history that levelhead keeps beside a show",
        remedy="Move that file away, or give the show another name.",
    )


def _too_new(path: Path, version: int) -> ShowError:
    return ShowError(
        f"history of version {version}",
        where=str(path),
        expected=f"version {VERSION} or older",
        remedy="Use a newer levelhead.",
    )
