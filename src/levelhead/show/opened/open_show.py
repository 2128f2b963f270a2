"""A show that is open: its document, its steps with undo and redo, its journal and its file.

Every step goes three ways in this order: it is applied to a copy, it is put into the journal on
the disk, and only then it is what the show is. The file follows later (:meth:`OpenShow.save`);
what it lacks is replayed when the show is opened again.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Final, Literal

from levelhead.errors import LevelheadError, ShowError
from levelhead.show.document import ShowDocument, load_show
from levelhead.show.edits import Edit, apply
from levelhead.show.history.journal import History
from levelhead.show.history.kept_texts import keep_text
from levelhead.show.history.steps import Change, Step, StepKind
from levelhead.show.model import Show
from levelhead.show.opened.cells import touched
from levelhead.show.opened.merging import Clash, merged
from levelhead.show.opened.revisions import Revisions
from levelhead.show.opened.saving import SaveJob, content_of, path_of
from levelhead.show.opened.seen import Author
from levelhead.show.opened.undoing import (
    SHARED,
    Stacks,
    StaleError,
    Turned,
    refuse_misfit,
    root_of,
    turned_round,
)

__all__ = ["Author", "Clash", "OpenShow", "SaveJob", "StaleError"]

_REMEMBERED: Final = 1000  # steps whose names are known after a new start
_Check = Callable[[Show], object]


@dataclass(slots=True)
class OpenShow:
    """One open show. Steps are taken one after another; nothing here is asynchronous."""

    document: ShowDocument
    history: History
    revisions: Revisions
    dirty: bool = False  # whether the file lacks something
    clash: Clash | None = None
    notes: tuple[str, ...] = ()  # what happened when it was opened
    steps: Stacks = field(default_factory=Stacks)
    _saved: Show = field(init=False)
    _since: list[tuple[int, Change]] = field(default_factory=list)  # what the file lacks
    _asked: set[str] = field(default_factory=set)

    def __post_init__(self) -> None:
        self._saved = self.document.show
        self._asked.update(step.ask for step in self.history.steps_after(self.number - _REMEMBERED))

    def has_taken(self, ask: str) -> bool:
        """Whether a step of this name was taken: whoever asks again missed the answer."""
        return bool(ask) and ask in self._asked

    @property
    def number(self) -> int:
        """Number of the last step."""
        return self.revisions.number

    @property
    def revision(self) -> int:
        """The number by which pages know the state after it."""
        return self.revisions.revision

    @property
    def show(self) -> Show:
        """The show as it is now."""
        return self.document.show

    # --- opening ---

    @classmethod
    def at(cls, path: str | os.PathLike[str], history: History, *, at: datetime) -> OpenShow:
        """Open a show file, with what its journal has that was not written into it.

        Raises
        ------
        ShowError
            The file cannot be read.
        """
        document = load_show(path)
        content = document.on_disk or b""
        known = history.step_of(content)
        last = history.last_step
        opened = cls(document, history, Revisions(history, last))
        is_foreign = known is None
        if known is None:
            known = min(last, history.last_save())
            history.note_save(content, known, at=at, begins=True)
            if known < last:
                opened.notes = ("The file was changed by somebody else after the last save.",)
                text = document.text()
                keep_text(history, text, "", at=at, person="the file", reason="stood in the file")
        if opened._replay(history.steps_after(known)):
            for step in history.steps_after(history.chain_start()):
                opened.steps.put(step)
        opened.revisions.count_on(is_foreign=is_foreign)
        return opened

    def _replay(self, steps: Sequence[Step]) -> bool:
        """Bring what the file lacks over it again; what does not fit any more is told.

        Whether everything fitted, so that it can be taken back as well.
        """
        lost = len(self.notes)
        for step in steps:
            try:
                self.document = self._after(step.change)
            except LevelheadError as error:
                told = f"Step {step.number} of {step.person} does not fit any more: {error}"
                self.notes = (*self.notes, told)
                continue
            self._since.append((step.number, step.change))
            self.dirty = True
        is_whole = len(self.notes) == lost
        if self.dirty:
            many = f"{len(steps)} steps that were" if len(steps) > 1 else "1 step that was"
            told = f"{many} not in the file yet came back from the history."
            self.notes = (told, *self.notes)
        return is_whole

    # --- steps ---

    def edit(self, edits: Sequence[Edit], author: Author, check: _Check | None = None) -> Step:
        """Take edits as one step, all or none.

        ``check`` raises a ``LevelheadError`` where the show with them cannot be.

        Raises
        ------
        EditError, StaleError
            One does not fit, or somebody else changed the same place after ``author.seen``.
        ShowError
            The journal could not be written: nothing was changed.
        """
        after, back = apply(self.show, edits)
        cells = touched(self.show, after)
        self.revisions.check(cells, author, now=self.show, document=self.document)
        if check is not None:
            check(after)
        return self._step(tuple(edits), back, author, self.document.with_show(after))

    def retype(self, text: str, author: Author) -> Step:
        """Take a whole text instead of the file's, as one step.

        Raises
        ------
        ShowError
            The text is no show; every error has its line and column.
        StaleError
            Somebody changed the show after ``author.seen``.
        """
        document = self.document.with_text(text)
        if self.revisions.is_behind(author, self.document):
            raise StaleError(
                "the show was changed while this text was typed",
                where="text",
                expected="the show as it stood when the text was opened",
                remedy="Take the newer text and type the change again; yours stays in the field.",
            )
        return self._step(text, self.document.text(), author, document)

    def undo(self, number: int, author: Author, check: _Check | None = None) -> Step:
        """Take back the author's own last step that is not undone.

        Parameters
        ----------
        number : int
            The step that the author means: nobody takes back what they have not seen.
        author : Author
            Whose step it is is told by the name.
        check : callable or None
            Raises a ``LevelheadError`` where the show without that step cannot be.

        Raises
        ------
        StaleError
            It is not the last one, or somebody else has worked over it since; who is told.
        """
        return self._turn(self.steps.to_undo(author.name), number, author, check, "undo")

    def redo(self, number: int, author: Author, check: _Check | None = None) -> Step:
        """Take a step again that this author took back last.

        Raises
        ------
        StaleError
            It is not the one that is next, or somebody else has worked over it since.
        """
        return self._turn(self.steps.to_redo(author.name), number, author, check, "redo")

    def _turn(
        self,
        entry: Step | None,
        number: int,
        author: Author,
        check: _Check | None,
        kind: Literal["undo", "redo"],
    ) -> Step:
        if entry is None or root_of(entry) != number:
            raise StaleError(
                f"there is another step to {kind} by now",
                where=kind,
                expected="the last step",
                remedy="Look at what it would take back now, and press again.",
            )
        later = self.history.steps_after(entry.number)
        turned = turned_round(self.document, entry, later)
        if check is not None:
            _checked(turned, check, entry, later)
        return self._step(turned.change, turned.back, author, turned.document, kind, number)

    def _step(
        self,
        change: Change,
        back: Change,
        author: Author,
        document: ShowDocument,
        kind: StepKind = "do",
        of: int | None = None,
    ) -> Step:
        step = Step(self.number + 1, author.at, author.name, kind, change, back, of, author.ask)
        self.history.record([step])
        self.revisions.mark(touched(self.show, document.show), author)
        self.document = document
        self.steps.put(step)
        self._asked.add(author.ask)
        self._since.append((self.number, change))
        self.dirty = True
        return step

    def _after(self, change: Change) -> ShowDocument:
        if isinstance(change, str):
            return self.document.with_text(change)
        return self.document.with_show(apply(self.show, change)[0])

    # --- the file ---

    def to_save(self) -> SaveJob | None:
        """What has to be written; ``None`` if the file lacks nothing or somebody has to choose."""
        if not self.dirty or self.clash is not None:
            return None
        return SaveJob(self.document, self.number, self.history)

    def saved(self, job: SaveJob, document: ShowDocument) -> None:
        """Go on after a job was written; steps that came meanwhile wait for the next one."""
        later = [(number, change) for number, change in self._since if number > job.number]
        typed = any(isinstance(change, str) for _, change in later)
        self.document = (
            self.document.on(document.on_disk) if typed else document.with_show(self.document.show)
        )
        self._saved = document.show
        self._since = later
        self.dirty = bool(later)

    def save(self, *, at: datetime) -> bool:
        """Write the file now; ``False`` where somebody else changed it and has to be heard.

        Raises
        ------
        ShowError
            The disk says no, or the show cannot be written.
        """
        self.look(at=at)
        job = self.to_save()
        if job is not None:
            self.saved(job, job.write(at=at))
        return self.clash is None

    def look(self, *, at: datetime) -> bool:
        """Take in what others wrote into the file meanwhile; whether there was anything.

        What touches nothing that was changed here goes together with it. Else ``clash`` tells
        both, nothing is written any more, and somebody has to choose (:meth:`settle`).
        """
        content = content_of(path_of(self.document))
        known = self.document.on_disk if self.clash is None else self.clash.on_disk
        if content is None or content == known:
            return False
        self.clash = None
        try:
            theirs = load_show(path_of(self.document))
        except ShowError as error:
            self.clash = Clash.unreadable(self.document, error, content)
            return True
        found = merged(self._saved, self.document, theirs, [change for _, change in self._since])
        if isinstance(found, Clash):
            self.clash = found
        else:
            self._adopt(found, theirs, at=at)
        return True

    def _adopt(self, document: ShowDocument, theirs: ShowDocument, *, at: datetime) -> None:
        """Go on with what stands in the file and what was changed here."""
        back, own = self.document.text(), list(self._since)
        self._step(document.text(), back, Author("", SHARED, self.revision, at), document)
        self._saved, self._since, self.dirty = theirs.show, own, bool(own)
        if own:  # after a power cut the text of this step is taken over theirs
            self._since = [(self.number, document.text())]
        self.history.note_save(theirs.on_disk or b"", self.number - bool(own), at=at)

    def settle(self, *, take_file: bool, at: datetime, person: str) -> None:
        """End a clash: take the file as it is, or write over it; what loses is kept.

        Raises
        ------
        ShowError
            There is no clash, or the file that is to be taken cannot be read.
        """
        clash, self.clash = self.clash, None
        if clash is None:
            raise ShowError(
                "there is nothing to choose between",
                where="file",
                expected="a file that was changed by others",
                remedy="Go on working.",
            )
        if take_file and clash.error is not None:
            self.clash = clash
            raise clash.error
        if take_file:
            self._since = []
            self._adopt(clash.theirs, clash.theirs, at=at)
            return
        lost = clash.theirs_text()
        keep_text(
            self.history, lost, "", at=at, person=person, reason="stood in the file, written over"
        )
        self.document = self.document.on(clash.on_disk)
        self.dirty = True


def _checked(turned: Turned, check: _Check, entry: Step, later: Sequence[Step]) -> None:
    """Refuse to turn a step round where the show could not be without it."""
    try:
        check(turned.document.show)
    except LevelheadError as error:
        refuse_misfit({step.person for step in later}, entry, error)
